"""QR symbols in a picture, by the reader zxing-cpp: several looks at the same picture, the plain one first."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import zxingcpp
from PIL import Image, ImageFilter

from intake.drawing.covered import read_covered
from intake.drawing.symbol import LEVEL, MAX_VERSION

Point = tuple[int, int]

_LAST_MASK = 7

_ENLARGED_UP_TO = 4_000_000
"""Pixels up to which a picture is also looked at in twice its size: small symbols need it, large ones do not."""
_LONGEST_SMALL = 1600
"""[px] longer side of the small copy of a large picture, in which a symbol that fills it is found best."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A symbol in a picture: its text, None where it did not read, and its corners, top left first."""

    text: str | None
    corners: tuple[Point, Point, Point, Point]


def read_symbols(image: Image.Image) -> tuple[Seen, ...]:
    """All QR symbols of a picture, each text once, from top to bottom.

    The first two looks (each neighbourhood's own threshold; one threshold for all) always happen, so that a
    picture of many labels gives all of them; the others only where nothing was read yet. A symbol that was
    found and never read is given without text.
    """
    grey = image.convert("L")
    read: dict[str, Seen] = {}
    unread: list[Seen] = []
    for number, look in enumerate(_looks(grey)):
        if number > 1 and read:
            break
        for seen in look():
            if seen.text is None:
                unread.append(seen)
            else:
                read.setdefault(seen.text, seen)
    left = [s for n, s in enumerate(unread) if not _known(s, [*read.values(), *unread[:n]])]
    return tuple(sorted([*read.values(), *left], key=lambda s: (_middle(s)[1], _middle(s)[0])))


def _looks(grey: Image.Image) -> Iterator[Callable[[], list[Seen]]]:
    """The ways of looking, cheapest and most telling first."""
    local, whole = zxingcpp.Binarizer.LocalAverage, zxingcpp.Binarizer.GlobalHistogram
    yield lambda: _read(grey, local)
    yield lambda: _read(grey, whole)
    if grey.width * grey.height <= _ENLARGED_UP_TO:
        yield lambda: _read(grey, local, scale=2.0)
        yield lambda: _read(grey, whole, scale=2.0)
    if max(grey.size) > _LONGEST_SMALL:
        yield lambda: _read(grey, local, scale=_LONGEST_SMALL / max(grey.size))
    yield lambda: _read(grey.filter(ImageFilter.MedianFilter(3)), local)
    yield lambda: _read(grey.filter(ImageFilter.GaussianBlur(1.0)), local)


def _read(grey: Image.Image, binarizer: zxingcpp.Binarizer, *, scale: float = 1.0) -> list[Seen]:
    """One look, dark on light and light on dark, at every angle."""
    picture = grey
    if scale != 1.0:
        size = (max(1, round(grey.width * scale)), max(1, round(grey.height * scale)))
        picture = grey.resize(size, Image.Resampling.BICUBIC)
    found = zxingcpp.read_barcodes(
        picture,
        formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCodeModel2),
        text_mode=zxingcpp.TextMode.Plain,
        binarizer=binarizer,
        return_errors=True,
    )
    seen = (_seen(code, picture, scale) for code in found)
    return [s for s in seen if len(set(s.corners)) == len(s.corners)]  # what has no extent was nothing


def _seen(code: zxingcpp.Barcode, picture: Image.Image, scale: float) -> Seen:
    """Our own value for what the reader found; text only where error correction agreed, its own or ours."""
    where = code.position
    corners = tuple(
        (p.x, p.y) for p in (where.top_left, where.top_right, where.bottom_right, where.bottom_left)
    )
    text = code.bytes.decode("utf-8", "replace") if code.valid else _repaired(code, picture, corners)
    first, second, third, fourth = ((round(x / scale), round(y / scale)) for x, y in corners)
    return Seen(text=text, corners=(first, second, third, fourth))


def _repaired(code: zxingcpp.Barcode, picture: Image.Image, corners: tuple[Point, ...]) -> str | None:
    """The text of a symbol of ours that is covered in part; None where there is no more to be read."""
    known: dict[str, object] = dict(code.extra or {})  # type: ignore[call-overload]
    version, mask = str(known.get("Version", "")), str(known.get("DataMask", ""))
    if known.get("ECLevel") != LEVEL or not (version.isdigit() and mask.isdigit()):
        return None
    if int(version) > MAX_VERSION or int(mask) > _LAST_MASK:
        return None
    first, second, third, fourth = corners
    return read_covered(picture, (first, second, third, fourth), int(version), int(mask))


def _known(seen: Seen, others: list[Seen]) -> bool:
    """True where another look found a symbol at the same place."""
    return any(_inside(_middle(seen), o) or _inside(_middle(o), seen) for o in others)


def _inside(point: tuple[float, float], seen: Seen) -> bool:
    """True where the point lies in the upright box about a symbol."""
    across, down = zip(*seen.corners, strict=True)
    return min(across) <= point[0] <= max(across) and min(down) <= point[1] <= max(down)


def _middle(seen: Seen) -> tuple[float, float]:
    return sum(p[0] for p in seen.corners) / 4, sum(p[1] for p in seen.corners) / 4
