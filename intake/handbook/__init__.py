"""The handbook: the loaded, validated tables of `resources/`, each read on first use and kept."""

from functools import cached_property

from intake.handbook.baths import read_baths
from intake.handbook.kinds import read_kinds
from intake.handbook.resins import read_resins
from intake.table.identify.bath_facts import BathTable
from intake.table.kinds import KindTable
from intake.table.resins import ResinTable


class Handbook:
    """All tables of one edition. A table that is faulty raises `HandbookGap` when it is first asked for."""

    @cached_property
    def resins(self) -> ResinTable:
        """Names, codes, parents and densities of the resins."""
        return read_resins()

    @cached_property
    def kinds(self) -> KindTable:
        """Kinds of item with their priors and masses."""
        return read_kinds(self.resins)

    @cached_property
    def baths(self) -> BathTable:
        """Float baths with their correlations, limits and cautions."""
        return read_baths()
