"""Labels: the tag of a bin, as a picture and on a page, ready to hang."""

import io
from collections.abc import Iterable

from PIL import Image

from intake.desk import clock
from intake.desk.desk import Desk, key_of
from intake.drawing.fonts import Fonts
from intake.drawing.label import Press, draw_tag
from intake.drawing.sheet import write_pdf
from intake.errors import BadInput
from intake.handbook.locate import resources
from intake.ledger.envelope import wall_ms
from intake.ledger.events import LabelPrinted
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


def tags_pdf(desk: Desk, words: Words, bin_ids: Iterable[str] | None = None, *, stock: str = STOCK) -> bytes:
    """The tags of some bins as a PDF; of all bins where none is named.

    Raises:
        BadInput: no such bin or label stock.
    """
    sheet = _stock(desk, stock)
    out = io.BytesIO()
    wanted = list(desk.state.bins) if bin_ids is None else list(bin_ids)
    write_pdf((tag_of(desk, b) for b in wanted), sheet, _press(sheet, words), out)
    return out.getvalue()


def tag_picture(desk: Desk, bin_id: str, words: Words, *, stock: str = STOCK) -> Image.Image:
    """The tag of a bin as it will be printed.

    Raises:
        BadInput: no such bin or label stock.
    """
    sheet = _stock(desk, stock)
    return draw_tag(tag_of(desk, bin_id), sheet, _press(sheet, words))


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
