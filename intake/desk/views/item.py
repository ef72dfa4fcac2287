"""Where an item stands on its walk, and what stands beside it; worked out from the ledger alone."""

from dataclasses import dataclass
from enum import StrEnum

from intake.desk.decide import settling_test
from intake.desk.desk import Desk
from intake.desk.prepare import prep_steps
from intake.ledger.state import BinState, ItemState
from intake.spread import Interval, interval, total
from intake.table.compat.decision import Verdict


class WalkStep(StrEnum):
    """One screen of the walk, in walking order."""

    KIND = "kind"
    MARK = "mark"
    TEST = "test"
    VERDICT = "verdict"
    PREPARE = "prepare"
    WEIGH = "weigh"
    PLACED = "placed"


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemHead:
    """An item in a few words: its id, its kind's name and drawing, how many alike, the colour as it was said."""

    id: str
    name: str
    picture: str
    count: int
    colour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BinBeside:
    """A bin beside the item in hand: what it takes, and [g] the shred it will give."""

    id: str
    resin: str
    colour: str
    shred: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What stands left and right of the item in hand: what is not finished, the newest first, and the bins."""

    unfinished: tuple[ItemHead, ...]
    bins: tuple[BinBeside, ...]


def next_step(desk: Desk, item_id: str) -> WalkStep:
    """The step at which an item goes on; `VERDICT` or `PLACED` also where its walk has ended.

    Raises:
        BadInput: the table has no such item.
    """
    state = desk.numbers(item_id).state
    placing, judged = state.placing_verdict, state.resin_verdict
    if state.bin is not None or (placing is not None and placing.verdict is not Verdict.ACCEPT):
        return WalkStep.PLACED
    if judged is None and not state.evidence:
        return WalkStep.MARK
    if judged is None:
        return WalkStep.TEST if settling_test(desk, item_id) else WalkStep.VERDICT
    if judged.verdict is not Verdict.ACCEPT:
        return WalkStep.VERDICT
    told = {done.step for done in state.prep}
    if all(step.name in told for step in prep_steps(desk, item_id)):
        return WalkStep.WEIGH
    return WalkStep.PREPARE if told else WalkStep.VERDICT


def stands_at(desk: Desk, item_id: str, wanted: WalkStep) -> WalkStep:
    """The step to show where somebody asks for `wanted`: that one where the item may stand there.

    What lies in a bin is not changed; what was not accepted is not cleaned or weighed.

    Raises:
        BadInput: the table has no such item.
    """
    state = desk.numbers(item_id).state
    if state.bin is not None:
        return WalkStep.PLACED
    accepted = state.resin_verdict is not None and state.resin_verdict.verdict is Verdict.ACCEPT
    may = {
        WalkStep.PREPARE: accepted,
        WalkStep.WEIGH: accepted,
        WalkStep.PLACED: state.placing_verdict is not None,
    }
    return wanted if may.get(wanted, True) else next_step(desk, item_id)


def unfinished(desk: Desk) -> tuple[ItemState, ...]:
    """The items that somebody began and did not bring to an end, the newest first."""
    return tuple(s for s in reversed(tuple(desk.state.items.values())) if _open(s))


def _open(state: ItemState) -> bool:
    """True where the walk goes on: no verdict yet, or accepted and in no bin."""
    return state.bin is None and (state.verdict is None or state.verdict is Verdict.ACCEPT)


def head(desk: Desk, item_id: str) -> ItemHead:
    """The item in a few words.

    Raises:
        BadInput: the table has no such item.
    """
    item = desk.numbers(item_id).item
    return ItemHead(
        id=item_id,
        name=item.kind.names[0],
        picture=item.kind.picture,
        count=item.count,
        colour=item.colour,
    )


def beside(desk: Desk, most: int = 8) -> Beside:
    """What stands beside the item in hand, at most `most` of each."""
    return Beside(
        unfinished=tuple(head(desk, s.id) for s in unfinished(desk)[:most]),
        bins=tuple(_bin(desk, b) for b in tuple(desk.state.bins.values())[-most:]),
    )


def _bin(desk: Desk, state: BinState) -> BinBeside:
    """One bin; only those shown are added up."""
    shred = total(desk.numbers(i).yields.shred_g for i in state.items)
    return BinBeside(id=state.id, resin=state.opened.resin, colour=state.opened.colour, shred=interval(shred))
