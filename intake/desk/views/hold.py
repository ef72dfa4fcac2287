"""What lies on the hold shelf: since when, why, and the one test that would settle it."""

from collections.abc import Mapping
from dataclasses import dataclass

from intake.desk import clock
from intake.desk.desk import Desk
from intake.desk.hold import Settle, held_since, settled_by
from intake.desk.views.item import ItemHead, head
from intake.ledger.state import ItemState
from intake.table.compat.decision import Verdict
from intake.table.resins import Reason

_MS_PER_MINUTE, _MINUTES_PER_HOUR, _HOURS_PER_DAY = 60_000, 60, 24


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLine:
    """One item on the shelf.

    Attributes:
        item: in a few words.
        since_ms: [ms] since 1970, when it was put on hold.
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
    return tuple(_line(desk, desk.state.items[item], since) for item, since in held_since(desk).items())


def settlings(desk: Desk, item_ids: tuple[str, ...]) -> Mapping[str, Settle]:
    """Held item → what would settle it; too slow to be asked while drawing. One held no more is left out."""
    held = {item.id: item for item in desk.with_verdict(Verdict.HOLD)}
    return settled_by(desk, (held[item] for item in item_ids if item in held))


def waited(since_ms: int) -> tuple[str, int]:
    """How long something waits: the largest unit that fits (`days`, `hours`, `minutes`, `now`), and its count."""
    minutes = max(clock.now_ms() - since_ms, 0) // _MS_PER_MINUTE
    hours = minutes // _MINUTES_PER_HOUR
    if hours >= _HOURS_PER_DAY:
        return "days", hours // _HOURS_PER_DAY
    if hours:
        return "hours", hours
    return ("minutes", minutes) if minutes else ("now", 0)


def _line(desk: Desk, item: ItemState, since_ms: int) -> HoldLine:
    """One item of the shelf; its resin is what was told with the verdict that holds."""
    told = item.placing_verdict or item.resin_verdict
    return HoldLine(
        item=head(desk, item.id),
        since_ms=since_ms,
        resin=told.resin if told else "",
        probability=told.probability if told else 0.0,
        reasons=told.reasons if told else (),
    )
