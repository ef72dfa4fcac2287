"""The journal file of a ledger: a header, then groups of events, only ever appended to."""

import contextlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Self

from intake.errors import BadInput, DamagedLedger, IntakeError
from intake.ledger.disk import AppendFile, flush, sync_folder, write_durably
from intake.ledger.envelope import canonical, check_station, parse
from intake.ledger.records import HEAD, Bad, Group, Torn, frame, read_groups

NAME = "journal"
FORMAT = 1
"""Version of the layout in bytes; the header carries it."""

OpenFile = Callable[[Path], AppendFile]


class NotRecorded(IntakeError):
    """The disk refused; nothing of the act counts, and the same act can be tried again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TornTail:
    """What a crash left at the end of a journal; no part of it was ever confirmed.

    Attributes:
        start: [bytes] where it begins.
        size: [bytes] how long it is.
        kept_in: file that holds the bytes that were cut; None where nothing was cut.
    """

    start: int
    size: int
    kept_in: Path | None = None


class Journal:
    """One journal file: `groups` reads it, `append` adds to it durably.

    `good` is the length in bytes up to the end of the last whole group. Nothing beyond it counts, and a
    failed append is cut back to it at once or, where the disk refuses that too, before the next append.
    """

    def __init__(self, path: Path, file: AppendFile | None) -> None:
        self.path, self._file = path, file
        self.station = ""
        self.good = 0
        self.torn: TornTail | None = None
        self._unsure = False

    @classmethod
    def create(cls, folder: Path, station: str) -> None:
        """An empty journal in `folder`, complete or not there at all.

        Raises:
            BadInput: there is one already, or `station` is no station id.
        """
        path = folder / NAME
        if path.exists():
            raise BadInput(
                where="Ledger", got=folder, expected="a folder without a ledger; one is never replaced"
            )
        write_durably(path, frame([header(station)]))

    @classmethod
    def open(cls, path: Path, open_file: OpenFile | None = None) -> Self:
        """The journal at `path`, for reading, or with `open_file` for writing too; nothing is read yet."""
        return cls(path, open_file(path) if open_file else None)

    def groups(self) -> Iterator[Group]:
        """All groups from the beginning of the file.

        Raises:
            DamagedLedger: the file does not read as it was written; names the first bad byte.
        """
        self.good, self.torn = 0, None
        found = self.more()
        self.station = read_header(self.path, next(found, None))
        yield from found

    def more(self) -> Iterator[Group]:
        """The groups that stand behind `good`; the torn tail, where there is one, is noted in `torn`.

        Raises:
            DamagedLedger: as for `groups`.
        """
        for found in scan(self.path, self.good):
            if isinstance(found, Bad):
                raise damage(self.path, found.start, found.why)
            if isinstance(found, Torn):
                self.torn = TornTail(start=found.start, size=found.end - found.start)
                return
            self.good = found.end
            yield found

    def proof(self, payloads: Sequence[bytes]) -> str | None:
        """SHA-256 of the file up to `good`, read anew; None where it does not hold exactly these events."""
        with self.path.open("rb") as file:
            data = file.read(self.good)
        found: list[bytes] = []
        for part in read_groups(data.splitlines(keepends=True)):
            if not isinstance(part, Group):
                return None
            found += part.payloads
        return sha256(data).hexdigest() if found[1:] == list(payloads) else None

    def proven(self, size: int, hashed: str) -> list[bytes] | None:
        """The events in the first `size` bytes, where these have that SHA-256; `more` then reads on from there.

        They were read and checked when the hash was taken, so that only the hash is looked at now.
        """
        hashing, payloads, left, first = sha256(), [], size, b""
        try:
            with self.path.open("rb") as file:
                while left > 0 and (line := file.readline()):
                    hashing.update(line)
                    left -= len(line)
                    first = first or line
                    payloads.append(line[line.find(b" ", HEAD) + 1 : -1])
        except OSError:
            return None
        if left or hashing.hexdigest() != hashed:
            return None
        head = next(read_groups([first]), None)
        self.station = read_header(self.path, head if isinstance(head, Group) else None)
        self.good, self.torn = size, None
        return payloads[1:]

    def shrunk(self) -> bool:
        """True when the file is shorter than what was read from it."""
        return self.path.stat().st_size < self.good

    def cut_tail(self) -> None:
        """Cuts a torn tail off; before that its bytes are on the disk in a file beside the journal.

        Raises:
            NotRecorded: the disk refused; the tail is still there.
        """
        if self.torn is None or self._file is None:
            return
        try:
            kept = self._keep(self.torn)
            self._file.cut(self.torn.start)
            self._file.sync()
        except OSError as error:
            raise self._refused(error) from error
        self.torn = TornTail(start=self.torn.start, size=self.torn.size, kept_in=kept)

    def append(self, payloads: Sequence[bytes]) -> None:
        """Adds one group: all of it is on the disk when this returns, or none of it counts.

        Raises:
            NotRecorded: the disk refused.
            DamagedLedger: somebody else changed the file.
        """
        if self._file is None:
            raise IntakeError(f"The ledger {self.path.parent} is open for reading only. Nothing was saved.")
        data = frame(payloads)
        try:
            if self._unsure or self._file.size() != self.good:
                self._settle(self._file)
            self._unsure = True
            written = 0
            while written < len(data):
                written += self._file.append(data[written:])
            self._file.sync()
        except OSError as error:
            with contextlib.suppress(OSError):
                self._settle(self._file)
            raise self._refused(error) from error
        self._unsure = False
        self.good += len(data)

    def close(self) -> None:
        """Lets go of the file."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def _keep(self, torn: TornTail) -> Path:
        """The file that now holds a copy of the torn tail."""
        with self.path.open("rb") as file:
            file.seek(torn.start)
            rest = file.read(torn.size)
        kept = _free_name(self.path.parent, torn.start)
        with kept.open("xb") as aside:
            aside.write(rest)
            aside.flush()
            flush(aside.fileno())
        sync_folder(kept.parent)
        return kept

    def _refused(self, error: OSError) -> NotRecorded:
        """The sentence for a disk that did not do what it was asked."""
        return NotRecorded(
            f"The ledger {self.path.parent} could not be written: {error.strerror or error}. Nothing of this "
            "step was recorded, and nothing recorded before is lost. Try again when it is well."
        )

    def _settle(self, file: AppendFile) -> None:
        """The file ends at `good`, or this raises."""
        if self._unsure:
            file.cut(self.good)
            file.sync()
            self._unsure = False
        elif file.size() != self.good:
            raise damage(self.path, min(file.size(), self.good), "another program changed the file")


