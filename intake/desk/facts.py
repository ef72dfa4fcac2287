"""The facts of an item as the ledger keeps them ↔ the item as the rooms of the table take it."""

from intake.desk.sheet_row import Row
from intake.handbook import Handbook
from intake.ledger.events import Received, Source
from intake.table.item import Item
from intake.table.kinds import OTHER_KIND, KindId


def item_of(facts: Received, handbook: Handbook, *, split_g: float = 0.0) -> Item:
    """The item that the facts describe; a kind that this handbook no longer knows counts as 'other'."""
    kinds = handbook.kinds.rows
    return Item(
        kind=kinds.get(KindId(facts.kind), kinds[OTHER_KIND]),
        count=facts.count,
        colour=facts.colour,
        label=facts.label,
        label_off=facts.label_off,
        adhesive=facts.adhesive,
        closure=facts.closure,
        residue=facts.residue,
        gross_g=facts.gross_g,
        tare_g=facts.tare_g,
        resolution_g=facts.resolution_g,
        weighed=facts.weighed,
        split_g=split_g,
    )


def received_of(row: Row, *, sheet_digest: str, item_id: str) -> Received:
    """The event that a sheet's row becomes."""
    item = row.item
    return Received(
        item=item_id,
        kind=item.kind.id,
        count=item.count,
        colour=item.colour,
        label=item.label,
        label_off=item.label_off,
        adhesive=item.adhesive,
        closure=item.closure,
        residue=item.residue,
        gross_g=item.gross_g,
        tare_g=item.tare_g,
        resolution_g=item.resolution_g,
        weighed=item.weighed,
        minutes=row.minutes,
        note=row.note,
        source=Source(sheet=sheet_digest, row=row.number),
    )
