"""The QR symbol: modules by `qrcode`, painted in whole pixels."""

from dataclasses import dataclass
from functools import lru_cache

import qrcode
from PIL import Image
from qrcode.util import MODE_8BIT_BYTE, QRData

from intake.errors import BadInput
from intake.table.labels.payload import MAX_BYTES

QUIET_MODULES = 4
"""Blank modules that ISO/IEC 18004 asks for on every side."""
MAX_VERSION = 6
LEVEL = "Q"
_KEPT = 64


@dataclass(frozen=True, slots=True)
class Symbol:
    """A QR symbol without its quiet zone: rows of modules, True is dark."""

    version: int
    modules: tuple[tuple[bool, ...], ...]

    @property
    def side(self) -> int:
        """Modules along one side, quiet zone included."""
        return len(self.modules) + 2 * QUIET_MODULES


@lru_cache(maxsize=_KEPT)
def encode(text: str) -> Symbol:
    """The smallest QR symbol at level Q that holds `text` in byte mode.

    Raises:
        BadInput: the text is empty, or longer than the 74 bytes that version 6 holds.
    """
    data = text.encode("utf-8")
    if not 0 < len(data) <= MAX_BYTES:
        raise BadInput(where="Label symbol", got=text, expected=f"1 to {MAX_BYTES} bytes of text")
    maker = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_Q, border=0)
    maker.add_data(QRData(data, mode=MODE_8BIT_BYTE), optimize=0)
    maker.make(fit=True)
    return Symbol(maker.version, tuple(tuple(bool(m) for m in row) for row in maker.modules))


def paint(symbol: Symbol, side_px: int) -> Image.Image:
    """The symbol with its quiet zone as a 1-bit image, at most `side_px` wide and high.

    Every module is a whole number of pixels, so that no edge turns grey.

    Raises:
        BadInput: the space is smaller than one pixel a module.
    """
    scale = side_px // symbol.side
    if scale < 1:
        raise BadInput(where="Label symbol", got=f"{side_px} px", expected=f"{symbol.side} px or more")
    image = Image.new("1", (symbol.side, symbol.side), 1)
    flat = [0 if dark else 255 for row in symbol.modules for dark in row]
    core = Image.new("1", (len(symbol.modules), len(symbol.modules)))
    core.putdata(flat)
    image.paste(core, (QUIET_MODULES, QUIET_MODULES))
    return image.resize((symbol.side * scale, symbol.side * scale), Image.Resampling.NEAREST)
