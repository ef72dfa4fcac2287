"""The hub itself: send rows, read rows, see how far each station is known there."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Self

import psycopg
from psycopg.conninfo import conninfo_to_dict, make_conninfo

from intake.errors import Refusal
from intake.hub.address import Address
from intake.hub.failure import telling
from intake.hub.row import Cursor, Row
from intake.hub.schema import Connection, prepare

_CURSORS = "select station, max(seq), count(*) from events group by station"
_INSERT = (
    "insert into events (station, seq, id, hlc, payload) values (%s, %s, %s, %s, %s) on conflict do nothing"
)
_READ = "select seq, payload from events where station = %s and seq between %s and %s order by seq"

_UNLESS_SAID: Mapping[str, str | int] = MappingProxyType(
    {
        "application_name": "intake",
        "client_encoding": "UTF8",
        "connect_timeout": 10,
        "keepalives_idle": 10,
        "tcp_user_timeout": 30_000,
    }
)
"""How to connect where the address does not say it: a silent network is given up after 10 to 30 seconds."""


class Hub:
    """A connection to the hub. Every call is one transaction; rows are only ever added."""

    def __init__(self, connection: Connection, address: Address) -> None:
        self._connection, self._address = connection, address

    @classmethod
    def connect(cls, url: str) -> Self:
        """The hub at `url`, its tables made where they are missing.

        Raises:
            BadInput: no such address can be.
            HubDown: nobody answers there, or the database refuses.
            Refusal: the tables there are not a hub's.
        """
        address = Address.read(url)
        given = conninfo_to_dict(url)
        extra = {name: value for name, value in _UNLESS_SAID.items() if name not in given}
        with telling(address):
            connection = psycopg.connect(make_conninfo(url, **extra), autocommit=True, prepare_threshold=None)
            try:
                connection.isolation_level = psycopg.IsolationLevel.READ_COMMITTED
                prepare(connection)
            except BaseException:
                connection.close()
                raise
        return cls(connection, address)

    @property
    def name(self) -> str:
        """Computer, port and database, without secrets."""
        return self._address.shown

    def cursors(self) -> Mapping[str, Cursor]:
        """Station → how far it is known here."""
        with telling(self._address):
            rows = self._connection.execute(_CURSORS).fetchall()
        return {str(station): Cursor(seq=last, whole=last == count) for station, last, count in rows}

    def send(self, rows: Sequence[Row]) -> int:
        """Adds rows of one station, in order, all or none; returns how many were new here.

        Two tables may send the same rows at once: the second waits for the first and then adds nothing.

        Raises:
            Refusal: another event is here under one of the numbers.
            HubDown: the connection broke or the database refused; nothing of `rows` was added by this call.
        """
        values = [(row.station, row.seq, row.id, row.hlc, row.payload) for row in rows]
        with telling(self._address), self._connection.transaction():
            with self._connection.cursor() as cursor:
                cursor.executemany(_INSERT, values)
                added = cursor.rowcount
            if added < len(rows):
                self.compare(rows)
        return added

    def compare(self, rows: Sequence[Row]) -> None:
        """Makes sure that what is here under the numbers of `rows`, all of one station, is the same.

        Raises:
            Refusal: another event is here under one of the numbers.
            HubDown: the connection broke or the database refused.
        """
        here = dict(self.read(rows[0].station, rows[0].seq, rows[-1].seq))
        for row in rows:
            if here.get(row.seq, row.payload) != row.payload:
                raise Refusal(
                    f"This ledger and the hub both hold an event {row.seq} of table {row.station}, and the two "
                    "differ: one was copied, and both went on under the same name. Nothing they hold was "
                    "changed. Keep this folder, and work on in one whose ledger agrees with the hub."
                )

    def read(self, station: str, first: int, last: int) -> list[tuple[int, bytes]]:
        """(number, payload) of a station's events from `first` to `last`, in order.

        Raises:
            HubDown: the connection broke or the database refused.
        """
        with telling(self._address):
            rows = self._connection.execute(_READ, (station, first, last)).fetchall()
        return [(int(seq), bytes(payload)) for seq, payload in rows]

    def close(self) -> None:
        """Hangs up."""
        self._connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()
