"""The main job from a file: a whole intake sheet walks along the table and into the ledger."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from intake.desk.desk import Desk
from intake.desk.facts import received_of
from intake.desk.sheet import Sheet
from intake.desk.sheet_row import Row
from intake.desk.walk import walk_item
from intake.errors import BadInput, Finding
from intake.ledger.events import Body, EvidenceAdded, Source, SplitOff
from intake.spread import mean_of
from intake.table.item import Item
from intake.table.yields.shred import ItemYield

GROUP = 500
"""Rows recorded together: one write, one sync; a power cut loses at most the group that was not yet told."""

Tick = Callable[[int], None]
"""Called with the number of rows just done, for a progress bar."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """A row with its id at this table, its item without the parts split off, and what it gives."""

    id: str
    row: Row
    item: Item
    yields: ItemYield
    parent: str | None
    moved_g: float = 0.0


def weigh_sheet(sheet: Sheet, desk: Desk) -> tuple[tuple[Weighed, ...], tuple[Finding, ...]]:
    """Yields of all rows that are new to the ledger, parts split off once; and what cannot be.

    A part takes its mass out of its parent before anything is recorded, so that a sheet whose parts weigh more
    than what they came from is told as a whole.
    """
    rows = [r for r in sheet.rows if Source(sheet=sheet.digest, row=r.number) not in desk.state.sources]
    findings = [f for r in rows if (f := _taken_id(r, sheet, desk)) is not None]
    own = {r.id: _table_id(r, sheet, desk) for r in sheet.rows}
    moved: dict[str, float] = {}
    weighed: dict[str, Weighed] = {}
    for row in reversed(rows):  # a part stands below its parent, so its mass is known first
        item = replace(row.item, split_g=moved.get(row.id, 0.0))
        try:
            yields = desk.tools.yield_of(item)
        except BadInput as error:
            where = f"Sheet {sheet.name}, row {row.number}: {error.where}"
            findings.append(Finding(where=where, got=str(error.got), expected=error.expected))
            continue
        mass_g = mean_of(yields.received_g)
        if row.parent:
            moved[row.parent] = moved.get(row.parent, 0.0) + mass_g
        parent = own[row.parent] if row.parent else None
        weighed[row.id] = Weighed(
            id=own[row.id], row=row, item=item, yields=yields, parent=parent, moved_g=mass_g
        )
    return tuple(weighed[r.id] for r in rows if r.id in weighed), tuple(findings)


def sort_rows(weighed: tuple[Weighed, ...], sheet: Sheet, desk: Desk, tick: Tick) -> None:
    """Judge, place and record the rows, `GROUP` at a time; each group is durable before the next begins."""
    bench = desk.bench()
    for start in range(0, len(weighed), GROUP):
        group = weighed[start : start + GROUP]
        bodies: list[Body] = []
        known = []
        for row in group:
            odds = desk.tools.odds(row.item, row.row.evidence)
            arrival = tuple(_arrival(row, sheet))
            walked = walk_item(row.id, row.item, odds, row.yields, arrival, bench, desk.tools)
            bodies.extend(walked.bodies)
            known.append(odds)
        desk.record(bodies)
        for row, odds in zip(group, known, strict=True):
            desk.remember(row.id, row.item, odds, row.yields)
        tick(len(group))


def _arrival(row: Weighed, sheet: Sheet) -> Iterator[Body]:
    yield received_of(row.row, sheet_digest=sheet.digest, item_id=row.id)
    if row.parent is not None:
        yield SplitOff(item=row.id, parent=row.parent, mass_g=row.moved_g)
    for evidence in row.row.evidence:
        yield EvidenceAdded(item=row.id, evidence=evidence)


def _table_id(row: Row, sheet: Sheet, desk: Desk) -> str:
    """The row's id at this table: as written, or made from its number, with the sheet's hash if that is taken."""
    known = desk.state.sources.get(Source(sheet=sheet.digest, row=row.number))
    if known is not None:
        return known
    return f"{row.id}-{sheet.digest[:4]}" if not row.named and row.id in desk.state.items else row.id


def _taken_id(row: Row, sheet: Sheet, desk: Desk) -> Finding | None:
    """What is wrong with an id that another sheet or the app gave out already."""
    if not row.named or row.id not in desk.state.items:
        return None
    where = f"Sheet {sheet.name}, row {row.number}, column item"
    return Finding(where=where, got=row.id, expected="an id that no item in the ledger has")
