"""What a person should hear of the ledger when a desk opens: a step cut short, newer events, lost acts."""

from intake.ledger import Ledger
from intake.words import Words

_NAMED = 5
"""Unread events that are named one by one."""


def opening_notes(ledger: Ledger, words: Words) -> tuple[str, ...]:
    """Sentences, the most serious first; none after a clean stop."""
    notes = list(ledger.notes)
    torn = ledger.torn
    if torn is not None and torn.kept_in is not None:
        notes.append(words("opening.torn_kept", bytes=torn.size, file=torn.kept_in.name))
    elif torn is not None:
        notes.append(words("opening.torn", bytes=torn.size))
    if ledger.unread:
        named = ", ".join(ledger.unread[:_NAMED]) + (", …" if len(ledger.unread) > _NAMED else "")
        notes.append(words("opening.unread", count=len(ledger.unread), events=named))
    return tuple(notes)
