"""Pictures that people hand in: opened with care, because anything may stand in such a file."""

import struct
import warnings
import zlib
from pathlib import Path

from PIL import Image, ImageOps, UnidentifiedImageError

from intake.errors import BadInput

MOST_PIXELS = 64_000_000
"""Pixels above which a picture is refused before it is unpacked: 200 MB of memory, and more than a label needs."""
FORMATS = ("JPEG", "PNG", "WEBP", "GIF", "BMP", "TIFF", "PPM")
"""Formats that are opened; none of those that run another program or hold a document."""
_HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
_TROUBLE = (
    OSError, ValueError, SyntaxError, EOFError, IndexError, TypeError, OverflowError, MemoryError,
    struct.error, zlib.error, Image.DecompressionBombError,
)  # fmt: skip
"""What Pillow raises over damaged files."""


def open_picture(path: Path) -> Image.Image:
    """The picture in a file: turned the way up it was taken, RGB or grey, on white where it was see-through.

    Raises:
        BadInput: no such file, not a picture, larger than we take, cut short or damaged, or in HEIC.
    """
    try:
        with path.open("rb") as stream:
            head = stream.read(32)
    except OSError as error:
        raise _bad(path, f"a picture that can be read ({error.strerror})") from None
    try:
        with warnings.catch_warnings():
            # the size is judged below, by our own limit and in our own words
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            image = Image.open(path, formats=FORMATS)
    except Image.DecompressionBombError:
        raise _too_large(path) from None
    except UnidentifiedImageError:
        raise _unknown(path, head) from None
    except _TROUBLE:
        raise _bad(path, "a picture that is whole: this one is damaged") from None
    with image:
        if image.width * image.height > MOST_PIXELS:
            raise _too_large(path, image.size)
        try:
            return _plain(image)
        except _TROUBLE:
            raise _bad(path, "a picture that is whole: this one is cut short or damaged") from None


def _plain(image: Image.Image) -> Image.Image:
    """Its first frame, unpacked, the right way up."""
    image.load()
    upright = ImageOps.exif_transpose(image)
    if upright.mode in ("1", "L"):
        return upright.convert("L")
    if upright.has_transparency_data:
        clear = upright.convert("RGBA")
        paper = Image.new("RGBA", clear.size, "white")
        return Image.alpha_composite(paper, clear).convert("RGB")
    if upright.mode.startswith("I;16"):
        return upright.convert("I").point(lambda v: v / 257).convert("L")
    return upright.convert("RGB")


def _unknown(path: Path, head: bytes) -> BadInput:
    """The sentence for what is no picture that we read; HEIC gets its own, because phones write it."""
    if head[4:8] == b"ftyp" and head[8:12] in _HEIC_BRANDS:
        return _bad(
            path, "a JPEG or PNG: this is HEIC, so set the camera to JPEG or share the picture as JPEG"
        )
    return _bad(path, "a picture, JPEG or PNG")


def _too_large(path: Path, size: tuple[int, int] | None = None) -> BadInput:
    most = MOST_PIXELS // 1_000_000
    found = f"this one has {size[0] * size[1] / 1e6:.0f}" if size else "this one has far more"
    return _bad(path, f"a picture of at most {most} million pixels; {found}, so crop it or take it smaller")


def _bad(path: Path, expected: str) -> BadInput:
    return BadInput(where="Picture", got=path.name, expected=expected, kept="Nothing was changed.")
