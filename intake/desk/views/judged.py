"""The resin verdict as a person is told it: what to do with the hand, why, and what comes next."""

from dataclasses import dataclass

from intake.desk.decide import preview, settling_test
from intake.desk.desk import Desk
from intake.desk.prepare import prep_steps
from intake.desk.views.item import ItemHead, head
from intake.spread import Interval, interval
from intake.table.bins.colour import colour_group
from intake.table.compat.decision import Verdict
from intake.table.prep.minutes import hand_minutes
from intake.table.resins import Reason

FIRST_COLOURS = ("natural", "white", "black")


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourChoice:
    """A colour group with its swatch `#RRGGBB`, empty where none would be true."""

    id: str
    swatch: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourView:
    """The colours to pick from.

    Attributes:
        chosen: group that the item is in now.
        said: True where somebody said a colour; else `chosen` is what counts without one.
        first: the groups that are picked most.
        others: all the others.
    """

    chosen: str
    said: bool
    first: tuple[ColourChoice, ...]
    others: tuple[ColourChoice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictView:
    """The answer to "is it worth cleaning?".

    Attributes:
        item: what is in hand.
        verdict, resin, probability: what was decided, and the [-] probability of the likeliest resin.
        reasons, cautions: why, and ids of what to mind; also what cleaning calls for where it is accepted.
        settle: id of the test that would settle a hold; empty where none would.
        steps: what has to be done before it is weighed, in order.
        minutes: [min] of hand work that this usually takes; None where nothing is to do.
        colour: the colour question; None where it does not matter.
    """

    item: ItemHead
    verdict: Verdict
    resin: str
    probability: float
    reasons: tuple[Reason, ...]
    cautions: tuple[str, ...]
    settle: str
    steps: tuple[str, ...]
    minutes: Interval | None
    colour: ColourView | None


def verdict_view(desk: Desk, item_id: str) -> VerdictView:
    """The resin verdict of an item as it stands.

    Raises:
        BadInput: the table has no such item.
    """
    known, told = desk.numbers(item_id), preview(desk, item_id)
    accepted = told.verdict is Verdict.ACCEPT
    steps = prep_steps(desk, item_id) if accepted else ()
    settle = settling_test(desk, item_id) if told.verdict is Verdict.HOLD else None
    asks_colour = accepted or any(r.code == "kind_old_pigments" for r in told.reasons)
    cautions = dict.fromkeys((*told.cautions, *(c for s in steps for c in s.cautions)))
    return VerdictView(
        item=head(desk, item_id),
        verdict=told.verdict,
        resin=told.resin,
        probability=told.probability,
        reasons=told.reasons,
        cautions=tuple(cautions),
        settle=settle.test if settle else "",
        steps=tuple(s.name for s in steps),
        minutes=interval(hand_minutes(steps, known.item.count, desk.handbook.prep)) if steps else None,
        colour=colour_view(desk, item_id) if asks_colour else None,
    )


def colour_view(desk: Desk, item_id: str) -> ColourView:
    """The colours to pick from, and the one that holds now.

    Raises:
        BadInput: the table has no such item.
    """
    said = desk.numbers(item_id).item.colour
    swatches = desk.handbook.colours.swatches
    choices = [ColourChoice(id=g, swatch=_hex(rgb)) for g, rgb in swatches.items()]
    return ColourView(
        chosen=colour_group(said, desk.handbook.colours).id,
        said=bool(said.strip()),
        first=tuple(c for c in choices if c.id in FIRST_COLOURS),
        others=tuple(c for c in choices if c.id not in FIRST_COLOURS),
    )


def _hex(rgb: tuple[int, int, int] | None) -> str:
    return "#{:02X}{:02X}{:02X}".format(*rgb) if rgb else ""
