"""Papers, tones, patterns and places of the pages that are hung up or handed over."""

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from intake.errors import UnknownName


class Paper(StrEnum):
    """Papers by their usual names."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def size_mm(self) -> tuple[float, float]:
        """[mm] width and height. Source: ISO 216 for A4; ANSI/ASME Y14.1, 8.5 × 11 inch (from memory)."""
        return (210.0, 297.0) if self is Paper.A4 else (215.9, 279.4)

    @classmethod
    def named(cls, text: str) -> "Paper":
        """The paper of that name, without regard to case.

        Raises:
            UnknownName: nobody knows it.
        """
        known = {paper.value: paper for paper in cls}
        if text.strip().casefold() not in known:
            raise UnknownName(where="Paper", got=text, known=known)
        return known[text.strip().casefold()]


class Tone(StrEnum):
    """What a colour stands for; each is another pattern too, so that a black printer keeps them apart."""

    INK = "ink"
    MUTED = "muted"
    LINE = "line"
    PALE = "pale"
    ACTION = "action"
    ACCEPT = "accept"
    HOLD = "hold"
    REFUSE = "refuse"
    OFF = "off"
    WHITE = "white"


COLOURS = MappingProxyType(
    {
        Tone.INK: (0x1C, 0x21, 0x26),
        Tone.MUTED: (0x5A, 0x61, 0x68),
        Tone.LINE: (0xC9, 0xC6, 0xBE),
        Tone.PALE: (0xE4, 0xEA, 0xF1),
        Tone.ACTION: (0x23, 0x41, 0x5F),
        Tone.ACCEPT: (0x0B, 0x6B, 0x63),
        Tone.HOLD: (0x8A, 0x5A, 0x00),
        Tone.REFUSE: (0x9C, 0x2F, 0x22),
        Tone.OFF: (0x8B, 0x90, 0x94),
        Tone.WHITE: (0xFF, 0xFF, 0xFF),
    }
)


class Pattern(StrEnum):
    """How an area is filled."""

    SOLID = "solid"
    STRIPES = "stripes"
    HATCH = "hatch"
    DOTS = "dots"


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle on the page, [mm] from the top left corner."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """[mm] Right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """[mm] Lower edge."""
        return self.top + self.height

    @property
    def outline(self) -> tuple[tuple[float, float], ...]:
        """[mm] Its corners, from the upper left one round to it again."""
        top, bottom = self.top, self.bottom
        corners = ((self.left, top), (self.right, top), (self.right, bottom), (self.left, bottom))
        return (*corners, corners[0])
