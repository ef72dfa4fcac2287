"""Labels of lots: what stands on one, as a picture and on a page, and that it was handed out."""

import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from intake.desk import clock
from intake.desk.desk import Desk, key_of_opened
from intake.desk.labels import STOCK, label_picture, labels_pdf, write_labels
from intake.desk.lots import left_g, lot_facts, the_lot
from intake.errors import Refusal
from intake.ledger.envelope import wall_ms
from intake.ledger.events import LabelPrinted
from intake.spread import interval
from intake.table.bins.ids import of_another_table
from intake.table.compat.decision import Verdict
from intake.table.labels.lot import LotLabel, lot_label
from intake.words import Words


def label_of(desk: Desk, lot_id: str) -> LotLabel:
    """What stands on the label of a lot now: its mass is what is left of it.

    A lot whose test melt said no gets no oven window: its label says not to heat it.

    Raises:
        BadInput: the table has no such lot.
        Refusal: nothing is left of it, or another table gave it its id and its label.
    """
    lot = the_lot(desk, lot_id)
    if of_another_table(lot.id):
        raise Refusal(f"Lot {lot.id} was labelled at the table that shredded it.")
    if lot.left_g <= 0.0:
        raise Refusal(f"Nothing is left of lot {lot.id}, so it needs no label.")
    key, book = key_of_opened(lot.opened), desk.handbook
    window = None if lot.verdict is Verdict.REFUSE else book.melts.oven_window(key.resin)
    return lot_label(
        lot.id,
        lot.bin,
        key,
        net_g=interval(left_g(lot)),
        purity_share=lot_facts(desk, lot).purity,
        window=window,
        cautions=book.cautions.for_label(key.resin),
        edition=desk.edition,
        resins=book.resins,
        colours=book.colours,
        table=desk.campaign.table,
        date=clock.today(wall_ms(lot.since)),
    )


def lot_labels_of(desk: Desk, lot_ids: Sequence[str]) -> tuple[LotLabel, ...]:
    """The labels of the named lots, in that order; letter case is ignored.

    Raises:
        BadInput: the table has no such lot.
        Refusal: nothing is left of one.
    """
    return tuple(label_of(desk, lot) for lot in dict.fromkeys(lot_ids))


def lot_label_png(desk: Desk, lot_id: str, words: Words, *, stock: str = STOCK) -> bytes:
    """The label of a lot as PNG bytes.

    Raises:
        BadInput: no such lot or label stock.
        Refusal: nothing is left of the lot.
    """
    out = io.BytesIO()
    label_picture(desk, label_of(desk, lot_id), words, stock=stock).save(out, "PNG")
    return out.getvalue()


def lot_labels_pdf(desk: Desk, words: Words, lot_ids: Sequence[str], *, stock: str = STOCK) -> bytes:
    """The labels of some lots as a PDF.

    Raises:
        BadInput: no such lot or label stock.
        Refusal: nothing is left of one.
    """
    return labels_pdf(desk, words, lot_labels_of(desk, lot_ids), stock=stock)


def write_lot_label(desk: Desk, lot_id: str, out: Path, words: Words) -> None:
    """Write the label of a lot to a PDF or PNG and record that it was handed out.

    Raises:
        BadInput: no such lot, or another ending.
        Refusal: nothing is left of the lot, or the disk does not take the file.
    """
    write_labels([label_of(desk, lot_id)], out, desk, words)
    record_lots_printed(desk, [lot_id])


def is_labelled(desk: Desk, lot_id: str) -> bool:
    """True where the label that the lot would get now was handed out.

    Raises:
        BadInput: no such lot.
        Refusal: nothing is left of it.
    """
    text = label_of(desk, lot_id).payload.text
    return any(label.payload == text for label in the_lot(desk, lot_id).labels)


def record_lots_printed(desk: Desk, lot_ids: Iterable[str]) -> None:
    """Record that the labels of these lots were handed out, each with the text of its symbol, once for a text.

    Raises:
        BadInput: no such lot.
        Refusal: nothing is left of one.
    """
    with desk.one_at_a_time():
        new = [the_lot(desk, n) for n in dict.fromkeys(lot_ids) if not is_labelled(desk, n)]
        if new:
            desk.record(
                [
                    LabelPrinted(
                        bin=lot.bin,
                        lot=lot.id,
                        payload=label_of(desk, lot.id).payload.text,
                        edition=desk.edition,
                    )
                    for lot in new
                ]
            )
