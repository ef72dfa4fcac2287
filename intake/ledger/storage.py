"""TinyDB over the journal, through its own extension points: a storage and a table.

TinyDB reads, searches and numbers the documents. `insert` is ours and appends to the journal; everything that
would rewrite (update, remove, upsert, truncate, drop) ends in one of two refusals.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NoReturn

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from intake.errors import Refusal
from intake.ledger.envelope import canonical, parse
from intake.ledger.journal import Journal

EVENTS = "events"

_NEVER = "An event is never changed or removed; record an event that corrects it. Nothing was changed."


class Documents(Mapping[str, dict[str, Any]]):
    """All event documents as TinyDB numbers them, "1", "2", …; kept as bytes and read when looked at."""

    def __init__(self) -> None:
        self.payloads: list[bytes] = []

    def __getitem__(self, key: str) -> dict[str, Any]:
        if not 1 <= int(key) <= len(self.payloads):
            raise KeyError(key)
        return parse(self.payloads[int(key) - 1])

    def __iter__(self) -> Iterator[str]:
        return map(str, range(1, len(self.payloads) + 1))

    def __len__(self) -> int:
        return len(self.payloads)


class JournalStorage(Storage):
    """A TinyDB storage that reads a journal and appends to it, and never writes anything else."""

    def __init__(self, journal: Journal) -> None:
        self.journal, self.documents = journal, Documents()

    def read(self) -> dict[str, dict[str, Any]] | None:
        """All documents, by table and number."""
        tables: Any = {EVENTS: self.documents}
        found: dict[str, dict[str, Any]] = tables
        return found

    def write(self, data: dict[str, dict[str, Any]]) -> NoReturn:
        """Refuses: a ledger is never rewritten.

        Raises:
            Refusal: always.
        """
        del data
        raise Refusal(_NEVER)

    def append(self, payloads: list[bytes]) -> None:
        """Adds one group; visible only when it is on the disk."""
        self.journal.append(payloads)
        self.documents.payloads.extend(payloads)

    def clear(self) -> list[bytes]:
        """Forgets the documents, not the journal, to read it anew; returns the list to read into."""
        self.documents = Documents()
        return self.documents.payloads

    def close(self) -> None:
        """Lets go of the journal."""
        self.journal.close()


class EventTable(Table):
    """A TinyDB table that can only grow; adding costs the same however long it is."""

    def insert(self, document: Mapping[str, Any]) -> int:
        """Adds one event document as a group of its own; returns its number."""
        return self.insert_multiple([document])[0]

    def insert_multiple(self, documents: Iterable[Mapping[str, Any]]) -> list[int]:
        """Adds event documents as one group, all or none; returns their numbers."""
        return self.insert_payloads([canonical(document) for document in documents])

    def insert_payloads(self, payloads: list[bytes]) -> list[int]:
        """Adds events as they were written, here or at another table, as one group; returns their numbers."""
        storage = journal_storage(self.storage)
        first = len(storage.documents) + 1
        if payloads:
            storage.append(payloads)
        return list(range(first, first + len(payloads)))

    def _update_table(self, updater: Callable[[dict[int, Mapping[str, Any]]], None]) -> NoReturn:
        """Refuses what update, remove, upsert and truncate would do."""
        del updater
        raise Refusal(_NEVER)


class EventBase(TinyDB):
    """The embedded store of a ledger."""

    table_class = EventTable
    default_table_name = EVENTS

    def __init__(self, journal: Journal) -> None:
        super().__init__(journal, storage=JournalStorage)
        self.journal_storage = journal_storage(self.storage)
        # it keeps no answers of earlier queries: forgetting them after each act costs more than it saves
        self.events = EventTable(self.storage, EVENTS, cache_size=0)

    def append(self, payloads: list[bytes]) -> None:
        """Adds events as they were written, as one group."""
        if payloads:
            self.journal_storage.append(payloads)


def journal_storage(storage: Storage) -> JournalStorage:
    """The storage itself, known to stand on a journal."""
    if not isinstance(storage, JournalStorage):
        raise TypeError("an event table stands on a journal")
    return storage
