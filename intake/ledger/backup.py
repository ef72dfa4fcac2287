"""A copy of a ledger in one file, made while others write, and read again.

A backup is a journal up to its last whole act, byte for byte: whatever reads a journal reads a backup.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from intake.errors import BadInput, Refusal
from intake.ledger.chain import Chain, Head
from intake.ledger.disk import write_durably
from intake.ledger.envelope import parse
from intake.ledger.journal import NAME, Journal, TornTail, damage
from intake.ledger.records import Group


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What a journal file holds, read and checked from its first byte.

    Attributes:
        station: the table that made the ledger.
        size: [bytes] up to the end of the last whole act.
        payloads: the events as they were written.
        heads: station → its last event.
        torn: what stands behind the last whole act; None where nothing does.
    """

    station: str
    size: int
    payloads: tuple[bytes, ...]
    heads: Mapping[str, Head]
    torn: TornTail | None


def read_kept(file: Path) -> Kept:
    """Everything in a journal or backup.

    Raises:
        BadInput: there is no such file, or it may not be read.
        DamagedLedger: it does not read as it was written; names the first bad byte.
    """
    journal, chain = Journal.open(file), Chain()
    payloads: list[bytes] = []
    for group in journal.groups():
        _check(group, chain, file)
        payloads += group.payloads
    return Kept(
        station=journal.station,
        size=journal.good,
        payloads=tuple(payloads),
        heads=dict(chain.heads),
        torn=journal.torn,
    )


def back_up(folder: Path, file: Path) -> Kept:
    """Copies the ledger in `folder` to `file`; whoever writes to it meanwhile is not held up.

    A file that is an older backup of the same ledger is replaced, at once and whole; nothing else ever is.

    Raises:
        BadInput: no ledger there, `file` is something else, or it cannot be written.
        Refusal: `file` holds events that the ledger has not.
        DamagedLedger: the ledger does not read as it was written; no backup is made of that.
    """
    journal = folder / NAME
    kept = read_kept(journal)
    with journal.open("rb") as source:
        data = source.read(kept.size)
    if file.exists():
        _check_older(file, data)
    try:
        write_durably(file, data)
        again = read_kept(file)
    except OSError as error:
        expected = f"a file that can be written ({error.strerror or error})"
        raise BadInput(where="Backup", got=file, expected=expected) from None
    if again.payloads != kept.payloads:
        raise Refusal(f"The backup {file} does not hold what was written to it. Use another disk.")
    return kept


def known_heads(path: Path) -> Mapping[str, Head]:
    """The heads that a ledger folder or a backup file knows.

    Raises:
        BadInput, DamagedLedger: as for `read_kept`.
    """
    return read_kept(path / NAME if path.is_dir() else path).heads


def _check(group: Group, chain: Chain, file: Path) -> None:
    """Every event of the group fits the chain."""
    for payload, start in zip(group.payloads, group.offsets, strict=True):
        try:
            fault = chain.add(parse(payload), payload)
        except ValueError as error:
            fault = f"it holds no event ({error})"
        if fault is not None:
            raise damage(file, start, fault)


def _check_older(file: Path, data: bytes) -> None:
    """What stands at `file` is how the new backup begins."""
    if file.is_dir():
        raise BadInput(where="Backup", got=file, expected="the name of a file, such as quayside.backup")
    with file.open("rb") as stream:
        old = stream.read(len(data) + 1)
    if data.startswith(old):
        return
    if old.startswith(data):
        raise Refusal(
            f"The backup {file} holds more than the ledger: its last acts are missing there. Nothing was "
            f"written. 'intake verify --against {file}' says which; 'intake merge' can bring them back."
        )
    expected = "a new file, or an older backup of this ledger"
    raise BadInput(where="Backup", got=file, expected=expected, kept="What stands there still stands.")
