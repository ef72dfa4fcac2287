"""Who hears of a ledger that is opened: a door says once what to do then, so that no command forgets to ask."""

from contextvars import ContextVar
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from intake.ledger import Ledger

HEARER: ContextVar["Callable[[Ledger], None] | None"] = ContextVar("HEARER", default=None)
"""Called with every ledger that the desk opens; None: nobody listens."""


def heard(ledger: "Ledger") -> "Ledger":
    """The ledger itself; whoever listens is told that it was opened."""
    hearer = HEARER.get()
    if hearer is not None:
        hearer(ledger)
    return ledger
