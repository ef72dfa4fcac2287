"""A database server for the session, an empty place in it and tables at a quay for each test."""

from itertools import count

import psycopg
import pytest
from hub.server import running_server
from ledger_story import START_MS, Clock, create

from intake.hub import open_hub

STATIONS = ("QT-3f9a1c", "WB-77b0d2", "HH-0a0a0a", "AB-4d4d4d")


@pytest.fixture(scope="session")
def server():
    with running_server() as started:
        yield started


@pytest.fixture(scope="session")
def numbers():
    return count(1)


@pytest.fixture
def url(server, numbers):
    """An empty place for a hub."""
    return server.schema(f"quay_{next(numbers)}")


@pytest.fixture
def hub(url):
    with open_hub(url) as opened:
        yield opened


@pytest.fixture
def sql(url):
    """Plain SQL where the hub is; returns the rows."""

    def run(text, *values):
        with psycopg.connect(url, autocommit=True) as connection:
            cursor = connection.execute(text, values or None)
            return cursor.fetchall() if cursor.description else []

    return run


@pytest.fixture
def table(tmp_path):
    """Makes the ledger of a table, each with a station and a clock of its own."""
    opened = []

    def make(number=0):
        clock = Clock(START_MS + 1_000 * number, step=7 + number)
        opened.append(create(tmp_path / f"table{number}", station=STATIONS[number], clock=clock))
        return opened[-1]

    yield make
    for ledger in opened:
        ledger.close()
