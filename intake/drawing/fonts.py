"""The shipped font: which characters it has, how wide a text is, and how to make it fit."""

import struct
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from PIL import ImageFont

ELLIPSIS = "…"
REPLACEMENT = "?"
_LONGEST = 200
"""Characters looked at: a longer text never fits a label."""
_SIZES_KEPT = 256
_JOINERS = frozenset({0x200B, 0x200C, 0x200D, 0xFEFF})
_VARIATIONS = range(0xFE00, 0xFE10)


@dataclass(frozen=True, slots=True)
class Fitted:
    """A text as it will be drawn, and the font at the size at which it fits."""

    text: str
    font: ImageFont.FreeTypeFont


class Face:
    """One font file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.at = lru_cache(maxsize=_SIZES_KEPT)(self._at)

    def _at(self, cap_px: float) -> ImageFont.FreeTypeFont:
        """The font at the size at which a capital H is `cap_px` pixels high."""
        return ImageFont.truetype(str(self.path), max(1.0, cap_px / self.cap_share))

    @cached_property
    def cap_share(self) -> float:
        """[-] Cap height / em."""
        top, bottom = ImageFont.truetype(str(self.path), 1000).getbbox("H")[1::2]
        return float(bottom - top) / 1000.0

    @cached_property
    def characters(self) -> frozenset[int]:
        """Code points that the font has a shape for."""
        return read_characters(self.path.read_bytes())

    def missing(self, text: str) -> tuple[str, ...]:
        """The characters of `text` that the font cannot draw, each once, in order."""
        return tuple(c for c in dict.fromkeys(text) if ord(c) not in self.characters and not _unseen(c))

    def printable(self, text: str) -> str:
        """`text` on one line with `?` where the font has no shape, so that no empty box is ever printed."""
        plain = " ".join(text[:_LONGEST].split())
        kept = (c for c in plain if not _unseen(c) or ord(c) in self.characters)
        return "".join(c if ord(c) in self.characters else REPLACEMENT for c in kept)

    def fit(self, text: str, cap_px: float, width_px: float, *, least: float = 0.6) -> Fitted:
        """`text` shrunk until it fits, at most to `least` of its size, and after that cut."""
        shown = self.printable(text)
        font = self.at(cap_px)
        width = font.getlength(shown)
        if width <= width_px:
            return Fitted(shown, font)
        font = self.at(cap_px * max(least, 0.995 * width_px / width))
        if font.getlength(shown) <= width_px:
            return Fitted(shown, font)
        return Fitted(_cut(shown, font, width_px), font)


@dataclass(frozen=True, slots=True)
class Fonts:
    """The two faces that labels are set in."""

    regular: Face
    bold: Face

    @classmethod
    def of(cls, folder: Path) -> "Fonts":
        """The faces in the folder `fonts` of the resources."""
        return cls(regular=Face(folder / "DejaVuSans.ttf"), bold=Face(folder / "DejaVuSans-Bold.ttf"))


def _cut(text: str, font: ImageFont.FreeTypeFont, width_px: float) -> str:
    """The longest beginning of `text` that fits with an ellipsis behind it."""
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if font.getlength(text[:middle].rstrip() + ELLIPSIS) <= width_px:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + ELLIPSIS


def _unseen(character: str) -> bool:
    """True for joiners and variation marks, which have no shape of their own."""
    return ord(character) in _JOINERS or ord(character) in _VARIATIONS


def read_characters(data: bytes) -> frozenset[int]:
    """Code points of a TrueType file, from its `cmap` table.

    Source: OpenType specification, `cmap`, formats 4 and 12 (from memory).

    Raises:
        ValueError: the file has no Unicode table that we can read.
    """
    tables = struct.unpack_from(">H", data, 4)[0]
    records = (struct.unpack_from(">4sLLL", data, 12 + 16 * n) for n in range(tables))
    start = next((offset for tag, _, offset, _ in records if tag == b"cmap"), None)
    if start is None:
        raise ValueError("the font has no cmap table")
    found: set[int] = set()
    for n in range(struct.unpack_from(">H", data, start + 2)[0]):
        platform, _, offset = struct.unpack_from(">HHL", data, start + 4 + 8 * n)
        if platform in (0, 3):
            found |= _subtable(data, start + offset)
    if not found:
        raise ValueError("the font has no Unicode character table")
    return frozenset(found)


def _subtable(data: bytes, at: int) -> set[int]:
    """Code points of one subtable; none where its format is neither 4 nor 12."""
    form = struct.unpack_from(">H", data, at)[0]
    if form == 12:  # noqa: PLR2004
        groups = struct.unpack_from(">L", data, at + 12)[0]
        spans = (struct.unpack_from(">LLL", data, at + 16 + 12 * n) for n in range(groups))
        return {code for first, last, glyph in spans for code in range(first, last + 1) if glyph}
    return _format_4(data, at) if form == 4 else set()  # noqa: PLR2004


def _format_4(data: bytes, at: int) -> set[int]:
    """Code points of a format 4 subtable that map to a glyph other than the empty box."""
    count = struct.unpack_from(">H", data, at + 6)[0] // 2
    ends, starts, deltas, offsets = (
        struct.unpack_from(f">{count}H", data, at + 14 + 2 * (part * count + (part > 0))) for part in range(4)
    )
    base = at + 16 + 6 * count
    found = set()
    for n in range(count):
        for code in range(starts[n], ends[n] + 1):
            glyph = code
            if offsets[n]:
                glyph = struct.unpack_from(">H", data, base + 2 * n + offsets[n] + 2 * (code - starts[n]))[0]
            if code != 0xFFFF and (glyph + deltas[n]) % 65536 and (glyph or not offsets[n]):  # noqa: PLR2004
                found.add(code)
    return found
