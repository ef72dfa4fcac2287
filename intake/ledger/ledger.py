"""The ledger of one collection table: append events, read them, and see the state that follows from them."""

import threading
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NoReturn, Self

from tinydb.queries import QueryLike

from intake.errors import BadInput, DamagedLedger, IntakeError, Refusal
from intake.ledger.aside import Aside
from intake.ledger.chain import Head
from intake.ledger.codec import event_of
from intake.ledger.disk import DiskFile, sync_folder
from intake.ledger.envelope import Event, check_station, digest, parse
from intake.ledger.events import Body
from intake.ledger.journal import NAME, Journal, OpenFile, TornTail
from intake.ledger.lock import WriterLock
from intake.ledger.memory import Memory
from intake.ledger.stamp import stamped
from intake.ledger.state import TableState
from intake.ledger.storage import EventBase
from intake.ledger.unswept import unswept

Clock = Callable[[], int]
"""[ms] since 1970; handed in by the desk."""


class Ledger:
    """What happened at a table, for ever; one writer, many readers, safe to share between threads.

    Attributes:
        folder: where it lives.
        torn: what a crash left at the end, cut aside if this is the writer; None after a clean stop.
    """

    def __init__(
        self,
        folder: Path,
        *,
        lock: WriterLock | None = None,
        clock: Clock | None = None,
        open_file: OpenFile = DiskFile,
        station: str | None = None,
    ) -> None:
        self.folder, self._lock, self._clock = folder, lock, clock
        self._guard = threading.RLock()
        self._journal = Journal.open(folder / NAME, open_file if lock else None)
        self._base = EventBase(self._journal)
        self._stale = True
        self._aside = Aside(folder, self._journal)
        self._load()
        if lock:
            self._aside.keep(self._memory)
        self._station = station or self._journal.station

    @classmethod
    def create(
        cls,
        folder: Path,
        *,
        station: str,
        now_ms: Clock,
        what: str = "intake",
        open_file: OpenFile = DiskFile,
    ) -> Self:
        """A new, empty ledger in `folder`, open for writing; the folder is made where it is missing.

        Args:
            folder: where it shall live.
            station: id of this collection table, letters and a short id, such as QT-3f9a1c.
            now_ms: [ms] the clock, since 1970.
            what: what this program calls itself, told to others that want to write meanwhile.
            open_file: how the journal's file is opened; tests stand a faulty disk here.

        Raises:
            BadInput: there is a ledger already, the station's id does not read, or the folder cannot be made.
            LedgerBusy: another process writes here.
        """
        check_station(station)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            sync_folder(folder.parent)
        except OSError as error:
            _cannot_write(folder, error)
        return cls._locked(folder, what, now_ms, open_file, station=station, new=True)

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        writer: bool = False,
        station: str | None = None,
        now_ms: Clock | None = None,
        what: str = "intake",
        open_file: OpenFile = DiskFile,
    ) -> Self:
        """The ledger in `folder`: read whole, checked, folded; for a writer a torn tail is cut aside.

        Args:
            folder: where it lives.
            writer: True to append; needs `now_ms`.
            station: write as this table, not as the one that made the ledger (a restored copy must).
            now_ms: [ms] the clock, since 1970.
            what: what this program calls itself.
            open_file: how the journal's file is opened for writing.

        Raises:
            BadInput: no ledger there, or it may not be read or written.
            DamagedLedger: it does not read as it was written; names the file and the first bad byte.
            LedgerBusy: another process writes here.
        """
        if not ledger_exists(folder):
            raise BadInput(where="Ledger", got=folder, expected="a folder that holds a ledger")
        if not writer:
            return cls(folder)
        if now_ms is None:
            raise TypeError("a writer needs a clock")
        if station is not None:
            check_station(station)
        return cls._locked(folder, what, now_ms, open_file, station=station)

    @property
    def station(self) -> str:
        """Id of the table that this ledger writes as."""
        return self._station

    @property
    def torn(self) -> TornTail | None:
        """What a crash left at the end, cut aside if this is the writer; None after a clean stop."""
        return self._journal.torn

    @property
    def notes(self) -> tuple[str, ...]:
        """What a person should know of the snapshot, as sentences; nothing where it fitted or there is none."""
        return self._aside.notes

    @property
    def state(self) -> TableState:
        """The table as it stands now; a frozen value that later events do not change."""
        with self._guard:
            return self._fresh().state

    @property
    def heads(self) -> Mapping[str, Head]:
        """Station → its last event; what another table must know to see that nothing was lost."""
        with self._guard:
            return dict(self._fresh().chain.heads)

    @property
    def unread(self) -> tuple[str, ...]:
        """Ids of events that this version cannot read: kept, but not counted."""
        return self.state.unread

    def append(self, bodies: Sequence[Body]) -> tuple[Event, ...]:
        """Records one act: all its events are on the disk when this returns, or none of them is recorded.

        Raises:
            BadInput: an event holds something that cannot be written.
            NotRecorded: the disk refused; the same act can be tried again.
            Refusal: open for reading only.
        """
        with self._guard:
            clock = self._clock or self._writing()
            chain = (self._fresh() if self._stale else self._memory).chain
            events, payloads, hashes = stamped(bodies, station=self._station, chain=chain, now_ms=clock())
            self._record(events, payloads, hashes)
            return events

    def adopt(self, payloads: Sequence[bytes]) -> tuple[Event, ...]:
        """Records events of other tables exactly as they were written there, as one group.

        Raises:
            Refusal: one is no event, its station is none, or it does not fit onto what is known of its station;
                or this is open for reading only.
            NotRecorded: the disk refused.
        """
        with self._guard:
            self._writing()
            trial = self._fresh().chain.copy()
            docs = [_adoptable(payload) for payload in payloads]
            for doc, payload in zip(docs, payloads, strict=True):
                fault = trial.add(doc, payload)
                if fault is not None:
                    raise Refusal(f"The events do not fit {self.folder}: {fault}. Nothing was saved.")
            events = tuple(event_of(doc) for doc in docs)
            self._record(events, list(payloads), [digest(payload) for payload in payloads])
            return events

    def events(self) -> Iterator[Event]:
        """All events in the order they were recorded here, those of other tables and unread ones included."""
        return (event_of(parse(payload)) for payload in self.payloads())

    def events_named(self, ids: Collection[str]) -> tuple[Event, ...]:
        """The events with these ids, in the order they were recorded here; the others are not even read."""
        wanted = {name.encode() for name in ids}
        found = (parse(payload) for payload in self.payloads() if _id_in(payload) in wanted)
        return tuple(event_of(doc) for doc in found)

    def payloads(self) -> tuple[bytes, ...]:
        """All events as they were written."""
        with self._guard:
            return tuple(self._fresh().payloads)

    def find(self, query: QueryLike) -> tuple[Event, ...]:
        """Events whose document answers a TinyDB query, such as `where("body")["item"] == "a1"`."""
        with self._guard:
            self._fresh()
            return tuple(event_of(doc) for doc in self._base.events.search(query))

    def refresh(self) -> int:
        """For a reader: takes in what the writer recorded since; returns how many events that were."""
        with self._guard:
            before = len(self._fresh().payloads)
            if self._clock is None:
                self._catch_up()
            return len(self._memory.payloads) - before

    def close(self) -> None:
        """Lets go of the file and lets the next writer in; a second time does nothing."""
        with self._guard:
            if self._lock is not None and not self._stale:
                self._aside.keep(self._memory)
            self._base.close()
            self._clock = None
            if self._lock is not None:
                self._lock.release()
                self._lock = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @classmethod
    def _locked(
        cls,
        folder: Path,
        what: str,
        clock: Clock,
        open_file: OpenFile,
        *,
        station: str | None,
        new: bool = False,
    ) -> Self:
        """A writer's ledger, made first where it is `new`; where this fails the lock is let go."""
        lock = None
        try:
            lock = WriterLock.take(folder, what)
            if new and station is not None:
                Journal.create(folder, station)
            return cls(folder, lock=lock, clock=clock, open_file=open_file, station=station)
        except BaseException as error:
            if lock is not None:
                lock.release()
            if isinstance(error, OSError):
                _cannot_write(folder, error)
            raise

    def _writing(self) -> Clock:
        """The clock of a writer.

        Raises:
            Refusal: open for reading only, or closed.
        """
        if self._clock is None:
            raise Refusal(f"The ledger {self.folder} is not open for writing. Nothing was saved.")
        return self._clock

    def _record(self, events: Sequence[Event], payloads: list[bytes], hashes: Sequence[str]) -> None:
        """To the disk, then into memory; where this is broken off between the two, memory is read anew."""
        self._stale = True
        try:
            self._base.append(payloads)
        except IntakeError:
            self._stale = False
            raise
        self._memory.write(events, hashes)
        self._stale = False

    def _fresh(self) -> Memory:
        """What is in memory, read anew where it may have fallen behind the disk."""
        if self._stale:
            self._load()
        return self._memory

    def _load(self) -> None:
        """Reads the journal from its first byte."""
        self._memory = Memory(self._base.journal_storage.clear())
        with unswept(self._memory.payloads):
            taken_up = self._aside.take_up(self._memory)
            for group in self._journal.more() if taken_up else self._journal.groups():
                self._memory.read(group, self._journal.path)
            self._aside.compare(self._memory)
        self._journal.cut_tail()
        self._stale = False

    def _catch_up(self) -> None:
        """Reads what stands behind the last byte read, or everything where the file is not the one it was."""
        try:
            if not self._journal.shrunk():
                for group in self._journal.more():
                    self._memory.read(group, self._journal.path)
                return
        except DamagedLedger:
            self._stale = True
        self._load()


def _id_in(payload: bytes) -> bytes:
    """The id of an event as it was written: the last field of that name, since the body comes before it."""
    start = payload.rfind(b'"id":"') + 6
    return payload[start : payload.find(b'"', start)]


def _adoptable(payload: bytes) -> dict[str, Any]:
    """The document of an event that another table wrote.

    Raises:
        Refusal: it is no event, or its station is none.
    """
    try:
        doc = parse(payload)
        check_station(str(doc.get("station")))
    except (ValueError, RecursionError) as error:
        raise Refusal(f"What came from another table is no event ({error}). Nothing was saved.") from None
    except BadInput as error:
        raise Refusal(f"What came from another table is no event. {error}") from None
    if b"\n" in payload:
        raise Refusal(
            "What came from another table holds a line end, which no event does. Nothing was saved."
        )
    return doc


def ledger_exists(folder: Path) -> bool:
    """True where `folder` holds a ledger."""
    return (folder / NAME).exists()


def _cannot_write(folder: Path, error: OSError) -> NoReturn:
    """The sentence for a folder that does not let itself be written."""
    raise BadInput(
        where="Ledger", got=folder, expected=f"a folder that can be written ({error.strerror or error})"
    ) from None
