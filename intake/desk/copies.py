"""Copies of a table: a backup becomes a ledger again, and two tables that were apart become one."""

from dataclasses import dataclass
from pathlib import Path

from intake.desk import clock
from intake.desk.exchange.folder import fresh_folder
from intake.desk.hearing import heard
from intake.errors import BadInput
from intake.ledger import Ledger
from intake.ledger.backup import read_kept
from intake.ledger.journal import NAME
from intake.ledger.merge import Merged, take_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """A ledger made from a backup.

    Attributes:
        events: that it holds.
        was: the table whose backup it was.
        station: what this one writes as from now on.
        torn: [bytes] of an act cut short at the end of the file, which never counted.
    """

    events: int
    was: str
    station: str
    torn: int


def restore(file: Path, folder: Path) -> Restored:
    """A ledger in `folder` with everything in the backup, as it was written.

    It is a table of its own: it has a new station id in its first line, so that whatever goes on at the table the
    backup was made of, no hub and no merge ever sees two histories of one station.

    Raises:
        BadInput: the file is no backup that can be read, or the folder is not empty or cannot be written.
        DamagedLedger: the backup does not read as it was written.
    """
    kept = read_kept(file / NAME if file.is_dir() else file)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise BadInput(where="Ledger", got=folder, expected="a new or empty folder for it")
    station = f"{kept.station.split('-')[0]}-{clock.new_token(3)}"
    with (
        fresh_folder(folder) as aside,
        Ledger.create(aside, station=station, now_ms=clock.now_ms, what="intake restore") as ledger,
    ):
        ledger.adopt(kept.payloads)
    torn = kept.torn.size if kept.torn else 0
    return Restored(events=len(kept.payloads), was=kept.station, station=station, torn=torn)


def merge_into(folder: Path, other: Path) -> Merged:
    """Brings what the ledger or backup at `other` knows into the ledger in `folder`; `other` is only read.

    Raises:
        BadInput: one of the two is no ledger.
        LedgerBusy: another process writes to `folder`.
        DamagedLedger: one of the two does not read as it was written.
        Refusal: the two tell different things of one station.
    """
    with heard(Ledger.open(folder, writer=True, now_ms=clock.now_ms, what="intake merge")) as ledger:
        return take_in(ledger, read_kept(other / NAME if other.is_dir() else other).payloads)
