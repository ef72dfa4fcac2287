"""All the tables that judging needs, in one frozen bundle."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from intake.table.identify.cues import ByResin, CueTable
from intake.table.identify.density_map import DensityMap, density_map
from intake.table.identify.mark_tables import MarkTables
from intake.table.resins import ResinId, ResinTable


@dataclass(frozen=True, slots=True, eq=False)
class IdentifyTables:
    """Tables of the room.

    Attributes:
        resins: names, codes, parents.
        marks: what marks mean.
        cues: what cues, baths, scale and marks can tell.
        population: [-] share of each judged resin among everything people bring, in table order.
        ladder: where the density of each resin lies; worked out once.
        place: position of each judged resin in every `ByResin`.
    """

    resins: ResinTable
    marks: MarkTables
    cues: CueTable
    population: ByResin
    ladder: DensityMap = field(init=False)
    place: Mapping[ResinId, int] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "ladder", density_map(self.cues.variants))
        object.__setattr__(self, "place", {r: k for k, r in enumerate(self.resins.judged)})
