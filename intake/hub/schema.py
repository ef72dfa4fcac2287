"""The hub's two tables, in SQL that every database with PostgreSQL's protocol understands."""

from typing import Any

import psycopg
from psycopg.errors import DuplicateObject, DuplicateTable, UndefinedColumn, UndefinedTable, UniqueViolation

from intake.errors import Refusal

VERSION = 1
"""Version of the layout below; stands in the table `hub`."""

Connection = psycopg.Connection[tuple[Any, ...]]

_TABLES = (
    "create table hub (version integer primary key)",
    """
    create table events (
        station text not null, seq bigint not null, id text not null unique, hlc text not null,
        payload bytea not null, primary key (station, seq)
    )
    """,
)
_TRIES = 5

_QUICKER = (DuplicateTable, DuplicateObject, UniqueViolation)
"""How a database says that somebody else makes the same table: it depends on how far that one has come."""


def prepare(connection: Connection) -> None:
    """Makes the tables where they are missing, all or none; several tables may do so at the same moment.

    Raises:
        Refusal: a newer program made them, or a table `events` is there that is not a hub's.
    """
    for _ in range(_TRIES):
        version = _version(connection)
        if version == VERSION:
            return
        if version is not None:
            raise Refusal(
                f"The hub has layout {version}; this program knows {VERSION}. Use the newer one of the two "
                "programs. Nothing was changed."
            )
        if _made(connection):
            return
    raise Refusal(
        "The database holds a table 'events' or 'hub' that no table of this program made. Give the hub a "
        "database of its own. Nothing was changed."
    )


def _version(connection: Connection) -> int | None:
    """The layout's version; None where there is no such table, or not a hub's."""
    try:
        with connection.transaction():
            row = connection.execute("select max(version) from hub").fetchone()
    except (UndefinedTable, UndefinedColumn):
        return None
    return None if row is None or row[0] is None else int(row[0])


def _made(connection: Connection) -> bool:
    """Makes both tables; False where somebody else was quicker, or other tables of that name stand there."""
    try:
        with connection.transaction():
            for table in _TABLES:
                connection.execute(table)
            connection.execute("insert into hub values (%s)", (VERSION,))
    except _QUICKER:
        return False
    return True
