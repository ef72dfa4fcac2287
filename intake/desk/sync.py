"""Sync: this table's events go to the hub, and those of the other tables come from there."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from intake.desk import clock
from intake.desk.hearing import heard
from intake.errors import Refusal
from intake.hub.row import Row
from intake.ledger import Ledger
from intake.ledger.envelope import parse

if TYPE_CHECKING:
    from intake.hub.store import Hub

BATCH = 1000
"""Events in one transaction of the hub, and in one group of the journal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Synced:
    """What one sync did.

    Attributes:
        sent: events that were new at the hub.
        taken: events that were new at this table.
        stations: table → number of its events that this ledger knows now.
    """

    sent: int
    taken: int
    stations: Mapping[str, int]


def sync_folder(folder: Path, hub: "Hub") -> Synced:
    """Exchanges the ledger in `folder` with the hub.

    Raises:
        BadInput: the folder holds no ledger.
        LedgerBusy: another process writes there.
        DamagedLedger: it does not read as it was written.
        Refusal, HubDown: as for `exchange`.
    """
    with heard(Ledger.open(folder, writer=True, now_ms=clock.now_ms, what="intake sync")) as ledger:
        return exchange(ledger, hub)


def exchange(ledger: Ledger, hub: "Hub") -> Synced:
    """Sends what the hub lacks, then takes what this ledger lacks, a batch at a time.

    A batch is recorded whole or not at all on either side, and what is recorded is not sent again: broken off
    anywhere, the next call goes on. An event carries the hash of the one before, so two histories of a station
    that agree at the last number both know agree in all; that is looked at first, for every station.

    Raises:
        Refusal: the two tell different things of a station, or the hub's events do not fit together.
        HubDown: the hub cannot be reached any more.
        NotRecorded: the disk refused.
    """
    there = hub.cursors()
    here = _rows(ledger.payloads())
    for station, rows in here.items():
        both = min(len(rows), there[station].seq if station in there else 0)
        if both:
            hub.compare(rows[both - 1 : both])
    sent = 0
    for station, rows in here.items():
        cursor = there.get(station)
        known = cursor.seq if cursor is not None and cursor.whole else 0
        sent += sum(hub.send(rows[n : n + BATCH]) for n in range(known, len(rows), BATCH))
    taken = sum(
        _take(ledger, hub, station, len(here.get(station, ())) + 1, cursor.seq)
        for station, cursor in sorted(there.items())
    )
    return Synced(
        sent=sent, taken=taken, stations={name: head.seq for name, head in sorted(ledger.heads.items())}
    )


def _rows(payloads: Sequence[bytes]) -> dict[str, list[Row]]:
    """Station → its events in order, so that number n stands at place n - 1; stations by name.

    Everybody sends stations in the same order, so two tables that send at once never wait for each other.
    """
    found: dict[str, list[Row]] = {}
    for payload in payloads:
        doc = parse(payload)
        row = Row(
            station=doc["station"], seq=doc["seq"], id=doc["id"], hlc=doc["hlc"], payload=payload
        )  # fmt: skip
        found.setdefault(row.station, []).append(row)
    return dict(sorted(found.items()))


def _take(ledger: Ledger, hub: "Hub", station: str, first: int, last: int) -> int:
    """Takes events `first` to `last` of a station; the ledger refuses what does not fit its chain."""
    taken = 0
    for start in range(first, last + 1, BATCH):
        batch = hub.read(station, start, min(start + BATCH - 1, last))
        try:
            taken += len(ledger.adopt([payload for _, payload in batch]))
        except (ValueError, RecursionError):
            raise Refusal(
                f"The hub holds something among events {start} to {start + BATCH - 1} of table {station} that "
                "is no event. Nothing of it was taken; what was taken before is whole."
            ) from None
    return taken
