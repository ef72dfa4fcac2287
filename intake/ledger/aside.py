"""When a ledger makes a snapshot, when it uses one, and what it says where the two do not belong together."""

from contextlib import suppress
from pathlib import Path

from intake.ledger.journal import Journal
from intake.ledger.memory import Memory
from intake.ledger.snapshot import (
    NAME,
    NotUsableError,
    Snapshot,
    lost,
    program,
    read_snapshot,
    write_snapshot,
)
from intake.ledger.unswept import unswept

EVERY = 2_000
"""Events since the last snapshot from which on a writer makes another one when it opens or closes; our choice:
reading so many anew takes some hundredths of a second."""


class Aside:
    """The snapshot beside one journal.

    Attributes:
        notes: what a person should know of it, as sentences; nothing where it fitted or there is none.
    """

    def __init__(self, folder: Path, journal: Journal) -> None:
        self._folder, self._journal = folder, journal
        self.notes: tuple[str, ...] = ()
        self._kept = 0
        self._knows_more = False
        self._found: Snapshot | None = None

    def take_up(self, memory: Memory) -> bool:
        """True where the journal begins as the snapshot says; `memory` stands at its end then, else nowhere."""
        self.notes, self._kept, self._knows_more = (), 0, False
        try:
            self._found = read_snapshot(self._folder)
        except NotUsableError as error:
            self._found = None
            self.notes = (f"The snapshot of the ledger was not used: {error}. Nothing is lost by that.",)
        if self._found is None or self._found.program != program():
            return False
        payloads = self._journal.proven(self._found.size, self._found.sha256)
        if payloads is None:
            return False
        with suppress(NotUsableError):
            memory.take_up(self._found, payloads)
            self._kept = len(payloads)
            self._found = None
            return True
        return False

    def compare(self, memory: Memory) -> None:
        """Notes what a snapshot that was not used knows and the journal, read whole, does not hold any more."""
        if self._found is None:
            return
        findings = tuple(lost(self._found.heads, memory.chain.heads, "the snapshot beside the journal"))
        self._knows_more = bool(findings)
        self.notes = tuple(
            f"{finding} Look for a backup or another table's ledger. This is told whenever the ledger is opened, "
            f"until the file '{NAME}' in its folder is deleted."
            for finding in findings
        )
        if not findings and self._found.program == program():
            self.notes = (
                "The snapshot of the ledger is not of this journal. It was not used; nothing is lost.",
            )
        self._found = None

    def keep(self, memory: Memory) -> None:
        """Makes a snapshot where that will save time; one that knows of lost acts is never replaced."""
        if len(memory.payloads) - self._kept < EVERY or self._knows_more:
            return
        with suppress(OSError), unswept():  # a ledger needs no snapshot
            hashed = self._journal.proof(memory.payloads)
            if hashed is not None:
                rest, lines = memory.put_aside()
                heads = memory.chain.heads
                made = Snapshot(
                    size=self._journal.good, sha256=hashed, heads=heads, program=program(), rest=rest, lines=lines
                )  # fmt: skip
                write_snapshot(self._folder, made)
                self._kept = len(memory.payloads)
