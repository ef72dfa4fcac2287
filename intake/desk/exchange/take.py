"""`intake import`: an export becomes a ledger again, or its events join one.

The events are the record and come as they were written, chain of hashes included; so the ledger that is made says
exactly what the first one said. The tables are made from the events: they are checked against them, never believed.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from intake.desk import clock
from intake.desk.exchange.check import table_findings
from intake.desk.exchange.columns import TABLES
from intake.desk.exchange.folder import fresh_folder
from intake.desk.exchange.package import DESCRIPTOR, EVENTS, Package, path_of, read_descriptor, sha256
from intake.errors import BadInput, ManyFaults
from intake.handbook import Handbook
from intake.ledger import Ledger, fold, ledger_exists
from intake.ledger.chain import Chain
from intake.ledger.codec import event_of
from intake.ledger.envelope import Event, parse
from intake.ledger.merge import missing_from

_LETTERS = re.compile(r"[A-Z][A-Z0-9]{0,5}")
MAX_BYTES = 1024 * 1024 * 1024
"""A file of an export above this is not one of ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What an import brought.

    Attributes:
        added: events that were new.
        known: events that the ledger had already.
        items, bins, lots: what the ledger holds now.
        new: True where the ledger was made.
    """

    added: int
    known: int
    items: int
    bins: int
    lots: int
    new: bool


def take(folder: Path, ledger: Path, handbook: Handbook) -> Taken:
    """Record the events of an export in `ledger`, which is made where there is none; all of them or none.

    Raises:
        BadInput: the folder is no export of ours, a file of it is missing or damaged, or the disk does not take it.
        ManyFaults: a table does not say what the events say; each place is named.
        Refusal: the ledger knows other events under the same numbers.
        LedgerBusy: another process writes to the ledger.
    """
    package = read_descriptor(_content(folder, DESCRIPTOR))
    payloads = _events(folder, package)
    _check_tables(folder, package, payloads, handbook)
    if ledger_exists(ledger):
        with Ledger.open(ledger, writer=True, now_ms=clock.now_ms) as opened:
            return _adopt(opened, payloads, new=False)
    return _made(ledger, payloads)


def _made(folder: Path, payloads: Sequence[bytes]) -> Taken:
    """A new ledger of those events. It is a station of its own: two ledgers never go on under one name."""
    if folder.exists() and any(folder.iterdir()):
        raise BadInput(where="Ledger", got=folder, expected="a ledger, or a new or empty folder for one")
    station = f"{_letters(payloads)}-{clock.new_token(3)}"
    with fresh_folder(folder) as aside, Ledger.create(aside, station=station, now_ms=clock.now_ms) as opened:
        return _adopt(opened, payloads, new=True)


def _letters(payloads: Sequence[bytes]) -> str:
    """The letters of the table that wrote first; T where that is nobody we could be named after."""
    first = str(parse(payloads[0])["station"]).split("-")[0] if payloads else ""
    return first if _LETTERS.fullmatch(first) else "T"


def _adopt(ledger: Ledger, payloads: Sequence[bytes], *, new: bool) -> Taken:
    missing = missing_from(ledger.payloads(), payloads)
    added = ledger.adopt(missing) if missing else ()
    state = ledger.state
    return Taken(
        added=len(added), known=len(payloads) - len(added), items=len(state.items), bins=len(state.bins),
        lots=len(state.lots), new=new,
    )  # fmt: skip


def _content(folder: Path, name: str) -> bytes:
    """The bytes of a file of the export.

    Raises:
        BadInput: it is missing, cannot be read or is far too large.
    """
    path = folder / name
    try:
        if path.stat().st_size > MAX_BYTES:
            got = f"{path.stat().st_size / 1e6:.0f} MB"
            raise BadInput(where=f"Export, {name}", got=got, expected="at most 1 GB")
        return path.read_bytes()
    except OSError as error:
        expected = f"a folder with a readable file {name} ({error.strerror})"
        raise BadInput(where="Export", got=folder, expected=expected) from None


def _events(folder: Path, package: Package) -> list[bytes]:
    """The events as they were written, whole and in their chain.

    Raises:
        BadInput: a byte is not as it was exported, or an event does not follow from the one before.
    """
    content = _content(folder, EVENTS)
    if (len(content), sha256(content)) != package.sizes.get(EVENTS):
        expected = f"the {package.sizes[EVENTS][0]} bytes that were exported; take the export again"
        raise BadInput(where=EVENTS, got=f"{len(content)} bytes that read otherwise", expected=expected)
    payloads = content.split(b"\n")[:-1]
    chain = Chain()
    for line, payload in enumerate(payloads, 1):
        try:
            fault = chain.add(parse(payload), payload)
        except (ValueError, RecursionError) as error:
            fault = f"it holds no event ({error})"
        if fault is not None:
            raise BadInput(
                where=f"{EVENTS}, line {line}", got=fault, expected="the next event of its station"
            )
    return payloads


def _check_tables(folder: Path, package: Package, payloads: Sequence[bytes], handbook: Handbook) -> None:
    """Look into every table that is not byte for byte as it was exported.

    Raises:
        BadInput: one cannot be read as that table.
        ManyFaults: one says something else than the events.
    """
    paths = {path_of(table, package.format): None for table in TABLES}
    contents = {path: _content(folder, path) for path in paths}
    changed = {p: c for p, c in contents.items() if (len(c), sha256(c)) != package.sizes.get(p)}
    if changed:
        events: list[Event] = [event_of(parse(payload)) for payload in payloads]
        findings = table_findings(changed, package.format, events, fold(events), handbook)
        if findings:
            kept = "The tables are made from the events: correct it at the table, export again. Nothing was saved."
            raise ManyFaults(findings, kept=kept)
