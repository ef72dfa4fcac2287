"""Who may come in when the table is shared: one code, the devices that gave it, and a lock against guessing.

Everything lives in memory and on the event loop: a restart makes a new code and lets nobody in without it.
"""

import asyncio
import hashlib
import hmac
import secrets
from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import dataclass, field
from enum import StrEnum

from intake.desk.clock import now_ms

_MINUTE_MS = 60_000
CODE_DIGITS = 6
CODE_MS = 12 * 60 * _MINUTE_MS
"""[ms] how long a code can be used."""
DEVICE_MS = 24 * 60 * _MINUTE_MS
"""[ms] how long a device that gave it stays in."""
WINDOW_MS = 15 * _MINUTE_MS
"""[ms] how long a wrong code counts, and so how long a lock holds."""
WRONG_BY_ADDRESS, WRONG_BY_ALL, WRONG_BY_CODE = 5, 30, 100
"""Wrong codes that lock out one address, that lock everybody out, and that use the code up.

A hundred guesses at a million codes hit one in ten thousand times; then somebody has to make a new code.
"""
MAX_DEVICES = 200
NAME_LENGTH = 20


class Answer(StrEnum):
    """What came of giving a code; each has its sentence."""

    JOINED = "joined"
    WRONG = "wrong"
    LOCKED = "locked"
    EXPIRED = "expired"
    FULL = "full"


@dataclass(frozen=True, slots=True, eq=False)
class Device:
    """A phone or browser that gave the code. `over` is set when it has to leave."""

    id: str
    name: str
    until_ms: int
    over: asyncio.Event = field(default_factory=asyncio.Event)


DEVICE: ContextVar[Device | None] = ContextVar("DEVICE", default=None)
"""Whose request or session this is; None where the table is not shared."""


class Door:
    """The code of a shared table and who came in with it."""

    def __init__(self, clock: Callable[[], int] = now_ms) -> None:
        self._clock = clock
        self._key = secrets.token_bytes(32)
        self._devices: dict[str, Device] = {}
        self.on_change: Callable[[], object] = lambda: None
        self.new_code()

    def new_code(self, keep: Device | None = None) -> None:
        """Make a new code and send out every device but the one to `keep`."""
        self.code = f"{secrets.randbelow(10**CODE_DIGITS):0{CODE_DIGITS}}"
        self.until_ms = self._clock() + CODE_MS
        self._wrong: list[tuple[str, int]] = []
        self._wrong_ever = 0
        leaving = [d for d in self._devices.values() if d is not keep]
        self._devices = {d.id: d for d in self._devices.values() if d is keep}
        for device in leaving:
            device.over.set()
        self.on_change()

    @property
    def expired(self) -> bool:
        """Whether the code is too old, or was guessed at too often, to be used."""
        return self._clock() >= self.until_ms or self._wrong_ever >= WRONG_BY_CODE

    @property
    def joined(self) -> int:
        """How many devices are in."""
        return sum(d.until_ms > self._clock() for d in self._devices.values())

    def locked(self, address: str) -> bool:
        """Whether codes from this address are not looked at for now."""
        since = self._clock() - WINDOW_MS
        self._wrong = [(a, t) for a, t in self._wrong if t > since]
        return (
            len(self._wrong) >= WRONG_BY_ALL or sum(a == address for a, _ in self._wrong) >= WRONG_BY_ADDRESS
        )

    def come_in(self, given: str, address: str, name: str = "") -> tuple[Answer, str]:
        """Give a code.

        Args:
            given: as somebody typed it; spaces and hyphens do not matter.
            address: where it came from.
            name: initials or the phone's name; may be empty.

        Returns:
            What came of it, and the token that shows the device later; empty unless it joined.
        """
        if self.locked(address):
            return Answer.LOCKED, ""
        if self.expired:
            return Answer.EXPIRED, ""
        typed = "".join(c for c in given if not c.isspace() and c != "-")
        if not hmac.compare_digest(typed.encode(), self.code.encode()):
            self._wrong.append((address, self._clock()))
            self._wrong_ever += 1
            return Answer.WRONG, ""
        return self._let_in(name)

    def _let_in(self, name: str) -> tuple[Answer, str]:
        """Note a device that gave the right code."""
        now = self._clock()
        self._devices = {d.id: d for d in self._devices.values() if d.until_ms > now}
        if len(self._devices) >= MAX_DEVICES:
            return Answer.FULL, ""
        device = Device(secrets.token_hex(16), plain_name(name), now + DEVICE_MS)
        self._devices[device.id] = device
        self.on_change()
        return Answer.JOINED, f"{device.id}.{self._sign(device.id)}"

    def device_of(self, token: str) -> Device | None:
        """The device that shows this token; None where it is forged, too old or was sent out."""
        device_id, _, signature = token.partition(".")
        if not hmac.compare_digest(signature.encode(), self._sign(device_id).encode()):
            return None
        device = self._devices.get(device_id)
        return device if device and device.until_ms > self._clock() else None

    def _sign(self, device_id: str) -> str:
        return hmac.new(self._key, device_id.encode(), hashlib.sha256).hexdigest()


def plain_name(name: str) -> str:
    """Letters, digits and single spaces, cut to a length that fits a list."""
    kept = "".join(c if c.isalnum() else " " for c in name[: 4 * NAME_LENGTH])
    return " ".join(kept.split())[:NAME_LENGTH].rstrip()
