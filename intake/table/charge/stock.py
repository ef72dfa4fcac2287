"""What a charge can be mixed from, and what the mix must be."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isfinite, log

from intake.errors import BadInput
from intake.table.bins.ciede2000 import delta_e_2000
from intake.table.bins.colour import Lab
from intake.table.kinds import Flow
from intake.table.resins import Figure, ResinId


@dataclass(frozen=True, slots=True, kw_only=True)
class BlendTables:
    """What lots flow like, and what decides between mixes.

    Attributes:
        rates: [g/10 min] melt flow rate by resin and by how the item was formed.
        opening_de00: [-] what opening one more lot must bring in mean colour difference.
        unknown_de00: [-] how far a lot of many colours is from every colour.
    """

    rates: Mapping[tuple[ResinId, Flow], Figure]
    opening_de00: Figure
    unknown_de00: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A lot of shred, or a bin that is not shredded yet.

    Attributes:
        id: of the lot or the bin.
        mass_g: [g] what may be counted on: a lot's mass; the 5th percentile of what a bin will give.
        flow_g_10min: [g/10 min] melt flow rate, > 0, all measured alike; None where nobody knows.
        colour: in CIELAB; None where it is of many colours.
        foreign: [-] expected share of each foreign material, 0..1.
        weighed: False for a bin, whose mass is a forecast.
    """

    id: str
    mass_g: float
    flow_g_10min: float | None
    colour: Lab | None
    foreign: Mapping[str, float]
    weighed: bool = True

    def __post_init__(self) -> None:
        if not (isfinite(self.mass_g) and self.mass_g >= 0.0):
            raise BadInput(where=f"Lot {self.id}, mass", got=self.mass_g, expected="a mass of 0 g or more")
        flow = self.flow_g_10min
        if flow is not None and not (isfinite(flow) and flow > 0.0):
            expected = "a melt flow rate above 0 g/10 min"
            raise BadInput(where=f"Lot {self.id}, flow", got=flow, expected=expected)
        for material, share in self.foreign.items():
            if not 0.0 <= share <= 1.0:
                where = f"Lot {self.id}, {material}"
                raise BadInput(where=where, got=share, expected="a share from 0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What the mix must be.

    Attributes:
        mass_g: [g] shred that the charge needs, > 0.
        limits: [-] highest share of each foreign material, above 0; one that is not named is free.
        flow_low: [g/10 min] lowest melt flow rate of the mix; None: any.
        flow_high: [g/10 min] highest; None: any.
        opening_de00: [-] what opening one more lot must bring in mean colour difference.
        unknown_de00: [-] how far a lot of many colours is from every colour.
    """

    mass_g: float
    limits: Mapping[str, float]
    flow_low: float | None = None
    flow_high: float | None = None
    opening_de00: float = 1.0
    unknown_de00: float = 30.0

    def __post_init__(self) -> None:
        if not (isfinite(self.mass_g) and self.mass_g > 0.0):
            raise BadInput(where="Mass of the charge", got=self.mass_g, expected="a mass above 0 g")
        for material, share in self.limits.items():
            if not 0.0 < share <= 1.0:
                raise BadInput(
                    where=f"Limit of {material}", got=share, expected="a share above 0 and up to 1"
                )
        for end in (self.flow_low, self.flow_high):
            if end is not None and not (isfinite(end) and end > 0.0):
                raise BadInput(where="Flow window", got=end, expected="melt flow rates above 0 g/10 min")
        if self.flow_low is not None and self.flow_high is not None and self.flow_low > self.flow_high:
            got = f"{self.flow_low:g} to {self.flow_high:g}"
            raise BadInput(where="Flow window", got=got, expected="a low end that is not above the high end")
        for value in (self.opening_de00, self.unknown_de00):
            if not (isfinite(value) and value >= 0.0):
                raise BadInput(where="Colour difference", got=value, expected="a number of 0 or more")


def log_flows(stocks: Sequence[Stock], wish: Wish) -> tuple[float, ...]:
    """Logarithms of the flow rates; 0 for all where one is unknown and no window is wanted.

    Raises:
        BadInput: a window is wanted and the flow of a stock is unknown.
    """
    flows = [s.flow_g_10min for s in stocks]
    known = [log(f) for f in flows if f is not None]
    if len(known) == len(stocks):
        return tuple(known)
    if wish.flow_low is not None or wish.flow_high is not None:
        silent = next(s.id for s in stocks if s.flow_g_10min is None)
        expected = "a resin whose melt flow rate is known, or no flow window"
        raise BadInput(where="Flow window", got=f"lot {silent}", expected=expected)
    return tuple(0.0 for _ in stocks)


def colour_gaps(stocks: Sequence[Stock], unknown_de00: float) -> tuple[tuple[float, ...], ...]:
    """[-] ΔE00 of every stock from each colour there is; one row a colour.

    A stock of many colours is `unknown_de00` from every colour; where there is no other, that is the one row.
    """
    colours = tuple(s.colour for s in stocks)
    anchors = tuple(dict.fromkeys(c for c in colours if c is not None))
    apart = {(a, b): delta_e_2000(a, b) for at, a in enumerate(anchors) for b in anchors[at:]}
    rows = dict.fromkeys(
        tuple(
            unknown_de00 if c is None else apart.get((anchor, c), apart.get((c, anchor), 0.0))
            for c in colours
        )
        for anchor in anchors
    )
    return tuple(rows) or (tuple(unknown_de00 for _ in stocks),)
