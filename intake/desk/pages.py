"""Pages for a browser: the report of the day and the card of the table, as bytes of a PDF."""

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from intake.desk.card import card_page
from intake.desk.day_report import write_day_report
from intake.desk.desk import Desk
from intake.desk.labels import bins_to_tag, tags_of, write_labels
from intake.desk.lot_labels import label_of
from intake.desk.page_file import write_page
from intake.drawing.card import draw_card
from intake.drawing.ink import Paper
from intake.table.bins.ids import of_another_table
from intake.words import Words


def day_report_pdf(desk: Desk, words: Words, *, paper: Paper = Paper.A4) -> bytes:
    """The report of the last day with events.

    Raises:
        BadInput: nothing happened yet.
    """
    return _made(
        "report.pdf",
        lambda out: write_day_report(desk.ledger.folder, out, desk.handbook, words, paper=paper),
    )


def table_card_pdf(desk: Desk, words: Words, address: str = "", *, paper: Paper = Paper.A4) -> bytes:
    """The card that hangs at the table; with the symbol of `address` where the table is shared.

    Raises:
        BadInput: the address cannot stand on a card.
        Refusal: there is more to say than one page can hold.
    """
    page = card_page(desk.campaign, desk.handbook, words, address=address)
    return _made("card.pdf", lambda out: write_page(out, paper, lambda fonts: draw_card(page, paper, fonts)))


def sheet_pdf(desk: Desk, words: Words, stock: str, start: int = 1) -> bytes:
    """The tags of all open bins, and the labels of all lots with something left, on one kind of paper.

    Raises:
        BadInput: no such stock or first label.
        Refusal: there is nothing to print.
    """
    lots = [label_of(desk, lot) for lot in lots_to_label(desk)]
    bins = bins_to_tag(desk)
    tags = tags_of(desk, bins) if bins else ()
    return _made(
        "labels.pdf", lambda out: write_labels([*tags, *lots], out, desk, words, stock=stock, start=start)
    )


def lots_to_label(desk: Desk) -> tuple[str, ...]:
    """The lots of this table with something left; one that another table shredded has its label from there."""
    return tuple(
        lot.id for lot in desk.state.lots.values() if lot.left_g > 0.0 and not of_another_table(lot.id)
    )


def _made(name: str, write: Callable[[Path], object]) -> bytes:
    """What `write` put into a file that nobody else sees."""
    with TemporaryDirectory(prefix="intake-page-") as folder:
        out = Path(folder) / name
        write(out)
        return out.read_bytes()