def scan(path: Path, start: int = 0) -> Iterator[Group | Torn | Bad]:
    """Everything in the file from byte `start`, whether it reads or not.

    Raises:
        BadInput: there is no such file, or it may not be read.
        DamagedLedger: the disk cannot read it.
    """
    try:
        with path.open("rb") as file:
            file.seek(start)
            yield from read_groups(file, start=start)
    except (FileNotFoundError, NotADirectoryError, PermissionError) as error:
        raise BadInput(
            where="Ledger",
            got=path.parent,
            expected=f"a folder that holds a ledger which can be read ({error.strerror})",
        ) from None
    except OSError as error:
        raise DamagedLedger(f"The disk cannot read {path}: {error.strerror}. Nothing was changed.") from error


def header(station: str) -> bytes:
    """The payload of the first record."""
    return canonical({"journal": FORMAT, "station": check_station(station)})


def read_header(path: Path, first: Group | None) -> str:
    """The station named in the header.

    Raises:
        DamagedLedger: there is no header, or it was written by a newer program.
    """
    if first is None or len(first.payloads) != 1:
        raise damage(path, 0, "it has no header")
    try:
        head = parse(first.payloads[0])
        version, station = head["journal"], check_station(head["station"])
    except (ValueError, KeyError, TypeError, BadInput):
        raise damage(path, 0, "its header does not read") from None
    if version != FORMAT:
        raise DamagedLedger(
            f"The ledger file {path} has layout {version}; this program reads {FORMAT}. Use the program that "
            "wrote it, or a newer one. Nothing was changed."
        )
    return station


def damage(path: Path, start: int, why: str) -> DamagedLedger:
    """The sentence for a record that does not read."""
    return DamagedLedger(
        f"The ledger file {path} reads as it was written up to byte {start}. The record that begins there is "
        f"damaged: {why}. Nothing was changed; 'intake verify' shows what can still be read."
    )


def _free_name(folder: Path, start: int) -> Path:
    """A name for cut bytes that no earlier cut has taken."""
    names = (folder / f"cut-{start}-{number}" for number in range(1, 1_000_000))
    return next(name for name in names if not name.exists())
