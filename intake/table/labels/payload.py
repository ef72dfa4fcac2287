"""The text in a label's symbol: a line for people, a line for machines; strict when it is read back.

`shared/bin-label.md` describes the format. It fits a QR symbol of version 6 at error correction level Q.
"""

import re
import zlib
from dataclasses import dataclass
from enum import StrEnum

from intake.errors import BadInput
from intake.table.resins import Reason

VERSION = 1
MAX_LINE = 48
MAX_MACHINE = 25
MAX_BYTES = MAX_LINE + 1 + MAX_MACHINE

_DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Crockford's base 32: no I, L, O or U, so that a check read aloud is not misheard."""
_PLAIN = re.compile(r"[ -~]+")
_ID = re.compile(r"[A-Z0-9]+(?:-[A-Z0-9]+)*")
_MACHINE = re.compile(r"RI1([TL])((?: [A-Z0-9]+(?:-[A-Z0-9]+)*){1,2}) ([0-9A-HJKMNP-TV-Z]{4})")
_ANY_VERSION = re.compile(r"RI([0-9]{1,4})[A-Z](?: |$)")


class LabelKind(StrEnum):
    """What the label hangs on: an open bin (a tag) or a closed lot."""

    TAG = "T"
    LOT = "L"


@dataclass(frozen=True, slots=True, kw_only=True)
class Payload:
    """What a symbol says.

    Attributes:
        kind: tag of a bin, or label of a lot.
        ids: one or two ids (a lot, then its bin), capital letters, digits and hyphens.
        line: the sentence for people, 1 to 48 printable ASCII characters.
    """

    kind: LabelKind
    ids: tuple[str, ...]
    line: str

    def __post_init__(self) -> None:
        if not (_PLAIN.fullmatch(self.line) and len(self.line) <= MAX_LINE):
            expected = f"1 to {MAX_LINE} plain ASCII characters"
            raise BadInput(where="Label line", got=self.line, expected=expected)
        if not (1 <= len(self.ids) <= 2 and all(_ID.fullmatch(i) for i in self.ids)):  # noqa: PLR2004
            raise BadInput(where="Label ids", got=self.ids, expected="one or two ids such as QT-04")
        if len(self._head()) + 5 > MAX_MACHINE:
            raise BadInput(where="Label ids", got=self.ids, expected=f"ids that fit {MAX_MACHINE} characters")

    def _head(self) -> str:
        """The machine line without its check."""
        return f"RI{VERSION}{self.kind} {' '.join(self.ids)}"

    @property
    def text(self) -> str:
        """The whole text, at most 74 bytes of ASCII."""
        body = f"{self.line}\n{self._head()}"
        return f"{body} {check(body)}"


class Found(StrEnum):
    """What a scanned text turned out to be."""

    OURS = "ours"
    NEWER = "newer"
    DAMAGED = "damaged"
    FOREIGN = "foreign"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scan:
    """A scanned text: what it is, its payload where it is ours and whole, and why where it is not."""

    found: Found
    payload: Payload | None = None
    reason: Reason | None = None


def check(body: str) -> str:
    """Four characters that change when `body` does: the low 20 bits of its CRC-32, in base 32.

    Source: CRC-32 as in ISO-HDLC (zlib). A damaged text passes by chance once in about a million.
    """
    low = zlib.crc32(body.encode("utf-8", "surrogatepass"))
    return "".join(_DIGITS[(low >> shift) & 31] for shift in (15, 10, 5, 0))


def read_payload(text: str) -> Scan:
    """What a scanned text says; never raises, because anything may stand in front of a camera."""
    head, _, machine = text.rpartition("\n")
    version = _ANY_VERSION.match(machine)
    if version is None:
        return Scan(found=Found.FOREIGN, reason=Reason.of("scan_foreign"))
    if int(version[1]) > VERSION:
        return Scan(found=Found.NEWER, reason=Reason.of("scan_newer", version=version[1]))
    whole = _MACHINE.fullmatch(machine)
    if whole is None or check(f"{head}\n{machine[:-5]}") != whole[3]:
        return Scan(found=Found.DAMAGED, reason=Reason.of("scan_damaged"))
    try:
        payload = Payload(kind=LabelKind(whole[1]), ids=tuple(whole[2].split()), line=head)
    except BadInput:
        return Scan(found=Found.DAMAGED, reason=Reason.of("scan_damaged"))
    return Scan(found=Found.OURS, payload=payload)
