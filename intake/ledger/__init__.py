"""What happened, for ever: an append-only journal of events and the state that follows from them.

::

    disk < records < journal < storage (TinyDB) < ledger
    events < codec, envelope < chain, stamp, fold < ledger

A ledger is a folder: `journal` holds everything, `lock` says who writes, `cut-*` hold torn tails cut aside.
"""

from intake.ledger.envelope import Event
from intake.ledger.fold import fold
from intake.ledger.journal import NotRecorded, TornTail
from intake.ledger.ledger import Ledger, ledger_exists
from intake.ledger.state import BinState, ItemState, LotState, TableState

__all__ = [
    "BinState",
    "Event",
    "ItemState",
    "Ledger",
    "LotState",
    "NotRecorded",
    "TableState",
    "TornTail",
    "fold",
    "ledger_exists",
]
