"""Where the parts of a label stand, in millimetres from its top left corner."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import isfinite

from intake.errors import BadInput

LOW_MM = 30.0
"""[mm] a lower label has no room for an id above the symbol."""
_READ_FROM_TWO_METRES_MM = 12.0
"""[mm] cap height of the bin id wherever the stock has room for it."""
_LARGEST_ID_MM = 16.0
TAIL_OF_CAP = 0.24
"""[-] room below the id: the tail of a Q hangs down by a fifth of its height."""
_CAP_OF_ROW = 0.66
"""[-] cap height / row height: what is left is the space between two lines."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelStock:
    """A sheet or roll of labels; every length in [mm], none below 0.

    Attributes:
        id: our own word for it, as typed on the command line.
        name: what a person reads.
        page_width_mm: [mm] page or roll.
        page_height_mm: [mm] page, or length of one label on a roll.
        rows: labels down a page.
        columns: labels across.
        label_width_mm: [mm] one label.
        label_height_mm: [mm] one label.
        pitch_x_mm: [mm] from one label's left edge to the next one's.
        pitch_y_mm: [mm] from one label's top edge to the next one's.
        margin_left_mm: [mm] before the first column.
        margin_top_mm: [mm] above the first row.
        inset_x_mm: [mm] kept free at the left and right of a label, where printers cut or do not reach.
        inset_y_mm: [mm] kept free at its top and bottom.
        dpi: [1/inch] usual resolution of the printer.
        one_bit: True for printers that know black and nothing else.
        ruler: True where the page has a margin for a print-check ruler.
    """

    id: str
    name: str
    page_width_mm: float
    page_height_mm: float
    rows: int
    columns: int
    label_width_mm: float
    label_height_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    margin_left_mm: float
    margin_top_mm: float
    inset_x_mm: float
    inset_y_mm: float
    dpi: float
    one_bit: bool
    ruler: bool

    def __post_init__(self) -> None:
        right_mm = self.margin_left_mm + (self.columns - 1) * self.pitch_x_mm + self.label_width_mm
        bottom_mm = self.margin_top_mm + (self.rows - 1) * self.pitch_y_mm + self.label_height_mm
        page = (self.page_width_mm, self.page_height_mm)
        lengths = (*page, self.label_width_mm, self.label_height_mm, self.dpi)
        if not all(isfinite(v) and v > 0.0 for v in lengths) or min(self.rows, self.columns) < 1:
            raise BadInput(where=f"Label stock {self.id}", got=lengths, expected="lengths above 0")
        if right_mm > self.page_width_mm + 1e-6 or bottom_mm > self.page_height_mm + 1e-6:
            raise BadInput(
                where=f"Label stock {self.id}",
                got=f"labels up to {right_mm:.1f} × {bottom_mm:.1f} mm",
                expected=f"labels inside the page of {self.page_width_mm:.1f} × {self.page_height_mm:.1f} mm",
            )

    @property
    def per_page(self) -> int:
        """Labels on one page."""
        return self.rows * self.columns

    def place_mm(self, index: int) -> tuple[float, float]:
        """[mm] Left and top of the label at `index` on its page, 0 first, row by row."""
        row, column = divmod(index % self.per_page, self.columns)
        return self.margin_left_mm + column * self.pitch_x_mm, self.margin_top_mm + row * self.pitch_y_mm


LabelStocks = Mapping[str, LabelStock]


class Part(StrEnum):
    """The parts of a tag, and behind them those that only the label of a lot has."""

    ID = "id"
    RESIN = "resin"
    COLOUR = "colour"
    FLOW = "flow"
    TABLE = "table"
    FOOD = "food"
    SYMBOL = "symbol"
    MASS = "mass"
    PURITY = "purity"
    OVEN = "oven"
    FIRST_CAUTION = "first_caution"
    SECOND_CAUTION = "second_caution"
    TRACE = "trace"


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A rectangle on a label, [mm], and the [mm] cap height of its type before it is shrunk to fit."""

    part: Part
    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float
    cap_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle to be cut up, [mm]."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Lower edge."""
        return self.top + self.height


