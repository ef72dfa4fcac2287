"""What was observed about an item: one frozen type per kind of observation."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from intake.errors import BadInput


class MarkHow(StrEnum):
    """How a mark stands on the item; a sticker belongs to the pack more often than to the plastic."""

    MOULDED = "moulded"
    PRINTED = "printed"
    STICKER = "sticker"
    UNCLEAR = "unclear"


class Outcome(StrEnum):
    """What a piece did after it was pushed under and let go."""

    FLOATS = "floats"
    SINKS = "sinks"
    HOVERS = "hovers"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A mark as read, such as "2", "HDPE" or ">PP-TD20<"."""

    text: str
    how: MarkHow = MarkHow.MOULDED


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatTest:
    """A piece in a bath.

    Attributes:
        bath: what the person calls the bath ("water", "0.93").
        bath_g_cm3: [g/cm3] its density at its own temperature.
        bath_sd_g_cm3: [g/cm3] standard deviation of mixing and reading it.
        outcome: what the piece did.
    """

    bath: str
    bath_g_cm3: float
    bath_sd_g_cm3: float = 0.0025
    outcome: Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Density:
    """A measured density [g/cm3] with its standard uncertainty [g/cm3]."""

    density_g_cm3: float
    sd_g_cm3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """A simple look or touch: the cue's id and the level that was seen."""

    name: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotTest:
    """A crate of like pieces of which some were picked at random and tested one by one.

    Attributes:
        tested: how many were tested, 1 or more.
        odd: how many of these turned out to be something else and were taken out.
    """

    tested: int
    odd: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.odd <= self.tested or self.tested < 1:
            got = f"{self.odd} of {self.tested}"
            raise BadInput(where="Spot test", got=got, expected="odd pieces of tested ones, such as 0/59")


Evidence: TypeAlias = Mark | FloatTest | Density | Cue | SpotTest
