"""One tap, one act: what keeps a double tap, or one that was meant for the screen before, from counting."""

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Any, cast

import flet as ft

from intake.app.guards import safe_handler
from intake.words import Words

SETTLE_S = 0.35
"""[s] a new screen takes no tap for as long as the second half of a double tap may take to arrive."""
RELEASE_S = 1.5
"""[s] after which a screen that should have been left takes taps again."""

Deed = Callable[[], Awaitable[str | None]]
"""Does one act and gives the address to go to; nothing to stay."""


@dataclass(slots=True)
class _Gate:
    """Since when a screen stands [s of the loop's clock], and whether an act is under way on it."""

    born_s: float
    shut: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Presses:
    """The taps of one screen; `busy` while one is being done, so that the screen can show it."""

    words: Words
    busy: bool
    set_busy: Callable[[bool], Any]
    gate: _Gate
    go: Callable[[str], Any]

    def once(self, deed: Deed) -> Callable[[Any], Any]:
        """A handler that does `deed` where no other is under way, and goes where it leads."""

        async def pressed() -> None:
            loop = asyncio.get_running_loop()
            if self.gate.shut or loop.time() - self.gate.born_s < SETTLE_S:
                return
            self._shut(True)
            try:
                leads_to = await deed()
            except BaseException:
                self._shut(False)
                raise
            if leads_to:
                self.go(leads_to)
                loop.call_later(RELEASE_S, self._shut, False)
            else:
                self._shut(False)

        return safe_handler(self.words, pressed)

    def goes(self, address: str) -> Callable[[Any], Any]:
        """A handler that only goes somewhere."""

        async def deed() -> str:
            return address

        return self.once(deed)

    def _shut(self, shut: bool) -> None:  # noqa: FBT001
        self.gate.shut = shut
        self.set_busy(shut)


def _new_gate() -> Any:
    """A gate for a screen that is shown from now on."""
    return _Gate(asyncio.get_running_loop().time())


def use_presses(words: Words) -> Presses:
    """Hook: the taps of this screen."""
    busy, set_busy = ft.use_state(False)
    gate = cast("_Gate", ft.use_ref(_new_gate).current)  # one object for the screen's life
    return Presses(words=words, busy=busy, set_busy=set_busy, gate=gate, go=ft.context.page.navigate)