def inner_box(stock: LabelStock) -> Box:
    """The part of a label that may be printed on."""
    return Box(
        stock.inset_x_mm,
        stock.inset_y_mm,
        stock.label_width_mm - 2 * stock.inset_x_mm,
        stock.label_height_mm - 2 * stock.inset_y_mm,
    )


def blocks(stock: LabelStock) -> tuple[Block, ...]:
    """The parts of a tag on this stock.

    Three forms: a tall label stacks everything; a low one sets the symbol beside the id; any other sets the
    id across the top and the symbol below it on the right. The symbol's quiet zone may use the free edge of
    the label, which is blank anyway.
    """
    box, edge = inner_box(stock), min(stock.inset_x_mm, stock.inset_y_mm)
    if box.height > box.width:
        return tuple(_tall(box, edge))
    return tuple(_low(box, edge) if stock.label_height_mm < LOW_MM else _wide(box, edge))


def _wide(box: Box, edge: float) -> Iterator[Block]:
    """Id across the top, facts below it on the left, symbol on the right."""
    cap = min(_LARGEST_ID_MM, max(_READ_FROM_TWO_METRES_MM, 0.28 * box.height))
    gap = TAIL_OF_CAP * cap
    side = min(box.height - cap - gap, 0.45 * box.width)
    yield id_block(box.left, box.top, box.width, cap)
    yield symbol_block(box.right + edge, box.bottom + edge, side + edge)
    left = Box(box.left, box.top + cap + gap, box.width - side - 0.5 * gap, box.height - cap - gap)
    weights = ((Part.RESIN, 34), (Part.COLOUR, 19), (Part.FLOW, 15), (Part.TABLE, 15), (Part.FOOD, 17))
    yield from rows_of(left, weights)


def _low(box: Box, edge: float) -> Iterator[Block]:
    """Symbol as high as the label on the right; id and facts on the left."""
    side, cap = box.height + edge, 0.36 * box.height
    gap = TAIL_OF_CAP * cap
    width = box.width - side
    yield id_block(box.left, box.top, width, cap)
    yield symbol_block(box.right + edge, box.bottom + edge, side + edge)
    left = Box(box.left, box.top + cap + gap, width, box.height - cap - gap)
    yield from rows_of(left, ((Part.RESIN, 36), (Part.COLOUR, 23), (Part.TABLE, 20), (Part.FOOD, 21)))


def _tall(box: Box, edge: float) -> Iterator[Block]:
    """Everything in one column, the symbol last."""
    cap = min(_READ_FROM_TWO_METRES_MM, 0.25 * box.width)
    gap, side = TAIL_OF_CAP * cap, min(0.85 * box.width, 0.48 * box.height)
    yield id_block(box.left, box.top, box.width, cap)
    yield symbol_block(box.left + (box.width + side) / 2, box.bottom + edge, side)
    middle = Box(box.left, box.top + cap + gap, box.width, box.height - cap - gap - side + edge)
    weights = ((Part.RESIN, 34), (Part.COLOUR, 19), (Part.FLOW, 15), (Part.TABLE, 15), (Part.FOOD, 17))
    yield from rows_of(middle, weights)


def id_block(left: float, top: float, width: float, cap: float) -> Block:
    """The bin id: the row is as high as its capitals."""
    return Block(part=Part.ID, left_mm=left, top_mm=top, width_mm=width, height_mm=cap, cap_mm=cap)


def symbol_block(right: float, bottom: float, side: float) -> Block:
    """The symbol's square by its right and bottom edge, its quiet zone included."""
    return Block(part=Part.SYMBOL, left_mm=right - side, top_mm=bottom - side, width_mm=side, height_mm=side)


def rows_of(box: Box, weights: Iterable[tuple[Part, float]]) -> Iterator[Block]:
    """Rows that share a box's height by weight."""
    shares = tuple(weights)
    total, top = sum(weight for _, weight in shares), box.top
    for part, weight in shares:
        height = box.height * weight / total
        yield Block(
            part=part, left_mm=box.left, top_mm=top, width_mm=box.width, height_mm=height,
            cap_mm=_CAP_OF_ROW * height,
        )  # fmt: skip
        top += height
