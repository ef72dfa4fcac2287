"""Many labels as a PDF, or one page of them as a picture: sheets, or one label a page for rolls."""

from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import BinaryIO

from PIL import Image, ImageDraw

from intake.drawing.canvas import Press
from intake.drawing.label import draw_label
from intake.drawing.parts import Label
from intake.drawing.pdf import PdfWriter, Placed
from intake.errors import BadInput
from intake.table.labels.layout import LabelStock

RULER_MM = 100.0
RULER_HEIGHT_MM = 6.0
_TEXT_MM = 1.7
_TEN = 10


def write_pdf(
    labels: Iterable[Label],
    stock: LabelStock,
    press: Press,
    out: BinaryIO,
    *,
    start: int = 1,
    on_label: Callable[[int], None] | None = None,
) -> int:
    """Write labels to a PDF, one page in memory at a time.

    Args:
        labels: tags of bins and labels of lots, in the order in which they are stuck on.
        stock: where labels stand.
        press: resolution, ink, type and words.
        out: an open binary stream; it is left open.
        start: the first label of the first sheet to print on, 1 for the top left one.
        on_label: called with the number of labels drawn so far, for a progress bar.

    Returns:
        The number of pages; 0 labels make no page, and the PDF says so by being empty.

    Raises:
        BadInput: `start` is no label of the sheet.
    """
    check_start(start, stock)
    writer, drawn = PdfWriter(out), 0
    for first, batch in _batches(labels, stock.per_page, start - 1):
        placed = []
        for index, label in enumerate(batch, first):
            placed.append(_placed(draw_label(label, stock, press), stock, index))
            drawn += 1
            if on_label is not None:
                on_label(drawn)
        if stock.ruler:
            placed.append(_ruler_placed(stock, press))
        writer.page(stock.page_width_mm, stock.page_height_mm, placed)
    return writer.close()


def draw_page(labels: Iterable[Label], stock: LabelStock, press: Press, *, start: int = 1) -> Image.Image:
    """One page as it is printed, at the resolution of the press.

    Raises:
        BadInput: `start` is no label of the sheet, or the labels do not all fit on one page.
    """
    check_start(start, stock)
    drawn = list(islice(labels, stock.per_page - start + 2))
    room = stock.per_page - start + 1
    if len(drawn) > room:
        expected = f"{room} at most on one page, or a PDF, which has as many pages as it needs"
        raise BadInput(where="Labels in one picture", got=f"more than {room}", expected=expected)
    px, white = press.px, 1 if press.one_bit else "white"
    page = Image.new(
        "1" if press.one_bit else "RGB", (px(stock.page_width_mm), px(stock.page_height_mm)), white
    )
    placed = [_placed(draw_label(label, stock, press), stock, n) for n, label in enumerate(drawn, start - 1)]
    for part in [*placed, *([_ruler_placed(stock, press)] if stock.ruler else [])]:
        page.paste(part.image, (px(part.left_mm), px(part.top_mm)))
    return page


def check_start(start: int, stock: LabelStock) -> None:
    """Refuse a first label that the sheet does not have.

    Raises:
        BadInput: `start` is no label of the sheet.
    """
    if not 1 <= start <= stock.per_page:
        raise BadInput(where="First label", got=start, expected=f"a label from 1 to {stock.per_page}")


def _batches(labels: Iterable[Label], size: int, skip: int) -> Iterator[tuple[int, list[Label]]]:
    """The labels of each page, with the place of the page's first one."""
    source = iter(labels)
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
