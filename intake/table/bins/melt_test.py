"""The test melt: a spoonful of a lot is melted before kilograms are risked, and what it tells."""

from dataclasses import dataclass
from enum import StrEnum

from intake.table.compat.decision import Verdict
from intake.table.resins import Reason


class Smell(StrEnum):
    """What the melt smells of: hardly anything, candle wax or soot, or something sharp that stings."""

    NONE = "none"
    WAXY = "waxy"
    SHARP = "sharp"


class Specks(StrEnum):
    """Dark or unmelted bits in the pressed spoonful."""

    NONE = "none"
    FEW = "few"
    MANY = "many"


class Peel(StrEnum):
    """Whether layers come apart when a cut edge is pulled."""

    NO = "no"
    YES = "yes"


class Bend(StrEnum):
    """What the cold strip does when it is bent double."""

    BENDS = "bends"
    WHITENS = "whitens"
    SNAPS = "snaps"


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltTest:
    """What was seen of one spoonful."""

    smell: Smell
    specks: Specks
    peel: Peel
    bend: Bend


def melt_verdict(test: MeltTest) -> tuple[Verdict, tuple[Reason, ...]]:
    """Whether the lot may go into a mould, with why not.

    A sharp smell is what PVC gives off when it breaks down; layers that peel are two resins that did not
    melt into one: both refuse the lot. Many unmelted bits, or a strip that snaps, hold it until somebody
    looked closer. Common practice, no source.
    """
    against = []
    if test.smell is Smell.SHARP:
        against.append(Reason.of("melt_smells_sharp"))
    if test.peel is Peel.YES:
        against.append(Reason.of("melt_peels"))
    if against:
        return Verdict.REFUSE, tuple(against)
    if test.specks is Specks.MANY:
        against.append(Reason.of("melt_many_specks"))
    if test.bend is Bend.SNAPS:
        against.append(Reason.of("melt_snaps"))
    if against:
        return Verdict.HOLD, tuple(against)
    return Verdict.ACCEPT, (Reason.of("melt_good"),)
