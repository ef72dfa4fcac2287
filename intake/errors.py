"""What can go wrong, as one tree; the doors turn every leaf into one sentence.

::

    IntakeError
    ├── BadInput          a value somebody gave cannot be used          exit 2
    │   └── UnknownName   a name nobody knows; carries the nearest ones exit 2
    ├── ManyFaults        a file with several such values, all at once  exit 2
    ├── Refusal           the value is fine, the act is not allowed now exit 1
    ├── HandbookGap       a table in `resources/` is wrong or silent    exit 1
    ├── DamagedLedger     the journal does not read as it was written   exit 1
    ├── NotRecorded       the disk refused an act; it can be done again exit 1   (intake/ledger/journal.py)
    └── LedgerBusy        another process is writing                    exit 1
"""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches


class IntakeError(Exception):
    """Anything the program can explain to a person; `exit_code` is what the command line returns."""

    exit_code = 1


class BadInput(IntakeError):
    """One value that cannot be used: where it stood, what it was, what would be right, what was kept."""

    exit_code = 2

    def __init__(self, *, where: str, got: object, expected: str, kept: str = "Nothing was saved.") -> None:
        self.where, self.got, self.expected, self.kept = where, got, expected, kept
        shown = f"'{got}'" if str(got).strip() else "an empty value"
        super().__init__(f"{where}: cannot use {shown}. Expected {expected}. {kept}".rstrip())


class UnknownName(BadInput):
    """A name that no table knows; the nearest known ones stand in the sentence."""

    def __init__(
        self, *, where: str, got: str, known: Iterable[str], kept: str = "Nothing was saved."
    ) -> None:
        names = list(dict.fromkeys(known))
        self.nearest = nearest_names(got, names)
        hint = " or ".join(self.nearest) if self.nearest else "one of " + ", ".join(names[:8])
        super().__init__(where=where, got=got, expected=f"{hint} (nearest known)", kept=kept)


class ManyFaults(IntakeError):
    """A sheet or file with faults: each as a finding, all told at once, nothing done."""

    exit_code = 2

    def __init__(self, findings: "Iterable[Finding]", *, kept: str = "Nothing was saved.") -> None:
        self.findings = tuple(findings)
        super().__init__("\n".join([*(str(f) for f in self.findings), kept]))


class Refusal(IntakeError):
    """An act that would break a promise: it is not done, and the sentence says why and what to do."""


class HandbookGap(IntakeError):
    """A table of `resources/` is missing, unreadable or silent where it must speak."""


class DamagedLedger(IntakeError):
    """The journal does not read as it was written; says the file and the first bad byte."""


class LedgerBusy(IntakeError):
    """Another process holds the ledger for writing; says which."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One fault in a sheet, table or ledger, so that all of them can be told at once."""

    where: str
    got: str
    expected: str

    @classmethod
    def of(cls, error: BadInput) -> "Finding":
        """The finding that says what `error` says."""
        return cls(where=error.where, got=str(error.got), expected=error.expected)

    def __str__(self) -> str:
        shown = f"'{self.got}'" if self.got.strip() else "an empty value"
        return f"{self.where}: cannot use {shown}. Expected {self.expected}."


def nearest_names(name: str, known: Iterable[str], limit: int = 3) -> list[str]:
    """The known names that look most like `name`, best first, at most `limit`; case does not matter."""
    by_key = {k.casefold(): k for k in known}
    return [by_key[k] for k in get_close_matches(name.casefold(), by_key, n=limit, cutoff=0.5)]
