"""Labels: the tag of a bin, as a picture and on a page, ready to hang; and labels of any kind as a file."""

import io
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from PIL import Image

from intake.desk import clock
from intake.desk.desk import Desk, key_of
from intake.desk.files import written_aside
from intake.drawing.canvas import Press
from intake.drawing.fonts import Fonts
from intake.drawing.label import draw_label
from intake.drawing.parts import Label
from intake.drawing.sheet import check_start, draw_page, write_pdf
from intake.errors import BadInput, Refusal, UnknownName
from intake.handbook.locate import resources
from intake.ledger.envelope import wall_ms
from intake.ledger.events import LabelPrinted
from intake.table.bins.ids import of_another_table
from intake.table.labels.layout import LabelStock
from intake.table.labels.tag import BinTag, bin_tag
from intake.words import Words

STOCK = "single"
"""Label stock of a tag that hangs on a bin: one to a page."""


def tag_of(desk: Desk, bin_id: str) -> BinTag:
    """What stands on the tag of an open bin.

    Raises:
        BadInput: the table has no such bin.
    """
    state = desk.state.bins.get(bin_id)
    if state is None:
        raise BadInput(where="Bin", got=bin_id, expected="the id of a bin at this table")
    return bin_tag(
        bin_id,
        key_of(state),
        resins=desk.handbook.resins,
        colours=desk.handbook.colours,
        table=desk.campaign.table,
        date=clock.today(wall_ms(state.since)),
    )


def bins_to_tag(desk: Desk) -> tuple[str, ...]:
    """The bins that hang a tag: open ones, in the order they were opened.

    A bin that is shredded or written off needs none; one that another table named alike has its own already.
    """
    return tuple(b.id for b in desk.state.bins.values() if not b.closed and not of_another_table(b.id))


def tags_pdf(desk: Desk, words: Words, bin_ids: Iterable[str] | None = None, *, stock: str = STOCK) -> bytes:
    """The tags of some bins as a PDF; of all open bins where none is named.

    Raises:
        BadInput: no such bin or label stock.
    """
    wanted = bins_to_tag(desk) if bin_ids is None else bin_ids
    return labels_pdf(desk, words, (tag_of(desk, b) for b in wanted), stock=stock)


def labels_pdf(desk: Desk, words: Words, labels: Iterable[Label], *, stock: str = STOCK) -> bytes:
    """Labels of any kind as a PDF.

    Raises:
        BadInput: no such label stock.
    """
    sheet = _stock(desk, stock)
    out = io.BytesIO()
    write_pdf(labels, sheet, _press(sheet, words), out)
    return out.getvalue()


def write_labels(
    labels: Sequence[Label],
    out: Path,
    desk: Desk,
    words: Words,
    *,
    stock: str = STOCK,
    start: int = 1,
    on_label: Callable[[int], None] | None = None,
) -> int:
    """Write labels to a PDF or, where the name of the file ends so, to a PNG of one page; whole or not at all.

    Args:
        labels: tags of bins and labels of lots, at least one.
        out: the file; `.pdf` or `.png`.
        desk: for the label stocks.
        words: what is printed.
        stock: id of a label stock.
        start: the first label of the first sheet to print on.
        on_label: called with the number of labels drawn so far.

    Returns:
        The number of pages.

    Raises:
        BadInput: another ending, no such stock or first label, or too many labels for one picture.
        Refusal: there is no label to print, or the disk does not take the file.
    """
    form = label_form(out)
    sheet = _stock(desk, stock)
    check_start(start, sheet)
    if not labels:
        why = "Every bin of this table is closed" if desk.state.bins else "This table has no bin yet"
        raise Refusal(f"{why}, so there is no label to print.")
    press = _press(sheet, words)
    if form == ".png":
        page = draw_page(labels, sheet, press, start=start)
        with written_aside(out) as stream:
            page.save(stream, "PNG", dpi=(press.dpi, press.dpi))
        return 1
    with written_aside(out) as stream:
        return write_pdf(labels, sheet, press, stream, start=start, on_label=on_label)


def label_form(out: Path) -> str:
    """The ending of a file for labels, `.pdf` or `.png`.

    Raises:
        BadInput: another one.
    """
    form = out.suffix.lower()
    if form not in (".pdf", ".png"):
        raise BadInput(where="File for the labels", got=out.name, expected="a name that ends in .pdf or .png")
    return form


def tags_of(desk: Desk, bin_ids: Sequence[str] = ()) -> tuple[BinTag, ...]:
    """The tags of the named bins, in that order, or of all open bins where none is named; letter case is ignored.

    Raises:
        UnknownName: the table has no such bin; the nearest ids stand in the sentence.
    """
    known = {b.casefold(): b for b in desk.state.bins}
    found = []
    for name in bin_ids:
        if name.strip().casefold() not in known:
            raise UnknownName(where="Bin", got=name, known=desk.state.bins or ["none: this table has no bin"])
        found.append(known[name.strip().casefold()])
    return tuple(tag_of(desk, b) for b in found or bins_to_tag(desk))


def tag_picture(desk: Desk, bin_id: str, words: Words, *, stock: str = STOCK) -> Image.Image:
    """The tag of a bin as it will be printed.

    Raises:
        BadInput: no such bin or label stock.
    """
    return label_picture(desk, tag_of(desk, bin_id), words, stock=stock)


def label_picture(desk: Desk, label: Label, words: Words, *, stock: str = STOCK) -> Image.Image:
    """A label of any kind as it will be printed.

    Raises:
        BadInput: no such label stock.
    """
    sheet = _stock(desk, stock)
    return draw_label(label, sheet, _press(sheet, words))


def tag_png(desk: Desk, bin_id: str, words: Words) -> bytes:
    """The tag of a bin as PNG bytes.

    Raises:
        BadInput: no such bin.
    """
    out = io.BytesIO()
    tag_picture(desk, bin_id, words).save(out, "PNG")
    return out.getvalue()


def is_tagged(desk: Desk, bin_id: str) -> bool:
    """True where the tag that the bin wears now was handed out.

    Raises:
        BadInput: no such bin.
    """
    text = tag_of(desk, bin_id).payload.text
    return any(label.payload == text for label in desk.state.bins[bin_id].labels)


def record_printed(desk: Desk, bin_ids: Iterable[str]) -> None:
    """Record that the tags of these bins were handed out, each with the text of its symbol, once for a text.

    Raises:
        BadInput: no such bin.
    """
    with desk.one_at_a_time():
        new = [b for b in dict.fromkeys(bin_ids) if not is_tagged(desk, b)]
        if new:
            desk.record(
                [LabelPrinted(bin=b, payload=tag_of(desk, b).payload.text, edition=desk.edition) for b in new]
            )


def _stock(desk: Desk, name: str) -> LabelStock:
    stocks = desk.handbook.label_stocks
    if name not in stocks:
        raise BadInput(where="Label stock", got=name, expected="one of " + ", ".join(stocks))
    return stocks[name]


def _press(stock: LabelStock, words: Words) -> Press:
    return Press.of(stock, Fonts.of(resources() / "fonts"), words)
