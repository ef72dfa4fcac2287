"""The open bins while items are placed: what is in each, kept as sums so that placing stays quick."""

from collections.abc import Mapping

from intake.table.bins.budget import Content, with_entry
from intake.table.bins.ids import BinId, next_bin_id
from intake.table.bins.key import BinKey
from intake.table.bins.placing import Candidate, Limits, OpenBin, Placing, place
from intake.table.resins import ResinId


def empty_bin(bin_id: BinId, key: BinKey) -> OpenBin:
    """A bin that nothing lies in."""
    return OpenBin(id=bin_id, key=key, content=Content(), volume_l=0.0)


def with_candidate(bin_: OpenBin, candidate: Candidate) -> OpenBin:
    """The bin after one more candidate."""
    content = with_entry(bin_.content, candidate.entry)
    return OpenBin(id=bin_.id, key=bin_.key, content=content, volume_l=bin_.volume_l + candidate.volume_l)


class Bench:
    """Bins by id with their running content; what is put here is recorded by whoever calls."""

    def __init__(self, letters: str, limits: Mapping[ResinId, Limits]) -> None:
        self._letters, self._limits = letters, limits
        self._bins: dict[BinId, OpenBin] = {}
        self._by_key: dict[BinKey, list[BinId]] = {}

    def open(self, bin_id: BinId, key: BinKey) -> None:
        """A new, empty bin stands ready."""
        self.stand(empty_bin(bin_id, key))

    def stand(self, bin_: OpenBin) -> None:
        """A bin stands ready with what is in it."""
        self._bins[bin_.id] = bin_
        self._by_key.setdefault(bin_.key, []).append(bin_.id)

    def shut(self, bin_: OpenBin) -> None:
        """A bin that takes nothing more; its id stays taken."""
        self._bins[bin_.id] = bin_

    def put(self, bin_id: BinId, candidate: Candidate) -> None:
        """The candidate lies in the bin."""
        self._bins[bin_id] = with_candidate(self._bins[bin_id], candidate)

    def choose(self, candidate: Candidate) -> Placing:
        """The placing verdict: an open bin, a new one, or why neither."""
        alike = [self._bins[b] for b in self._by_key.get(candidate.key, ())]
        return place(candidate, alike, self._limits[candidate.key.resin])

    def next_id(self) -> BinId:
        """The id that the next new bin gets."""
        return next_bin_id(self._letters, self._bins)

    def __getitem__(self, bin_id: BinId) -> OpenBin:
        return self._bins[bin_id]

    def __contains__(self, bin_id: object) -> bool:
        return bin_id in self._bins
