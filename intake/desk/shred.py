"""Shred: everything in a bin becomes one lot, and the lot begins with what it weighs."""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.errors import BadInput, Refusal
from intake.ledger.events import Shredded
from intake.ledger.state import BinState
from intake.spread import Interval, interval, mean_of, sd_of
from intake.table.bins.ids import next_lot_id
from intake.table.yields.item_mass import UNLIKE_FACTOR
from intake.table.yields.learn import Surprise, WeighedLot, into_shredder_g, kinds_taught, surprise
from intake.table.yields.losses import kept_share
from intake.table.yields.shred import ItemYield
from intake.units import MAX_MASS_G
from intake.words.figures import interval_text, mass_text

_SURE_SD = 4.0
"""[-] a weighing this many standard deviations above all that was weighed in is no slip of the guess."""


class AskFirst(Refusal):
    """A weighing so far from what was expected that somebody has to look at the scale again first.

    Attributes:
        mass_g: [g] as it was weighed.
        expected: [g] of shred.
    """

    def __init__(self, bin_id: str, mass_g: float, expected: Interval) -> None:
        self.mass_g, self.expected = mass_g, expected
        super().__init__(
            f"{mass_g:g} g of shred from bin {bin_id} is far from the {interval_text(expected)} that was "
            "expected. Look at the scale again, and say that it is right if it is. Nothing was saved."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ShredOutlook:
    """What a bin would give.

    Attributes:
        bin: its id.
        items, pieces: what lies in it.
        expected: [g] shred that is expected, with what is still on the items.
        mass_in: [g] what goes into the shredder.
    """

    bin: str
    items: int
    pieces: int
    expected: Interval
    mass_in: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class ShredDone:
    """The lot that was made, what had been expected, and how surprising the weighing was.

    Attributes:
        lot: its id.
        sigmas: [-] of surprise; above 0 where more came out than expected.
        taught: kinds whose mass at this table was learned from all lots so far.
    """

    lot: str
    bin: str
    mass_g: float
    expected: Interval
    sigmas: float
    taught: tuple[str, ...]


def outlook(desk: Desk, bin_id: str) -> ShredOutlook:
    """What shredding a bin would give; nothing is recorded.

    Raises:
        BadInput: no such bin.
        Refusal: it is shredded or written off already, or nothing lies in it.
    """
    state = open_bin(desk, bin_id)
    yields = [desk.numbers(i).yields for i in state.items]
    expected_g = into_shredder_g(yields) * desk.tools.model.guesses.kept
    return ShredOutlook(
        bin=state.id,
        items=len(state.items),
        pieces=sum(desk.state.items[i].facts.count for i in state.items),
        expected=interval(expected_g),
        mass_in=interval(into_shredder_g(yields)),
    )


def shred(
    desk: Desk, bin_id: str, mass_g: float, *, tare_g: float = 0.0, shredder: str | None = None,
    sure: bool = False, by: str | None = None,
) -> ShredDone:  # fmt: skip
    """Record that a bin was shredded and what the shred weighs; gives the new lot.

    Args:
        desk: the table.
        bin_id: which bin; everything in it goes.
        mass_g: [g] reading of the scale with the tub, above the tare.
        tare_g: [g] the tub, weighed on the same scale.
        shredder: cutting machine, where it was not the campaign's.
        sure: True where a weighing far from what was expected was looked at again.
        by: who weighed it.

    Raises:
        BadInput: no such bin or shredder, or a mass that cannot be: not above the tare, or more than went in.
        AskFirst: the weighing is far from what was expected and nobody is `sure`.
        Refusal: the bin is closed or empty.
    """
    net_g = _net_g(mass_g, tare_g)
    with desk.one_at_a_time():
        state = open_bin(desk, bin_id)
        if shredder is not None:
            kept_share(desk.handbook.losses, shredder, "none")
        lot = WeighedLot(
            items=tuple(desk.numbers(i).item for i in state.items), mass_g=net_g,
            resolution_g=desk.campaign.scale, tare_g=tare_g, shredder=shredder,
        )  # fmt: skip
        found = _believed(desk, state, lot, sure=sure)
        lot_id = next_lot_id(desk.campaign.letters, desk.state.lots)
        desk.record(
            [
                Shredded(
                    bin=state.id, lot=lot_id, mass_g=net_g, tare_g=tare_g,
                    resolution_g=desk.campaign.scale, shredder=shredder, by=by,
                )
            ]
        )  # fmt: skip
        taught = tuple(kind.names[0] for kind, _ in kinds_taught(desk.tools.model, lot.items))
    return ShredDone(
        lot=lot_id, bin=state.id, mass_g=net_g, expected=interval(found.expected_g), sigmas=found.sigmas,
        taught=taught,
    )  # fmt: skip


def open_bin(desk: Desk, bin_id: str, *, empty_ok: bool = False) -> BinState:
    """The bin, where things still go in and out.

    Raises:
        BadInput: no such bin.
        Refusal: it is shredded or written off, or nothing lies in it.
    """
    state = desk.state.bins.get(bin_id) or desk.state.bins.get(bin_id.strip().upper())
    if state is None:
        known = ", ".join(b.id for b in desk.state.bins.values() if not b.closed) or "a bin that was opened"
        raise BadInput(where="Bin", got=bin_id, expected=f"one of the open bins: {known}")
    if state.lot is not None:
        raise Refusal(f"Bin {state.id} is shredded already; its shred is lot {state.lot}.")
    if state.written_off is not None:
        raise Refusal(f"Bin {state.id} was written off ({state.written_off}).")
    if not state.items and not empty_ok:
        raise Refusal(f"Nothing lies in bin {state.id}.")
    return state


def _net_g(mass_g: float, tare_g: float) -> float:
    """[g] The shred without its tub.

    Raises:
        BadInput: a mass that cannot be.
    """
    if not 0 <= tare_g < MAX_MASS_G:
        raise BadInput(where="Tare", got=f"{tare_g:g} g", expected="a mass from 0 g on")
    if not tare_g < mass_g <= MAX_MASS_G:
        expected = f"a mass above its tub of {tare_g:g} g and up to 1000 kg"
        raise BadInput(where="Shred", got=f"{mass_g:g} g", expected=expected)
    return mass_g - tare_g


def _believed(desk: Desk, state: BinState, lot: WeighedLot, *, sure: bool) -> Surprise:
    """How surprising the weighing is.

    Raises:
        BadInput: it is more than went in, and all that went in was weighed.
        AskFirst: it is questioned and nobody said that it is right.
    """
    numbers = [desk.numbers(i) for i in state.items]
    found = surprise(desk.tools.model, lot, [n.yields for n in numbers])
    most_g = _most_g([n.yields for n in numbers]) + lot.resolution_g
    if lot.mass_g > most_g:
        expected = f"no more than the {mass_text(most_g)} that can have gone in"
        raise BadInput(where=f"Shred of {state.id}", got=f"{lot.mass_g:g} g", expected=expected)
    if found.questioned and not sure:
        raise AskFirst(state.id, lot.mass_g, interval(found.expected_g))
    return found


def _most_g(yields: Sequence[ItemYield]) -> float:
    """[g] The most that can have gone into the shredder.

    What was weighed counts with four standard deviations more; what is only guessed with twice its guess, from
    where on a weight would be questioned as another kind of thing.
    """
    weighed_g = into_shredder_g(y for y in yields if not y.estimated)
    guessed_g = into_shredder_g(y for y in yields if y.estimated)
    return mean_of(weighed_g) + _SURE_SD * sd_of(weighed_g) + UNLIKE_FACTOR * mean_of(guessed_g)
