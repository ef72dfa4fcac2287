"""Where the parts of a lot's label stand: more is said than on a tag, so the id is smaller."""

from collections.abc import Iterator

from intake.table.labels.layout import (
    LOW_MM,
    TAIL_OF_CAP,
    Block,
    Box,
    LabelStock,
    Part,
    id_block,
    inner_box,
    rows_of,
    symbol_block,
)

_QUIET_OF_SIDE = 4.0 / 49.0
"""[-] quiet zone / side of the largest symbol, version 6; it is wider in smaller ones."""
_TALL_TOP = (
    (Part.RESIN, 34), (Part.COLOUR, 19), (Part.MASS, 22), (Part.PURITY, 17), (Part.OVEN, 17),
    (Part.FIRST_CAUTION, 15), (Part.SECOND_CAUTION, 15), (Part.TRACE, 15), (Part.FOOD, 17),
)  # fmt: skip
_WIDE_TOP = ((Part.RESIN, 32), (Part.COLOUR, 21), (Part.MASS, 23))
_WIDE_BOTTOM = (
    (Part.PURITY, 21), (Part.OVEN, 21), (Part.FIRST_CAUTION, 20), (Part.SECOND_CAUTION, 20),
    (Part.TRACE, 20), (Part.FOOD, 21),
)  # fmt: skip
_LOW_TOP = (
    (Part.RESIN, 29), (Part.MASS, 23), (Part.PURITY, 21), (Part.TRACE, 21), (Part.FOOD, 21),
)  # fmt: skip
_LOW_BOTTOM = ((Part.FIRST_CAUTION, 1), (Part.SECOND_CAUTION, 1))


def lot_blocks(stock: LabelStock) -> tuple[Block, ...]:
    """The parts of a lot's label on this stock.

    Three forms, as for a tag. Where the symbol stands beside the facts, it stands at the top right, so that the
    cautions below it have the whole width of the label.
    """
    box = inner_box(stock)
    if box.height > box.width:
        return tuple(_tall(box, stock))
    low = stock.label_height_mm < LOW_MM
    return tuple(_beside(box, stock, low=low))


def _quiet_edge(stock: LabelStock, side: float) -> float:
    """[mm] how far the quiet zone of a symbol may reach into the free edge of the label, which is blank anyway."""
    return min(stock.inset_x_mm, stock.inset_y_mm, _QUIET_OF_SIDE * side)


def _beside(box: Box, stock: LabelStock, *, low: bool) -> Iterator[Block]:
    """Id, resin and mass left of the symbol; the rest below, across the label."""
    side = (0.79 if low else 0.54) * box.height
    edge = _quiet_edge(stock, side)
    cap = (0.22 if low else 0.33) * side
    gap = TAIL_OF_CAP * cap
    width = box.width - side - 0.5 * gap
    yield id_block(box.left, box.top, width, cap)
    yield symbol_block(box.right + edge, box.top + side, side + edge)
    beside = Box(box.left, box.top + cap + gap, width, side - cap - gap)
    yield from rows_of(beside, _LOW_TOP if low else _WIDE_TOP)
    below = Box(box.left, box.top + side, box.width, box.height - side)
    yield from rows_of(below, _LOW_BOTTOM if low else _WIDE_BOTTOM)


def _tall(box: Box, stock: LabelStock) -> Iterator[Block]:
    """Everything in one column, the symbol last."""
    cap = 0.17 * box.width
    gap, side = TAIL_OF_CAP * cap, 0.64 * box.width
    edge = _quiet_edge(stock, side)
    yield id_block(box.left, box.top, box.width, cap)
    yield symbol_block(box.left + (box.width + side) / 2, box.bottom + edge, side)
    middle = Box(box.left, box.top + cap + gap, box.width, box.height - cap - gap - side + edge)
    yield from rows_of(middle, _TALL_TOP)
