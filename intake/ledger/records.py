"""How a journal is laid out in bytes, and how it is read back.

A journal is text, one record a line::

    LLLLLLLL CCCCCCCC i/n {"body":…}⏎

L is the length in bytes of what follows the second space up to the line end, C its CRC-32, both as eight
hex digits, and i/n which of its group's n records it is. A group is what one act recorded: it counts only when
all its records are there. The first line is the header, a group of its own.

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

HEAD = 18
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
    """A line that is not as it was written: first byte, line number (from 1) and what is wrong.

    `follows` where the line itself is whole, but stands behind a bad one of the same act.
    """

    start: int
    line: int
    why: str
    follows: bool = False


def frame(payloads: Sequence[bytes]) -> bytes:
    """The bytes of one group, to be written in one go."""
    if len(payloads) == 1:  # nearly every act on the phone, while somebody waits
        body = b"1/1 " + payloads[0]
        return b"%08x %08x %s\n" % (len(body), crc32(body), body)
    lines = []
    for place, payload in enumerate(payloads, 1):
        body = b"%d/%d %s" % (place, len(payloads), payload)
        lines.append(b"%08x %08x %s\n" % (len(body), crc32(body), body))
    return b"".join(lines)


def unframe(line: bytes) -> tuple[int, int, bytes] | str:
    """Place in its group, size of the group and payload of a line; where it does not read, why."""
    body = line[HEAD:-1]
    if not line.startswith(b"%08x %08x " % (len(body), crc32(body))):
        if line[:9] != b"%08x " % len(body):
            return f"its length is {len(body)} bytes, not '{line[:8].decode('ascii', 'backslashreplace')}'"
        return f"its check sum is {crc32(body):08x}, not '{line[9:17].decode('ascii', 'backslashreplace')}'"
    count, _, payload = body.partition(b" ")
    if count == b"1/1":
        return 1, 1, payload
    place, _, size = count.partition(b"/")
    if not (place.isdigit() and size.isdigit()):
        return "it does not say which record of its group it is"
    return int(place), int(size), payload


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
    size = 0
    broken = False
    for number, raw in enumerate(lines, line):
        here, at = at, at + len(raw)
        read: tuple[int, int, bytes] | str
        if (payload := _next_of_group(raw, len(payloads), size)) is not None:
            read, why = (len(payloads) + 1, size, payload), None
        elif raw.endswith(b"\n"):
            read = unframe(raw)
            why = read if isinstance(read, str) else _misplaced(read[0], read[1], len(payloads), size)
        elif _stops_short(raw):
            continue
        else:
            read, why = "", "it has no line end and is no beginning of a record"
        if why is not None or isinstance(read, str):
            follows = broken and isinstance(read, tuple) and read[0] > 1
            yield Bad(start=here, line=number, why=str(why), follows=follows)
            payloads, offsets, first, broken = [], [], at, True
            continue
        broken = False
        size = read[1]
        payloads.append(read[2])
        offsets.append(here)
        if read[0] == size:
            yield Group(start=first, end=at, payloads=tuple(payloads), offsets=tuple(offsets))
            payloads, offsets, first = [], [], at
    if at > first:
        yield Torn(start=first, end=at)


def _next_of_group(line: bytes, before: int, size: int) -> bytes | None:
    """The payload of a whole line that is the next record of a group that has begun; None for anything else."""
    if not before:
        return None
    body = line[HEAD:-1]
    due = b"%d/%d " % (before + 1, size)
    if line.startswith(b"%08x %08x %s" % (len(body), crc32(body), due)) and line.endswith(b"\n"):
        return body[len(due) :]
    return None


def _misplaced(place: int, size: int, before: int, size_before: int) -> str | None:
    """What is wrong with record `place` of `size` behind `before` records of a group of `size_before`."""
    if place == before + 1 and place <= size and (before == 0 or size == size_before):
        return None
    return (
        f"it is record {place} of {size} of its group, behind {before} of {size_before if before else size}"
    )


def _stops_short(rest: bytes) -> bool:
    """True when `rest`, which has no line end, is the beginning of a record, then perhaps zero bytes."""
    known = rest.rstrip(b"\0")
    if len(known) < HEAD:
        return True
    try:
        due = int(known[:8], 16)
    except ValueError:
        return False
    body = known[HEAD:]
    if len(body) < due:
        return True
    return len(known) == len(rest) and known[:HEAD] == b"%08x %08x " % (len(body), crc32(body)) and bool(body)
