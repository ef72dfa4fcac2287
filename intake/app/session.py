"""What the sessions of one process share, and how each hears that it changed.

An `ft.observable` must not be shared: a change made on one phone would send the other phone's picture to the
first. So the desk is a plain object, and every session subscribes to the hub with its own context.
"""

import asyncio
import contextvars
import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

import flet as ft

from intake.app.door import Door
from intake.app.parts.frame import Width
from intake.app.tags import Tags
from intake.desk.desk import Desk
from intake.desk.views.seen import Seen
from intake.words import Words

LOG = logging.getLogger("intake.app")
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class _Member:
    """One component of one session that wants to hear of changes."""

    session: str
    loop: asyncio.AbstractEventLoop
    context: contextvars.Context
    again: Callable[[], None]


class Hub:
    """Tells every session that something changed; safe from any thread, route or session."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._members: dict[int, _Member] = {}
        self._last = 0

    def subscribe(self, again: Callable[[], None], session: str = "") -> Callable[[], None]:
        """Have `again` called on this loop in this context at every change; returns how to leave."""
        member = _Member(session, asyncio.get_running_loop(), contextvars.copy_context(), again)
        with self._lock:
            self._last += 1
            number = self._last
            self._members[number] = member
        return lambda: self._drop(lambda n, _: n == number)

    def forget(self, session: str) -> None:
        """A session is over; Flet does not unmount what it showed, so nothing else would leave for it."""
        self._drop(lambda _, member: member.session == session)

    def publish(self) -> None:
        """Something changed: every session draws again."""
        self._drop(lambda _, member: member.loop.is_closed())
        with self._lock:
            members = tuple(self._members.values())
        for member in members:
            member.loop.call_soon_threadsafe(member.again, context=member.context)

    def _drop(self, gone: Callable[[int, _Member], bool]) -> None:
        """Let go of all members that are `gone`."""
        with self._lock:
            self._members = {n: m for n, m in self._members.items() if not gone(n, m)}

    def __len__(self) -> int:
        return len(self._members)


@dataclass(frozen=True, kw_only=True, eq=False)
class Shared:
    """What every session of this process works with."""

    desk: Desk
    words: Words
    hub: Hub = field(default_factory=Hub)
    door: Door | None = None
    """Of a shared table; None where only this machine can reach it."""
    uploads: Path | None = None
    """Where photos lie until they are read; None where none can be sent."""
    address: str = ""
    """Where phones find a shared table, such as `http://192.168.1.7:8550`."""

    @cached_property
    def seen(self) -> Seen:
        """The desk's views: `seen(home_view)` is worked out once for each state of the table."""
        return Seen(self.desk)

    @cached_property
    def tags(self) -> Tags:
        """The tags of the bins as files."""
        return Tags(self.desk, self.words, self.hub.publish)

    async def act(self, work: Callable[..., T], *args: Any) -> T:
        """Do one act of the desk off the event loop, then let every session draw again.

        Raises:
            IntakeError: the act was refused; nothing is published then.
        """
        result = await asyncio.to_thread(work, *args)
        self.hub.publish()
        return result


SharedContext: Any = ft.create_context(None)
WidthContext = ft.create_context(Width.PHONE)
"""How much stands side by side in this session's window."""
LargeTextContext = ft.create_context(False)
"""Whether the person reads with text so large that fewer things fit side by side."""


def use_shared() -> Shared:
    """Hook: what the sessions share.

    Raises:
        LookupError: the component does not stand below the root.
    """
    shared = ft.use_context(SharedContext)
    if not isinstance(shared, Shared):
        raise LookupError("A screen stands outside the root; it has no desk.")  # noqa: TRY004  a place, not a type
    return shared


def use_words() -> Words:
    """Hook: the sentences; keys come back as themselves outside the root."""
    shared = ft.use_context(SharedContext)
    return shared.words if isinstance(shared, Shared) else Words("en", {})


def use_version(hub: Hub) -> int:
    """Hook: draw this component again whenever the hub says so; returns how often it did.

    A counter: a draw asked for while the phone sleeps is dropped, and an equal value would not draw later.
    """
    version, set_version = ft.use_state(0)
    session = ft.context.page.session.id

    def again() -> None:
        set_version(lambda v: v + 1)

    ft.use_effect(lambda: hub.subscribe(again, session), [])
    return int(version)


def use_later(shared: Shared, version: int, make: Callable[..., T], *args: Any) -> T | None:
    """Hook: a view that is too slow to be asked while drawing, worked out beside the event loop.

    Args:
        shared: with the desk.
        version: of `use_version`; the view is worked out anew when it counts on.
        make: called as for `Shared.seen`.
        *args: what `make` takes after the desk; compared by value.

    Returns:
        What it gave last; None until it came for the first time.
    """
    _, draw_again = ft.use_state(0)

    async def work() -> None:
        before = shared.seen.last(make, *args)
        try:
            now = await asyncio.to_thread(shared.seen, make, *args)
        except Exception:
            LOG.exception("could not work out %s", make.__qualname__)
        else:
            if now is not before:
                draw_again(lambda n: n + 1)

    ft.use_effect(work, [version, *args])
    return shared.seen.last(make, *args)


def keep_in_touch(page: ft.Page, hub: Hub) -> None:
    """Draw everything again when this phone comes back, and forget it when its session ends; once per session."""
    session = page.session.id
    page.on_connect = lambda _: hub.publish()
    page.on_close = lambda _: hub.forget(session)
