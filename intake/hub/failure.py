"""What a person reads when the hub does not answer, or not as a hub does."""

from collections.abc import Iterator
from contextlib import contextmanager

import psycopg

from intake.errors import IntakeError
from intake.hub.address import Address

_AGAIN = "Nothing at this table was lost, and what was exchanged before stays exchanged. Sync again to go on."

_CAUSES = (
    ("refused", "nothing listens there"),
    ("resolve host", "no computer has that name"),
    ("translate host name", "no computer has that name"),
    ("closed the connection", "it went away in the middle"),
    ("timeout", "no answer came in time"),
    ("timed out", "no answer came in time"),
    ("password", "the name or the password was not accepted"),
)
"""What libpq says of a failed connection → what to tell; only these, because its texts repeat names."""


class HubDown(IntakeError):
    """The hub cannot be reached, went away or refused; nothing is lost and syncing goes on next time."""


@contextmanager
def telling(address: Address) -> Iterator[None]:
    """Turns whatever the database driver raises into one sentence without secrets.

    Raises:
        HubDown: the driver raised something.
    """
    try:
        yield
    except psycopg.Error as error:
        raise HubDown(f"The hub at {address.shown} failed: {_cause(error, address)}. {_AGAIN}") from None


def _cause(error: psycopg.Error, address: Address) -> str:
    """The database's own first sentence where it gave one; else what can be told from the driver's text."""
    if error.diag.message_primary:
        return address.hidden(error.diag.message_primary).rstrip(".")
    text = str(error).lower()
    known = next((cause for sign, cause in _CAUSES if sign in text), None)
    return known or address.hidden(str(error)).rstrip(".") or "the connection broke"
