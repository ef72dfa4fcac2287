"""Many tables through one database: one table of rows, and each station's last number as the cursor.

::

    row, address, failure < schema < store

Anything that speaks PostgreSQL's protocol will do. The hub keeps bytes and numbers them; what an event means,
and whether it fits onto its station's chain, is for the ledger to say. The two meet in `intake.desk.sync`.
"""

from typing import TYPE_CHECKING

from intake.errors import Refusal

if TYPE_CHECKING:
    from intake.hub.store import Hub


def open_hub(url: str) -> "Hub":
    """The hub at `url`, connected; its tables are made where they are missing.

    Raises:
        BadInput: no such address can be.
        HubDown: nobody answers there, or not as a hub does.
        Refusal: this installation cannot speak to databases, or the tables there are not a hub's.
    """
    try:
        from intake.hub.store import Hub
    except ImportError:
        raise Refusal(
            "This installation cannot speak to a database: the optional part 'hub' is missing. Install "
            "resin-intake[hub]. Nothing was changed."
        ) from None
    return Hub.connect(url)
