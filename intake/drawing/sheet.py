"""Many tags as a PDF: sheets of labels, or one label a page for rolls."""

from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import BinaryIO

from PIL import Image, ImageDraw

from intake.drawing.label import Press, draw_tag
from intake.drawing.pdf import PdfWriter, Placed
from intake.errors import BadInput
from intake.table.labels.layout import LabelStock
from intake.table.labels.tag import BinTag

RULER_MM = 100.0
RULER_HEIGHT_MM = 6.0
_TEXT_MM = 1.7
_TEN = 10


def write_pdf(
    tags: Iterable[BinTag],
    stock: LabelStock,
    press: Press,
    out: BinaryIO,
    *,
    start: int = 1,
    on_label: Callable[[int], None] | None = None,
) -> int:
    """Write tags to a PDF, one page in memory at a time.

    Args:
        tags: the tags, in the order in which they are stuck on.
        stock: where labels stand.
        press: resolution, ink, type and words.
        out: an open binary stream; it is left open.
        start: the first label of the first sheet to print on, 1 for the top left one.
        on_label: called with the number of labels drawn so far, for a progress bar.

    Returns:
        The number of pages; 0 tags make no page, and the PDF says so by being empty.

    Raises:
        BadInput: `start` is no label of the sheet.
    """
    if not 1 <= start <= stock.per_page:
        raise BadInput(where="First label", got=start, expected=f"a label from 1 to {stock.per_page}")
    writer, drawn = PdfWriter(out), 0
    for first, batch in _batches(tags, stock.per_page, start - 1):
        placed = []
        for index, tag in enumerate(batch, first):
            placed.append(_placed(draw_tag(tag, stock, press), stock, index))
            drawn += 1
            if on_label is not None:
                on_label(drawn)
        if stock.ruler:
            placed.append(_ruler_placed(stock, press))
        writer.page(stock.page_width_mm, stock.page_height_mm, placed)
    return writer.close()


def _batches(tags: Iterable[BinTag], size: int, skip: int) -> Iterator[tuple[int, list[BinTag]]]:
    """The tags of each page, with the place of the page's first one."""
    source = iter(tags)
    while batch := list(islice(source, size - skip)):
        yield skip, batch
        skip = 0


def _placed(image: Image.Image, stock: LabelStock, index: int) -> Placed:
    """A label's image at its place, at its exact size."""
    left_mm, top_mm = stock.place_mm(index)
    return Placed(
        image=image,
        left_mm=left_mm,
        top_mm=top_mm,
        width_mm=stock.label_width_mm,
        height_mm=stock.label_height_mm,
    )


def _ruler_placed(stock: LabelStock, press: Press) -> Placed:
    """The print-check ruler in the middle of the bottom margin."""
    used_mm = stock.margin_top_mm + (stock.rows - 1) * stock.pitch_y_mm + stock.label_height_mm
    margin_mm = stock.page_height_mm - used_mm
    return Placed(
        image=ruler(press),
        left_mm=(stock.page_width_mm - RULER_MM) / 2,
        top_mm=used_mm + (margin_mm - RULER_HEIGHT_MM) / 2 - 1.0,
        width_mm=RULER_MM,
        height_mm=RULER_HEIGHT_MM,
    )


def ruler(press: Press) -> Image.Image:
    """A line of 100 mm with a stroke every 10 mm, and a sentence that says so.

    The image is exactly 100 mm wide: its first and last column of pixels are the end strokes.
    """
    px = press.px
    image = Image.new("1", (px(RULER_MM), px(RULER_HEIGHT_MM)), 1)
    draw, thick = ImageDraw.Draw(image), max(1, px(0.2))
    draw.rectangle((0, px(2.2) - thick, image.width - 1, px(2.2) - 1), fill=0)
    for mark in range(0, int(RULER_MM) + 1, _TEN):
        left = round(mark / RULER_MM * (image.width - thick))
        top = 0 if mark % 50 == 0 else px(1.0)
        draw.rectangle((left, top, left + thick - 1, px(2.2) - 1), fill=0)
    fitted = press.fonts.regular.fit(press.words("label.ruler"), px(_TEXT_MM), image.width)
    middle = (image.width - fitted.font.getlength(fitted.text)) / 2
    draw.text((middle, px(5.0)), fitted.text, 0, fitted.font, "ls")
    return image
