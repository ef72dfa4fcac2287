"""A folding that can be put aside as plain values and taken up again, so that opening need not fold everything."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from intake.errors import Finding
from intake.ledger.events import CampaignSet, Source
from intake.ledger.fold import Folding
from intake.ledger.lazy import StoredItem, item_line
from intake.ledger.plain import read, shape_of, write
from intake.ledger.state import BinState, FinishedPart, LotState

_BIN, _LOT, _PART = shape_of(BinState), shape_of(LotState), shape_of(FinishedPart)
_CAMPAIGN, _TROUBLE = shape_of(CampaignSet), shape_of(Finding)

KEPT = MappingProxyType(
    {
        "_dead": "dead", "_campaign": "campaign", "_sources": "sources", "_unread": "unread",
        "_finished": "finished", "_bins": "bins", "_lots": "lots", "_renamed": "renamed", "_owner": "owner",
        "_troubles": "troubles", "_done": "items, a line each",
    }
)  # fmt: skip
"""What of a folding is put aside, and as what."""
DERIVED = frozenset(("_items", "_touched", "_inside", "_about", "_stale", "_frozen"))
"""What follows from that, or is empty once the state was frozen."""


class KeptFolding(Folding):
    """Folding with a way out and back; `tests/book/ledger/test_snapshot.py` holds that nothing is left behind."""

    def plain(self) -> dict[str, Any]:
        """Everything but the items, as JSON says it."""
        state = self.state
        return {
            "dead": sorted(state.undone),
            "campaign": None if state.campaign is None else write(_CAMPAIGN, state.campaign),
            "sources": [[source.sheet, source.row, item] for source, item in state.sources.items()],
            "unread": list(state.unread),
            "finished": [write(_PART, part) for part in state.finished],
            "bins": [write(_BIN, of) for of in state.bins.values()],
            "lots": [write(_LOT, lot) for lot in state.lots.values()],
            "renamed": [[*key, mine] for key, mine in self._renamed.items()],
            "owner": [[what, name, station] for (what, name), station in self._owner.items()],
            "troubles": [write(_TROUBLE, trouble) for trouble in state.troubles],
            "items": list(self._done),
        }

    def item_lines(self) -> list[dict[str, object] | bytes]:
        """The items in the order of `plain()["items"]`: lines of JSON, or what is to be written as one."""
        return [item_line(item) for item in self._done.values()]

    @classmethod
    def of(cls, plain: Mapping[str, Any], lines: list[bytes]) -> "KeptFolding":
        """The folding that was put aside.

        Raises:
            ValueError, TypeError, KeyError: it was not written by this version of the program.
        """
        folding = cls(frozenset(plain["dead"]))
        if plain["campaign"] is not None:
            folding._campaign = read(_CAMPAIGN, plain["campaign"])
        folding._sources = {Source(sheet=sheet, row=row): item for sheet, row, item in plain["sources"]}
        folding._unread = list(plain["unread"])
        folding._finished = [read(_PART, part) for part in plain["finished"]]
        folding._lots = {lot.id: lot for lot in (read(_LOT, one) for one in plain["lots"])}
        folding._renamed = {(what, station, name): mine for what, station, name, mine in plain["renamed"]}
        folding._owner = {(what, name): station for what, name, station in plain["owner"]}
        folding._troubles = [read(_TROUBLE, trouble) for trouble in plain["troubles"]]
        folding._done.update(zip(plain["items"], map(StoredItem, lines), strict=True))
        for of in (read(_BIN, one) for one in plain["bins"]):
            folding._bins[of.id] = of
            folding._inside[of.id] = dict.fromkeys(of.items)
            folding._about[of.id] = list(of.history)
        return folding
