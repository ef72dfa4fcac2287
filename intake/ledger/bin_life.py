"""What can happen to a bin and to the lot that it becomes: one frozen type per fact.

A bin is shredded into one lot, which begins with the mass that was weighed then. From then on only the lot
is drawn from, floated, adjusted or written off. `mass_g` is always what the scale says without its tub.
"""

from dataclasses import dataclass
from math import isfinite

from intake.errors import BadInput
from intake.ledger.received import not_negative
from intake.table.bins.melt_test import Bend, Peel, Smell, Specks
from intake.table.compat.decision import Verdict
from intake.table.kinds import Flow


def _above_zero(who: str, what: str, value: float) -> None:
    """Refuses nothing, less than nothing, infinity and NaN."""
    if not (isfinite(value) and value > 0.0):
        raise BadInput(where=f"{who}, {what}", got=value, expected="above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One item goes to another bin."""

    item: str
    bin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shredded:
    """Everything in a bin was shredded and weighed: it is a lot now, and the bin is closed.

    Attributes:
        mass_g: [g] shred without its tub, > 0.
        tare_g: [g] tub that was weighed on the same scale; 0 where it was set to zero with the tub on it.
        resolution_g: [g] smallest step of the scale, > 0.
        shredder: row of the fines table; None: the campaign's.
    """

    bin: str
    lot: str
    mass_g: float
    tare_g: float = 0.0
    resolution_g: float = 1.0
    shredder: str | None = None
    by: str | None = None

    def __post_init__(self) -> None:
        _above_zero(self.lot, "mass", self.mass_g)
        not_negative(self.lot, "tare", self.tare_g)
        _above_zero(self.lot, "scale step", self.resolution_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class Floated:
    """The shred went through a bath; what sank, or what floated, was taken out, dried and weighed.

    Attributes:
        bath: id of the bath, or words for it.
        bath_g_cm3: [g/cm3] its density.
        sinkers_g: [g] taken out from the bottom; None where the floating part was taken out.
        floaters_g: [g] taken off the top; None where the sinking part was taken out.
    """

    lot: str
    bath: str
    bath_g_cm3: float
    sinkers_g: float | None = None
    floaters_g: float | None = None
    resolution_g: float = 1.0
    by: str | None = None

    def __post_init__(self) -> None:
        _above_zero(self.lot, "bath density", self.bath_g_cm3)
        _above_zero(self.lot, "scale step", self.resolution_g)
        not_negative(self.lot, "sinkers", self.sinkers_g)
        not_negative(self.lot, "floaters", self.floaters_g)
        if (self.sinkers_g is None) == (self.floaters_g is None):
            raise BadInput(
                where=f"{self.lot}, float", got="", expected="the mass of what sank or of what floated"
            )

    @property
    def out_g(self) -> float:
        """[g] What left the lot."""
        return self.sinkers_g if self.sinkers_g is not None else self.floaters_g or 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """`mass_g` [g] of a lot went into a charge."""

    lot: str
    charge: str
    mass_g: float
    by: str | None = None

    def __post_init__(self) -> None:
        _above_zero(self.lot, "drawn", self.mass_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotAdjusted:
    """A lot was weighed again: `mass_g` [g] is what there is now, whatever the sums said."""

    lot: str
    mass_g: float
    reason: str = ""
    resolution_g: float = 1.0
    by: str | None = None

    def __post_init__(self) -> None:
        not_negative(self.lot, "mass", self.mass_g)
        _above_zero(self.lot, "scale step", self.resolution_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenOff:
    """Part of a lot, or a whole bin with all that lies in it, is gone: spilled, spoiled, given away.

    Attributes:
        mass_g: [g] of the lot; None: all that is left. A bin always goes whole.
    """

    reason: str
    lot: str | None = None
    bin: str | None = None
    mass_g: float | None = None
    by: str | None = None

    def __post_init__(self) -> None:
        if (self.lot is None) == (self.bin is None):
            raise BadInput(where="Write-off", got="", expected="one lot or one bin")
        if self.mass_g is not None:
            _above_zero(self.lot or self.bin or "", "written off", self.mass_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltTested:
    """A spoonful of a lot was melted; `verdict` is what was decided for the lot."""

    lot: str
    smell: Smell
    specks: Specks
    peel: Peel
    bend: Bend
    verdict: Verdict
    note: str = ""
    by: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BinSplit:
    """Some items of a bin go to a new bin `into` that takes the same."""

    bin: str
    into: str
    items: tuple[str, ...]
    by: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BinMerged:
    """Everything in `bin` goes to `into`; `bin` stands empty and open."""

    bin: str
    into: str
    by: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BinRelabelled:
    """A bin takes something else from here on; what is None stays as it was."""

    bin: str
    resin: str | None = None
    colour: str | None = None
    flow: Flow | None = None
    filled: bool | None = None
    by: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Regrouped:
    """Items lie better now: each move takes one item to another open bin."""

    moves: tuple[Move, ...]
    by: str | None = None
