"""Reads a ledger from its first byte to its last and says everything that is wrong with it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

from intake.errors import DamagedLedger, Finding
from intake.ledger.chain import Chain, Head
from intake.ledger.checks import event_findings, state_findings
from intake.ledger.codec import event_of
from intake.ledger.disk import DiskFile
from intake.ledger.envelope import Event, canonical, digest, parse
from intake.ledger.fold import fold
from intake.ledger.journal import NAME, Journal, TornTail, read_header, scan
from intake.ledger.lock import WriterLock, writer_of
from intake.ledger.records import Bad, Group, Torn
from intake.ledger.snapshot import NotUsableError, lost, read_snapshot

Heads = Mapping[str, Head]
"""Station → its last event that somebody knows."""

NOBODY: Mapping[str, Heads] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """What a ledger holds and what is wrong with it.

    Loss of whole acts at the very end cannot be seen in a journal alone, only against somebody who knew them:
    the snapshot beside it, a backup, another table. `compared` says who was asked.

    Attributes:
        station: the table that made it; "" where its header does not read.
        events: how many read, are whole and fit the chain before the first bad byte.
        size: [bytes] of the journal.
        good: [bytes] up to the first bad one; all of them where nothing is wrong.
        heads: station → its last event.
        damage: every record that is not as it was written, the first one first.
        lost_with_it: records that are whole, but of an act that is damaged; nothing of it counts.
        after: groups that read again behind the first damage; nothing of them counts.
        torn: what a crash left at the end.
        writer: who writes now; then a torn tail is only a write that is not finished.
        findings: what the events say that cannot be.
        unread: ids of events that a newer version wrote.
        compared: who else was asked what the journal should hold.
        aside: why the snapshot beside it could not be asked; None where it could, or there is none.
    """

    path: Path
    station: str = ""
    events: int = 0
    size: int = 0
    good: int = 0
    heads: Mapping[str, Head] = field(default_factory=dict)
    damage: tuple[Bad, ...] = ()
    lost_with_it: int = 0
    after: int = 0
    torn: TornTail | None = None
    writer: str | None = None
    findings: tuple[Finding, ...] = ()
    unread: tuple[str, ...] = ()
    compared: tuple[str, ...] = ()
    aside: str | None = None

    @property
    def ok(self) -> bool:
        """True when nothing is wrong; a tail that was cut aside is not wrong any more."""
        torn = self.torn is not None and self.torn.kept_in is None and self.writer is None
        return not (self.damage or torn or self.findings)


def verify(folder: Path, *, repair: bool = False, against: Mapping[str, Heads] = NOBODY) -> Verified:
    """Everything that is wrong with the ledger in `folder`.

    Args:
        folder: where the ledger lives.
        repair: cut a torn tail and keep its bytes in a file beside the journal; damage is never touched.
        against: who else knows this ledger, in words → the heads of the stations as known there. The snapshot
            beside the journal is always asked.

    Raises:
        BadInput: there is no ledger, or it may not be read.
        LedgerBusy: `repair` while another process writes.
    """
    path = folder / NAME
    known, aside = dict(against), None
    try:
        snapshot = read_snapshot(folder)
        if snapshot is not None:
            known["the snapshot beside the journal"] = snapshot.heads
    except NotUsableError as error:
        aside = str(error)
    found = replace(_Reading(path, known).verified(writer_of(folder)), aside=aside)
    if not (repair and found.torn and not found.damage):
        return found
    lock = WriterLock.take(folder, "intake verify --repair")
    try:
        journal = Journal.open(path, DiskFile)
        for _ in journal.groups():
            pass
        journal.cut_tail()
        journal.close()
        return replace(_Reading(path, known).verified(None), torn=journal.torn, aside=aside)
    finally:
        lock.release()


class _Reading:
    """One walk through a journal that goes on behind what does not read."""

    def __init__(self, path: Path, known: Mapping[str, Heads]) -> None:
        self._path, self._chain, self._station = path, Chain(), ""
        self._known, self._hashes = known, dict[tuple[str, int], str]()
        self._wanted = {(station, head.seq) for heads in known.values() for station, head in heads.items()}
        self._events: list[Event] = []
        self._damage: list[Bad] = []
        self._findings: list[Finding] = []
        self._torn: TornTail | None = None
        self._good = self._size = self._after = 0
        first = True
        for part in scan(path):
            self._size = max(self._size, part.end if not isinstance(part, Bad) else part.start)
            if isinstance(part, Bad):
                self._damage.append(part)
            elif isinstance(part, Torn):
                self._torn = TornTail(start=part.start, size=part.end - part.start)
            elif first:
                self._header(part)
            elif self._damage:
                self._after += 1
            else:
                self._group(part)
            first = False
        self._size = max(self._size, path.stat().st_size)
        if not self._station and not self._damage:
            self._damage.append(Bad(start=0, line=1, why="it has no header"))

    def verified(self, writer: str | None) -> Verified:
        """The result, with the checks of the state that the events fold to."""
        state = fold(self._events)
        heads = self._chain.heads
        gone = [f for who, known in self._known.items() for f in lost(known, heads, who, self._hashes)]
        findings = (*gone, *self._findings, *event_findings(self._events), *state_findings(state))
        return Verified(
            path=self._path,
            station=self._station,
            events=len(self._events),
            size=self._size,
            good=self._damage[0].start if self._damage else self._good,
            heads=dict(self._chain.heads),
            damage=tuple(bad for bad in self._damage if not bad.follows),
            lost_with_it=sum(bad.follows for bad in self._damage),
            after=self._after,
            torn=self._torn,
            writer=writer,
            findings=findings,
            unread=state.unread,
            compared=tuple(self._known),
        )

    def _header(self, group: Group) -> None:
        try:
            self._station = read_header(self._path, group)
        except DamagedLedger as error:
            self._damage.append(Bad(start=0, line=1, why=str(error)))
        self._good = group.end

    def _group(self, group: Group) -> None:
        """Takes a group in, or notes its first record that does not fit."""
        taken = []
        for payload, start in zip(group.payloads, group.offsets, strict=True):
            try:
                doc: dict[str, Any] = parse(payload)
            except ValueError as error:
                return self._broken(start, f"it holds no event ({error})")
            fault = self._chain.add(doc, payload)
            if fault is not None:
                return self._broken(start, fault)
            if canonical(doc) != payload:
                expected = "keys sorted, no spaces, as this program writes"
                self._findings.append(
                    Finding(where=f"Event {doc['id']}", got="another spelling", expected=expected)
                )
            place = (doc["station"], doc["seq"])
            if place in self._wanted:
                self._hashes[place] = digest(payload)
            taken.append(event_of(doc))
        self._events += taken
        self._good = group.end
        return None

    def _broken(self, start: int, why: str) -> None:
        line = 1 + _lines_before(self._path, start)
        self._damage.append(Bad(start=start, line=line, why=why))


def _lines_before(path: Path, start: int) -> int:
    """Line ends in the first `start` bytes."""
    with path.open("rb") as file:
        return file.read(start).count(b"\n")
