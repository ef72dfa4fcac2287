"""Which colour group a piece belongs to: by a word a person says, or by its place in CIELAB.

The groups are ours: natural (no pigment), white, grey, black, eight hues, and mixed. Natural is told by a
word only, because no colour value separates it from white.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from math import atan2, degrees, hypot, isfinite
from typing import NewType

from intake.errors import BadInput
from intake.table.bins.light import Light, Rgb, light_of
from intake.table.resins import Figure, Reason

GroupId = NewType("GroupId", str)
NATURAL, WHITE, GREY, BLACK = GroupId("natural"), GroupId("white"), GroupId("grey"), GroupId("black")
MIXED, BROWN, ORANGE = GroupId("mixed"), GroupId("brown"), GroupId("orange")

_D65 = (0.95047, 1.0, 1.08883)
_HEX = re.compile(r"#[0-9A-Fa-f]{6}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lab:
    """A colour in CIELAB (D65, 2 degrees): lightness 0..100, a toward red, b toward yellow."""

    lightness: float
    a: float
    b: float

    @property
    def chroma(self) -> float:
        """[-] Distance from grey."""
        return hypot(self.a, self.b)

    @property
    def hue_degrees(self) -> float:
        """[deg] Hue angle, 0 up to 360."""
        return degrees(atan2(self.b, self.a)) % 360.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourTable:
    """The groups' borders, their swatches, and what words mean.

    Attributes:
        neutral_chroma: [-] C*ab below which a colour is white, grey or black.
        white_lightness: [-] L* from which a neutral is white.
        black_lightness: [-] L* up to which a neutral is black.
        brown_lightness: [-] L* up to which an orange is brown.
        paper_lightness: [-] L* of a sheet of office paper.
        paper_chroma: [-] C*ab in a picture up to which a light surface may be paper under tinted light.
        hue_from_degrees: [deg] where each hue group begins, rising.
        swatches: the colour printed for each group; None where none would be true.
        words: a colour word and its colour.
        natural_words: words for plastic without pigment.
        mixed_words: words for a piece of many colours.
        shades: words that only shade a colour.
    """

    neutral_chroma: Figure
    white_lightness: Figure
    black_lightness: Figure
    brown_lightness: Figure
    paper_lightness: Figure
    paper_chroma: Figure
    hue_from_degrees: Mapping[GroupId, float]
    swatches: Mapping[GroupId, Rgb | None]
    words: Mapping[str, Lab]
    natural_words: frozenset[str]
    mixed_words: frozenset[str]
    shades: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourGroup:
    """The group of a piece, and a note where the word did not settle it."""

    id: GroupId
    note: Reason | None = None


def parse_srgb(text: str) -> Rgb:
    """Red, green and blue of "#8FBBE0".

    Raises:
        BadInput: not a hash sign and six hexadecimal digits.
    """
    if not _HEX.fullmatch(text):
        raise BadInput(where="Colour value", got=text, expected="a value such as #8FBBE0")
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


def lab_of(rgb: Rgb) -> Lab:
    """CIELAB of an sRGB colour."""
    return lab_of_light(light_of(rgb))


def lab_of_light(light: Light) -> Lab:
    """CIELAB of a colour in linear light.

    Source: IEC 61966-2-1 matrix, CIE 15 for L*a*b* (both from memory).
    """
    red, green, blue = light
    x = 0.4124564 * red + 0.3575761 * green + 0.1804375 * blue
    y = 0.2126729 * red + 0.7151522 * green + 0.0721750 * blue
    z = 0.0193339 * red + 0.1191920 * green + 0.9503041 * blue
    fx, fy, fz = (_cube_root(v / white) for v, white in zip((x, y, z), _D65, strict=True))
    return Lab(lightness=116.0 * fy - 16.0, a=500.0 * (fx - fy), b=200.0 * (fy - fz))


def _cube_root(value: float) -> float:
    """Cube root with the straight piece near black."""
    return value ** (1.0 / 3.0) if value > (6 / 29) ** 3 else value * (29 / 6) ** 2 / 3.0 + 4.0 / 29.0


def group_of(lab: Lab, table: ColourTable) -> GroupId:
    """The group a colour lies in; never `natural` or `mixed`, which no single colour shows.

    Raises:
        BadInput: a part of the colour is not finite.
    """
    if not all(isfinite(v) for v in (lab.lightness, lab.a, lab.b)):
        raise BadInput(where="Colour", got=lab, expected="three finite CIELAB values")
    if lab.chroma < table.neutral_chroma.typical:
        if lab.lightness >= table.white_lightness.typical:
            return WHITE
        return BLACK if lab.lightness <= table.black_lightness.typical else GREY
    starts = sorted(table.hue_from_degrees.items(), key=lambda row: row[1])
    hue = next((g for g, start in reversed(starts) if lab.hue_degrees >= start), starts[-1][0])
    return BROWN if hue == ORANGE and lab.lightness <= table.brown_lightness.typical else hue


def colour_group(text: str, table: ColourTable) -> ColourGroup:
    """The group that a person's words name.

    One colour word gives its group, whatever shades stand before it; "translucent blue" is blue, "milky
    white" is natural; two groups, an unknown word or no word give `mixed`, with a note saying which.
    """
    words = re.sub(r"[-_/,;.+&()]", " ", text.casefold()).split()
    if not words:
        return ColourGroup(id=MIXED, note=Reason.of("colour_not_given"))
    groups, unknown = _named(words, table)
    if groups == {NATURAL, WHITE}:
        return ColourGroup(id=NATURAL)
    found = groups - {NATURAL} or groups
    if len(found) == 1:
        return ColourGroup(id=next(iter(found)))
    if found:
        return ColourGroup(id=MIXED, note=Reason.of("colour_several", colour=_short(text)))
    word = _short(unknown or text)
    return ColourGroup(id=MIXED, note=Reason.of("colour_unknown", colour=_short(text), word=word))


def _named(words: list[str], table: ColourTable) -> tuple[set[GroupId], str]:
    """All groups named in `words`, longest names first, and the first word nobody knows."""
    groups: set[GroupId] = set()
    unknown, at = "", 0
    while at < len(words):
        for length in (2, 1):
            name = " ".join(words[at : at + length])
            if (group := _group_of_word(name, table)) is not None:
                groups.add(group)
                at += length
                break
        else:
            unknown = unknown or ("" if words[at] in table.shades else words[at])
            at += 1
    return groups, unknown


def _group_of_word(name: str, table: ColourTable) -> GroupId | None:
    """The group of one name of the table; None where the table does not have it."""
    if name in table.natural_words:
        return NATURAL
    if name in table.mixed_words:
        return MIXED
    return group_of(table.words[name], table) if name in table.words else None


def _short(text: str, most: int = 40) -> str:
    """A person's words, cut where they are too long to repeat."""
    clean = " ".join(text.split())
    return clean if len(clean) <= most else clean[: most - 1] + "…"
