"""The life of a bin: open, full, shredded, drawn down, empty; and splitting, merging, relabelling, writing off."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from intake.desk.bench import with_candidate
from intake.desk.desk import Desk, key_of
from intake.desk.draw import reason_given
from intake.desk.shred import open_bin
from intake.errors import BadInput, Refusal, UnknownName
from intake.handbook.locate import resources
from intake.ledger.events import BinMerged, BinRelabelled, BinSplit, WrittenOff
from intake.ledger.state import BinState
from intake.spread import Interval, interval, total
from intake.table.bins.ids import BinId, next_bin_id
from intake.table.bins.placing import OpenBin, breaks, fullness
from intake.words import catalogue

FULL = 0.95
"""[-] from this part of its grams or litres on a bin is called full: hardly anything still fits in."""


class BinStage(StrEnum):
    """How far a bin has come."""

    OPEN = "open"
    FULL = "full"
    SHREDDED = "shredded"
    DRAWN = "drawn"
    EMPTY = "empty"
    WRITTEN_OFF = "written-off"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLine:
    """One bin on the shelf.

    Attributes:
        id: such as QT-04.
        stage: how far it has come.
        resin, colour, flow, filled: what it takes.
        items, pieces: what lies in it now.
        mass_g, capacity_g: [g] what that weighs, and what it may weigh.
        volume_l, capacity_l: [L] the room that takes as it lies there, and what the bin holds.
        full: [-] the larger of both filled shares.
        shred: [g] what it will give; for a lot what is left.
        lot: id of the lot it became; empty where it was not shredded.
    """

    id: str
    stage: BinStage
    resin: str
    colour: str
    flow: str
    filled: bool
    items: int
    pieces: int
    mass_g: float
    capacity_g: float
    volume_l: float
    capacity_l: float
    full: float
    shred: Interval
    lot: str


def shelf(desk: Desk) -> tuple[ShelfLine, ...]:
    """All bins, in the order they were opened."""
    bench = desk.bench()
    return tuple(_line(desk, state, bench[BinId(state.id)]) for state in desk.state.bins.values())


def split_bin(desk: Desk, bin_id: str, items: Sequence[str], *, by: str | None = None) -> str:
    """Put some items of a bin into a new bin that takes the same; gives the new bin's id.

    Raises:
        BadInput: no such bin, no items, or items that do not lie in it.
        Refusal: the bin is closed, or all of its items would go.
    """
    with desk.one_at_a_time():
        state = open_bin(desk, bin_id)
        wanted = tuple(dict.fromkeys(items))
        strange = [i for i in wanted if i not in state.items]
        if not wanted or strange:
            got = ", ".join(strange) or "no items"
            raise BadInput(where=f"Split of {state.id}", got=got, expected="items that lie in this bin")
        if len(wanted) == len(state.items):
            raise Refusal(f"All items of bin {state.id} would go, so there is nothing to split.")
        into = next_bin_id(desk.campaign.letters, desk.state.bins)
        desk.record([BinSplit(bin=state.id, into=into, items=wanted, by=by)])
    return into


def merge_bins(desk: Desk, bin_id: str, into_id: str, *, by: str | None = None) -> None:
    """Put everything of a bin into another that takes the same; the first stands empty and open.

    Raises:
        BadInput: no such bin, or twice the same.
        Refusal: a bin is closed, they take different things, or together they would break a limit.
    """
    with desk.one_at_a_time():
        state, into = open_bin(desk, bin_id), open_bin(desk, into_id, empty_ok=True)
        if state.id == into.id:
            raise BadInput(where="Merge", got=into_id, expected="two different bins")
        if key_of(state) != key_of(into):
            raise Refusal(f"Bins {state.id} and {into.id} do not take the same, so they are not merged.")
        _check_together(desk, state, into)
        desk.record([BinMerged(bin=state.id, into=into.id, by=by)])


def relabel_bin(desk: Desk, bin_id: str, colour: str, *, by: str | None = None) -> None:
    """Give a bin another colour group, such as mixed; resin and flow are what its items are, so they stay.

    Raises:
        BadInput: no such bin.
        UnknownName: no such colour group.
        Refusal: the bin is closed.
    """
    groups = [str(g) for g in desk.handbook.colours.swatches]
    if colour not in groups:
        raise UnknownName(where="Colour group", got=colour, known=groups)
    with desk.one_at_a_time():
        state = open_bin(desk, bin_id, empty_ok=True)
        if state.opened.colour != colour:
            desk.record([BinRelabelled(bin=state.id, colour=colour, by=by)])


def write_off_bin(desk: Desk, bin_id: str, reason: str, *, by: str | None = None) -> None:
    """Record that a bin is gone with all that lies in it, and why.

    Raises:
        BadInput: no such bin, or no reason.
        Refusal: the bin is closed already.
    """
    with desk.one_at_a_time():
        state = open_bin(desk, bin_id, empty_ok=True)
        desk.record([WrittenOff(bin=state.id, reason=reason_given(reason), by=by)])


def _check_together(desk: Desk, state: BinState, into: BinState) -> None:
    """Make sure that two bins' contents break no limit together.

    Raises:
        Refusal: they do; says which.
    """
    filled = desk.bench()[BinId(into.id)]
    for item in state.items:
        one = desk.numbers(item)
        candidate = desk.tools.candidate(filled.key.resin, one.item, one.odds, one.yields)
        filled = with_candidate(filled, replace(candidate, key=filled.key))
    limits = desk.tools.limits_for(filled.key.resin)
    if fullness(filled.content.mass_g, filled.volume_l, limits) > 1.0:
        raise Refusal(
            f"Bin {into.id} has no room for that: together {filled.content.mass_g / 1000:.1f} kg and "
            f"{filled.volume_l:.0f} L, and it holds {limits.capacity_g / 1000:g} kg and {limits.capacity_l:g} L."
        )
    if (fault := breaks(filled.content, limits)) is not None:
        raise Refusal(catalogue(resources() / "words").reason(fault))


def _line(desk: Desk, state: BinState, filled: OpenBin) -> ShelfLine:
    limits = desk.tools.limits_for(filled.key.resin)
    capacity_g = state.opened.capacity_g or limits.capacity_g
    capacity_l = state.opened.capacity_l or limits.capacity_l
    full = max(filled.content.mass_g / capacity_g, filled.volume_l / capacity_l)
    lot = desk.state.lots.get(state.lot) if state.lot else None
    shred = interval(total(desk.numbers(i).yields.shred_g for i in state.items))
    if lot is not None:
        shred = Interval(mean=lot.left_g, low=lot.left_g, high=lot.left_g)
    return ShelfLine(
        id=state.id, stage=_stage(desk, state, full), resin=state.opened.resin, colour=state.opened.colour,
        flow=state.opened.flow, filled=state.opened.filled, items=len(state.items),
        pieces=sum(desk.state.items[i].facts.count for i in state.items), mass_g=filled.content.mass_g,
        capacity_g=capacity_g, volume_l=filled.volume_l, capacity_l=capacity_l, full=full, shred=shred,
        lot=state.lot or "",
    )  # fmt: skip


def _stage(desk: Desk, state: BinState, full: float) -> BinStage:
    """How far the bin has come; nothing of this is stored."""
    if state.written_off is not None:
        return BinStage.WRITTEN_OFF
    lot = desk.state.lots.get(state.lot) if state.lot else None
    if lot is None:
        return BinStage.FULL if full >= FULL else BinStage.OPEN
    if lot.left_g <= 0.0:
        return BinStage.EMPTY
    return BinStage.DRAWN if lot.draws else BinStage.SHREDDED
