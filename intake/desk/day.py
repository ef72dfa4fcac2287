"""One day at the table, as it stood when that day ended: what came in, where it lies, how long it took."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Self

from intake.desk import clock
from intake.desk.campaign import Campaign, campaign_of
from intake.desk.desk import Desk, Numbers
from intake.desk.hearing import heard
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.ledger import Event, Ledger, fold
from intake.ledger.envelope import wall_ms
from intake.ledger.events import PrepDone
from intake.ledger.state import ItemState, TableState
from intake.ledger.told import history_of
from intake.spread import Interval, Spread, interval, mean_of, total
from intake.table.compat.decision import Verdict

BEFORE = "before"
"""Name of the minutes that were spent before an item was entered."""
FATES = ("bin", "lot", "waiting", "open", "hold", "refuse", "written_off", "off")
"""Where mass can be at the end of a day; `off` is what comes off accepted items, `open` has no verdict yet."""
_DAYS_TOLD = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """What one day came to.

    Attributes:
        day: ISO 8601, on this machine's calendar.
        items, pieces: entered that day.
        received: [g] of them as they came.
        fates: [g] of what came that day, by where it is at the end of it; the means add up to that of `received`.
        removed: [g] of `off`, by closure, label, adhesive, residue, moisture.
        minutes: [min] told that day, by step; `before` is what was spent before an item was entered.
        events: how many were recorded that day.
    """

    day: str
    items: int
    pieces: int
    received: Interval
    fates: Mapping[str, Interval]
    removed: Mapping[str, float]
    minutes: Mapping[str, float]
    events: int


class DayDesk(Desk):
    """The desk as it stood at the end of a day; nothing can be recorded."""

    def __init__(self, ledger: Ledger, handbook: Handbook, day: str, events: tuple[Event, ...]) -> None:
        self.day, self.events = day, events
        self._as_of = fold(events)
        super().__init__(ledger, handbook, _campaign(self._as_of, handbook, day))

    @classmethod
    def of(cls, folder: Path, handbook: Handbook, day: str | None = None) -> Self:
        """The table whose ledger lies in `folder`, at the end of `day`, or of the last day with events.

        Raises:
            BadInput: no ledger, no campaign by then, no such day, or a day on which nothing happened.
            DamagedLedger: the journal does not read as it was written.
        """
        with heard(Ledger.open(folder)) as ledger:
            events = tuple(ledger.events())
            wanted = _checked(day, sorted({day_of(e.hlc) for e in events}))
            return cls(ledger, handbook, wanted, tuple(e for e in events if day_of(e.hlc) <= wanted))

    @property
    def state(self) -> TableState:
        """The table as it stood."""
        return self._as_of


def day_of(hlc: str) -> str:
    """The day of a hybrid time on this machine's calendar."""
    return clock.local_minute(wall_ms(hlc))[:10]


def day_at(desk: DayDesk) -> Day:
    """What the day came to.

    Raises:
        BadInput: facts of an item that cannot be, such as parts that weigh more than it.
    """
    came = [desk.numbers(i.id) for i in desk.state.items.values() if day_of(i.since) == desk.day]
    amounts: dict[str, list[Spread]] = {fate: [] for fate in FATES}
    removed: dict[str, float] = defaultdict(float)
    for one in came:
        accepted = one.state.verdict is Verdict.ACCEPT
        amounts[_fate(one.state)].append(one.yields.net_g if accepted else one.yields.received_g)
        for what, mass_g in one.yields.removed.items() if accepted else ():
            amounts["off"].append(mass_g)
            removed[what] += mean_of(mass_g)
    return Day(
        day=desk.day,
        items=len(came),
        pieces=sum(one.item.count for one in came),
        received=interval(total(one.yields.received_g for one in came)),
        fates=MappingProxyType({fate: interval(total(parts)) for fate, parts in amounts.items()}),
        removed=MappingProxyType(dict(removed)),
        minutes=MappingProxyType(dict(_minutes(desk, came))),
        events=sum(1 for e in desk.events if day_of(e.hlc) == desk.day),
    )


def _fate(item: ItemState) -> str:
    if item.written_off is not None:
        return "written_off"
    if item.lot is not None:
        return "lot"
    if item.bin is not None:
        return "bin"
    if item.verdict is None:
        return "open"
    return "waiting" if item.verdict is Verdict.ACCEPT else str(item.verdict)


def _minutes(desk: DayDesk, came: list[Numbers]) -> Iterator[tuple[str, float]]:
    """[min] by step, the most first."""
    spent: dict[str, float] = defaultdict(float)
    for one in came:
        spent[BEFORE] += one.state.facts.minutes or 0.0
    for told in history_of(desk.events).items:
        body = told.event.body
        if isinstance(body, PrepDone) and day_of(told.event.hlc) == desk.day:
            spent[body.step] += body.minutes or 0.0
    yield from sorted(((k, v) for k, v in spent.items() if v > 0.0), key=lambda pair: -pair[1])


def _checked(day: str | None, known: list[str]) -> str:
    """The day itself, where something happened on it; the last such day where none is asked for."""
    if not known:
        raise BadInput(where="Ledger", got="no events", expected="a ledger in which something was recorded")
    if day is None:
        return known[-1]
    try:
        wanted = date.fromisoformat(day.strip()).isoformat()
    except ValueError:
        raise BadInput(where="Day", got=day, expected="a day such as 2026-11-25") from None
    if wanted not in known:
        near = sorted(known, key=lambda d: abs((date.fromisoformat(d) - date.fromisoformat(wanted)).days))
        expected = "a day on which something happened: " + ", ".join(sorted(near[:_DAYS_TOLD]))
        raise BadInput(where="Day", got=day, expected=expected)
    return wanted


def _campaign(state: TableState, handbook: Handbook, day: str) -> Campaign:
    if state.campaign is None:
        raise BadInput(
            where=f"Ledger on {day}", got="no campaign", expected="a day on which a campaign was set"
        )
    return campaign_of(dict(state.campaign.campaign), handbook, where="campaign in the ledger")
