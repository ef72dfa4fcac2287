"""The file that makes opening quick: the folded state beside the journal, with what proves that the two belong.

Three parts, each on its own lines::

    snapshot 1 CCCCCCCC⏎         CRC-32 of all that follows
    {"events":…,"journal":…}⏎    how far it goes, the heads of the stations, everything but the items
    {"facts":…}⏎                 one item a line

It carries the SHA-256 of the journal up to where it goes: a journal that begins with other bytes is read whole,
and told. So a snapshot saves time and proves nothing that the journal does not; it can be deleted at any time.
It is the one thing beside another table's ledger that can tell when the last acts of a journal are lost.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from types import MappingProxyType
from typing import Any
from zlib import crc32

import intake
from intake.errors import Finding
from intake.ledger.chain import Head
from intake.ledger.disk import write_durably
from intake.ledger.envelope import canonical, parse

NAME = "snapshot"
FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """What a ledger came to at some moment.

    Attributes:
        size: [bytes] of the journal up to there.
        sha256: of those bytes, in hex.
        heads: station → its last event up to there.
        program: which program folded it; another one may fold otherwise.
        rest: what `memory` put aside.
        lines: the items.
    """

    size: int
    sha256: str
    heads: Mapping[str, Head]
    program: str
    rest: Mapping[str, Any]
    lines: list[bytes]


class NotUsableError(ValueError):
    """A snapshot that cannot be used; says why in a few words."""


def write_snapshot(folder: Path, snapshot: Snapshot) -> None:
    """Puts the snapshot beside the journal, whole or not at all.

    Raises:
        OSError: the disk refused; the ledger needs no snapshot.
    """
    heads = {name: [head.seq, head.hash, head.hlc] for name, head in snapshot.heads.items()}
    top = {
        "journal": [snapshot.size, snapshot.sha256],
        "heads": heads,
        "program": snapshot.program,
        "rest": snapshot.rest,
    }
    body = b"\n".join([canonical(top), *snapshot.lines, b""])
    path = folder / NAME
    try:
        write_durably(path, b"snapshot %d %08x\n%s" % (FORMAT, crc32(body), body))
    finally:
        path.with_name(path.name + ".part").unlink(missing_ok=True)


def read_snapshot(folder: Path) -> Snapshot | None:
    """The snapshot in `folder`; None where there is none.

    Raises:
        NotUsableError: it does not read.
    """
    try:
        data = (folder / NAME).read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise NotUsableError(f"it cannot be read: {error.strerror}") from None
    title, _, body = data.partition(b"\n")
    if title != b"snapshot %d %08x" % (FORMAT, crc32(body)):
        raise NotUsableError("it is not as it was written")
    top, *lines = body.split(b"\n")
    try:
        found = parse(top)
        size, hashed = found["journal"]
        heads = {s: Head(seq=seq, hash=h, hlc=hlc) for s, (seq, h, hlc) in found["heads"].items()}
        return Snapshot(
            size=size,
            sha256=hashed,
            heads=heads,
            program=found["program"],
            rest=found["rest"],
            lines=lines[:-1],
        )
    except (ValueError, KeyError, TypeError, AttributeError):
        raise NotUsableError("it was written by another version of this program") from None


def lost(
    known: Mapping[str, Head],
    here: Mapping[str, Head],
    who: str,
    hashes: Mapping[tuple[str, int], str] = MappingProxyType({}),
) -> Iterator[Finding]:
    """Acts that somebody else knows and a journal does not hold: its end is missing, or it is another one.

    Args:
        known: the heads that the other one knows.
        here: the heads of the journal.
        who: the other one, in words.
        hashes: station and number → hash of events of the journal that stand before its heads.
    """
    for station, head in sorted(known.items()):
        mine = here.get(station)
        ends = mine.seq if mine else 0
        if ends < head.seq:
            expected = f"event {head.seq}, which {who} knows: the last {head.seq - ends} are missing here"
            yield Finding(where=f"Events of {station}", got=f"ends at {ends}", expected=expected)
        elif mine is not None:
            hashed = mine.hash if ends == head.seq else hashes.get((station, head.seq), head.hash)
            if hashed != head.hash:
                expected = f"the one that {who} knows"
                yield Finding(
                    where=f"Events of {station}", got=f"another event {head.seq}", expected=expected
                )


@lru_cache(maxsize=1)
def program() -> str:
    """Names this program by its version and the very text of its ledger: changed rules fold anew."""
    files = sorted(p for p in Path(__file__).parent.iterdir() if p.suffix in (".py", ".pyc"))
    text = sha256(b"".join(p.name.encode() + p.read_bytes() for p in files)).hexdigest()
    return f"{intake.__version__} {text[:16]}"
