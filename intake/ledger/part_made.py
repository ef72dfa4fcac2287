"""What came out of the mould: a finished part, weighed and measured."""

from dataclasses import dataclass
from math import isfinite

from intake.errors import BadInput


@dataclass(frozen=True, slots=True, kw_only=True)
class PartMade:
    """A cold, trimmed part of a charge that was pressed while it cooled.

    Resin and cavity are those of the charge on that day, so that a later campaign file never changes what the
    part tells.

    Attributes:
        cavity_cm3: [cm3] of its mould, > 0.
        mass_g: [g] of the part, > 0; None: not weighed.
        side_mm: [mm] one side of the part, > 0; None: not measured.
        mould_mm: [mm] the same side of its mould, > 0; None: not measured.
    """

    charge: str
    resin: str
    cavity_cm3: float
    mass_g: float | None = None
    side_mm: float | None = None
    mould_mm: float | None = None
    by: str | None = None

    def __post_init__(self) -> None:
        for what in ("cavity_cm3", "mass_g", "side_mm", "mould_mm"):
            value = getattr(self, what)
            if value is not None and not (isfinite(value) and value > 0.0):
                raise BadInput(where=f"Part of {self.charge}, {what}", got=value, expected="above 0")
        if (self.side_mm is None) != (self.mould_mm is None):
            expected = "the same side of part and mould, both or neither"
            raise BadInput(where=f"Part of {self.charge}, side", got="one", expected=expected)
        if self.mass_g is None and self.side_mm is None:
            raise BadInput(where=f"Part of {self.charge}", got="", expected="its mass or a side of it")
