"""The handbook: the loaded, validated tables of `resources/`, each read on first use and kept."""

from collections.abc import Mapping
from functools import cached_property

from intake.handbook.baths import read_baths
from intake.handbook.blend import read_blend
from intake.handbook.bulk import read_bulk
from intake.handbook.cautions import read_cautions
from intake.handbook.charge import read_heat, read_shrinkage
from intake.handbook.colours import read_colours
from intake.handbook.compat import read_matrix
from intake.handbook.cues import read_identify_tables
from intake.handbook.figures import read_toml
from intake.handbook.footprint import read_footprint
from intake.handbook.kinds import read_kinds
from intake.handbook.labels import read_label_stocks
from intake.handbook.locate import resources
from intake.handbook.losses import read_losses
from intake.handbook.marks import read_marks
from intake.handbook.melt import read_melts
from intake.handbook.outlets import read_outlets
from intake.handbook.pace import read_pace
from intake.handbook.prep import read_prep
from intake.handbook.resins import read_resins
from intake.handbook.sink_float import read_sink_float
from intake.handbook.sources import Work, read_sources
from intake.handbook.tolerances import Tolerances, read_tolerances
from intake.table.bins.colour import ColourTable
from intake.table.bins.sink_float import SinkFloatTables
from intake.table.charge.heat import HeatTables
from intake.table.charge.shrink import ShrinkTables
from intake.table.charge.stock import BlendTables
from intake.table.charge.target import ChargeTables
from intake.table.compat.cautions import CautionTable
from intake.table.compat.matrix import Matrix
from intake.table.compat.outlets import OutletTable
from intake.table.compat.windows import MeltTable
from intake.table.identify.bath_facts import BathTable
from intake.table.identify.mark_tables import MarkTables
from intake.table.identify.tables import IdentifyTables
from intake.table.kinds import KindTable
from intake.table.labels.layout import LabelStocks
from intake.table.prep.pace import PaceTables
from intake.table.prep.steps import PrepTables
from intake.table.resins import ResinTable
from intake.table.yields.bulk import BulkTables
from intake.table.yields.footprint import FootprintTables
from intake.table.yields.losses import YieldTables


class Handbook:
    """All tables of one edition. A table that is faulty raises `HandbookGap` when it is first asked for."""

    @cached_property
    def resins(self) -> ResinTable:
        """Names, codes, parents and densities of the resins."""
        return read_resins()

    @cached_property
    def marks(self) -> MarkTables:
        """Numbers, terms, spellings and fillers of marks, and how far to trust a mark."""
        return read_marks(self.resins)

    @cached_property
    def kinds(self) -> KindTable:
        """Kinds of item with their priors and masses."""
        return read_kinds(self.resins)

    @cached_property
    def baths(self) -> BathTable:
        """Float baths with their correlations, limits and cautions."""
        return read_baths()

    @cached_property
    def matrix(self) -> Matrix:
        """Which resin melts into which, with tolerated shares."""
        return read_matrix(self.resins)

    @cached_property
    def melts(self) -> MeltTable:
        """Melting, windows, breakdown and solubility of the resins."""
        return read_melts(self.resins)

    @cached_property
    def cautions(self) -> CautionTable:
        """Cautions by act and resin."""
        return read_cautions(self.resins)

    @cached_property
    def losses(self) -> YieldTables:
        """What comes off items and is lost on the way to shred."""
        return read_losses(self.kinds)

    @cached_property
    def bulk(self) -> BulkTables:
        """How much room plastic takes, whole and cut."""
        return read_bulk(self.resins)

    @cached_property
    def prep(self) -> PrepTables:
        """Methods of cleaning and the hand time of each step."""
        return read_prep(self.resins)

    @cached_property
    def sink_float(self) -> SinkFloatTables:
        """What goes where when shred is floated."""
        return read_sink_float(self.resins)

    @cached_property
    def pace(self) -> PaceTables:
        """How fast a table works before its own log says so."""
        return read_pace()

    @cached_property
    def footprint(self) -> FootprintTables:
        """Water and electricity of washing, cutting and the oven, and of virgin resin."""
        return read_footprint(self.resins)

    @cached_property
    def outlets(self) -> OutletTable:
        """Where good plastic goes that is refused here, in general words."""
        return read_outlets(self.resins)

    @cached_property
    def sources(self) -> Mapping[str, Work]:
        """The works that figures are taken from, by key."""
        return read_sources()

    @cached_property
    def shrinkage(self) -> ShrinkTables:
        """Shrinkage and Tait constants."""
        return read_shrinkage(self.resins)

    @cached_property
    def heat(self) -> HeatTables:
        """Heat to melt, and the oven."""
        return read_heat(self.resins)

    @cached_property
    def charge(self) -> ChargeTables:
        """All that a charge is worked out from."""
        return ChargeTables(resins=self.resins, shrink=self.shrinkage, heat=self.heat, bulk=self.bulk)

    @cached_property
    def blend(self) -> BlendTables:
        """How easily lots flow, and what decides between mixes of them."""
        return read_blend(self.resins)

    @cached_property
    def identify(self) -> IdentifyTables:
        """Everything that judging an item needs: resins, marks, cues, densities."""
        return read_identify_tables(self.resins, self.kinds, self.marks)

    @cached_property
    def tolerances(self) -> Tolerances:
        """How much of what stays on an item a bin may carry."""
        return read_tolerances()

    @cached_property
    def edition(self) -> str:
        """The edition of the handbook: that of its newest table."""
        return max(str(read_toml(path)["edition"]) for path in resources().glob("*.toml"))

    @cached_property
    def colours(self) -> ColourTable:
        """Colour groups with their words and swatches."""
        return read_colours()

    @cached_property
    def label_stocks(self) -> LabelStocks:
        """Sheets and rolls of labels, by their id."""
        return read_label_stocks()
