"""What lies on the hold shelf: since when, why, and the one test that would settle it."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from intake.desk import clock
from intake.desk.decide import settling_test
from intake.desk.desk import Desk
from intake.desk.views.item import ItemHead, head
from intake.ledger.envelope import wall_ms
from intake.ledger.state import ItemState
from intake.table.compat.decision import Verdict
from intake.table.resins import Reason

_MS_PER_MINUTE, _MINUTES_PER_HOUR, _HOURS_PER_DAY = 60_000, 60, 24


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLine:
    """One item on the shelf.

    Attributes:
        item: in a few words.
        since_ms: [ms] since 1970, when it came to the table.
        resin, probability: what it most likely is, and the [-] probability of that.
        reasons: why it waits, as it was told.
    """

    item: ItemHead
    since_ms: int
    resin: str
    probability: float
    reasons: tuple[Reason, ...]


def hold_view(desk: Desk) -> tuple[HoldLine, ...]:
    """All items on the shelf, the one that waits longest first."""
    return tuple(_line(desk, item) for item in desk.with_verdict(Verdict.HOLD))


def settling_tests(desk: Desk, item_ids: tuple[str, ...]) -> Mapping[str, str]:
    """Item → id of the test that would settle it, "" where none would; too slow to be asked while drawing.

    Raises:
        BadInput: the table has no such item.
    """
    found = {item: settling_test(desk, item) for item in item_ids if item in desk.state.items}
    return MappingProxyType({item: test.test if test else "" for item, test in found.items()})


def waited(since_ms: int) -> tuple[str, int]:
    """How long something waits: the largest unit that fits (`days`, `hours`, `minutes`, `now`), and its count."""
    minutes = max(clock.now_ms() - since_ms, 0) // _MS_PER_MINUTE
    hours = minutes // _MINUTES_PER_HOUR
    if hours >= _HOURS_PER_DAY:
        return "days", hours // _HOURS_PER_DAY
    if hours:
        return "hours", hours
    return ("minutes", minutes) if minutes else ("now", 0)


def _line(desk: Desk, item: ItemState) -> HoldLine:
    """One item of the shelf; its resin is what was told with the verdict that holds."""
    told = item.placing_verdict or item.resin_verdict
    return HoldLine(
        item=head(desk, item.id),
        since_ms=wall_ms(item.since),
        resin=told.resin if told else "",
        probability=told.probability if told else 0.0,
        reasons=told.reasons if told else (),
    )
