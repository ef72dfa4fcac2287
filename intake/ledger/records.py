"""How a journal is laid out in bytes, and how it is read back.

A journal is text, one record a line::

    LLLLLLLL CCCCCCCC N {"body":…}⏎

L is the length in bytes of what follows the second space up to the line end, C its CRC-32, both as eight
hex digits, and N how many records of the same group are still to come. A group is what one act recorded: it
counts only when its last record (N = 0) is there. The first line is the header, a group of its own.

JSON written by `canonical` never holds a raw line end, so the next record always begins after one: a bad
length cannot swallow what follows. What a crash leaves behind is a beginning of the last write: whole records
of a group without its end, then perhaps a line that stops short, then perhaps zero bytes where the size was
recorded before the content. Only that is a torn tail. Everything else that does not read is damage, also in
the last line: a whole line with a wrong CRC was once written whole, and perhaps confirmed.

Loss of whole groups at the very end cannot be seen from a journal alone, only against a copy or the head that
another table knows of this station.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from zlib import crc32

_HEAD = 18
"""[bytes] length and CRC, each with its space."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The payloads of one act; `start` and `end` are [bytes] from the beginning of the file."""

    start: int
    end: int
    payloads: tuple[bytes, ...]
    offsets: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Torn:
    """What a crash left at the end: from byte `start` to byte `end`, never confirmed to anybody."""

    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bad:
    """A line that is not as it was written: first byte, line number (from 1) and what is wrong."""

    start: int
    line: int
    why: str


def frame(payloads: Sequence[bytes]) -> bytes:
    """The bytes of one group, to be written in one go."""
    last = len(payloads) - 1
    lines = []
    for place, payload in enumerate(payloads):
        body = b"%d %s" % (last - place, payload)
        lines.append(b"%08x %08x %s\n" % (len(body), crc32(body), body))
    return b"".join(lines)


def unframe(line: bytes) -> tuple[int, bytes] | str:
    """Records still to come and the payload of a line with its line end; where it does not read, why."""
    body = line[_HEAD:-1]
    if line[:_HEAD] != b"%08x %08x " % (len(body), crc32(body)):
        if line[:9] != b"%08x " % len(body):
            return f"its length is {len(body)} bytes, not '{line[:8].decode('ascii', 'backslashreplace')}'"
        return f"its check sum is {crc32(body):08x}, not '{line[9:17].decode('ascii', 'backslashreplace')}'"
    count, space, payload = body.partition(b" ")
    if not space or not count.isdigit():
        return "it does not say how many records follow"
    return int(count), payload


def read_groups(lines: Iterable[bytes], *, start: int = 0, line: int = 1) -> Iterator[Group | Torn | Bad]:
    """Groups in the order they were written; what does not read is told in its place, and reading goes on.

    Args:
        lines: the file's lines with their line ends, as a binary file gives them.
        start: [bytes] where the first of them stands in the file.
        line: its number.
    """
    payloads: list[bytes] = []
    offsets: list[int] = []
    at = first = start
    due = -1
    for number, raw in enumerate(lines, line):
        here, at = at, at + len(raw)
        if not raw.endswith(b"\n"):
            if _stops_short(raw):
                continue
            yield Bad(start=here, line=number, why="it has no line end and is no beginning of a record")
            payloads, offsets, due, first = [], [], -1, at
            continue
        read = unframe(raw)
        if isinstance(read, str) or (due >= 0 and read[0] != due):
            why = (
                read
                if isinstance(read, str)
                else f"its group is not whole: {due} should follow, not {read[0]}"
            )
            yield Bad(start=here, line=number, why=why)
            payloads, offsets, due, first = [], [], -1, at
            continue
        payloads.append(read[1])
        offsets.append(here)
        due = read[0] - 1
        if due < 0:
            yield Group(start=first, end=at, payloads=tuple(payloads), offsets=tuple(offsets))
            payloads, offsets, first = [], [], at
    if at > first:
        yield Torn(start=first, end=at)


def _stops_short(rest: bytes) -> bool:
    """True when `rest`, which has no line end, is the beginning of a record, then perhaps zero bytes."""
    known = rest.rstrip(b"\0")
    if len(known) < _HEAD:
        return True
    try:
        due = int(known[:8], 16)
    except ValueError:
        return False
    body = known[_HEAD:]
    if len(body) < due:
        return True
    return (
        len(known) == len(rest) and known[:_HEAD] == b"%08x %08x " % (len(body), crc32(body)) and bool(body)
    )
