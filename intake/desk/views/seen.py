"""Views worked out once for each state of the table, however many phones show them."""

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

from intake.desk.desk import Desk
from intake.ledger.state import TableState

T = TypeVar("T")
MOST = 256
"""Views that are kept; beyond it the longest unused one goes."""


@dataclass(slots=True)
class _Kept:
    """One view and the state it was worked out for; the lock lets one thread work and the others wait."""

    state: TableState | None = None
    value: Any = None
    lock: threading.Lock = field(default_factory=threading.Lock)


class Seen:
    """The views of one desk; safe from any thread."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._kept: dict[tuple[Callable[..., Any], tuple[Any, ...]], _Kept] = {}
        self._guard = threading.Lock()

    def __call__(self, make: Callable[..., T], *args: Any) -> T:
        """`make(desk, *args)`, or what it gave before where nothing happened since."""
        kept = self._slot(make, args)
        with kept.lock:
            state = self.desk.state
            if kept.state is not state:
                kept.value, kept.state = make(self.desk, *args), state
            return cast("T", kept.value)

    def last(self, make: Callable[..., T], *args: Any) -> T | None:
        """What `make(desk, *args)` gave last, also for an older state; None where it never ran."""
        kept = self._kept.get((make, args))
        return None if kept is None else cast("T | None", kept.value)

    def _slot(self, make: Callable[..., Any], args: tuple[Any, ...]) -> _Kept:
        """The place of a view, moved to the end of the line."""
        with self._guard:
            kept = self._kept.pop((make, args), None) or _Kept()
            self._kept[make, args] = kept
            while len(self._kept) > MOST:
                del self._kept[next(iter(self._kept))]
            return kept
