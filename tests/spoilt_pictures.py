"""Files that are no picture, or one that nobody should unpack."""

import io
import struct
import zlib

from PIL import Image


def jpeg(size=(400, 300)) -> bytes:
    out = io.BytesIO()
    Image.effect_noise(size, 60).convert("RGB").save(out, "JPEG", quality=80)
    return out.getvalue()


def png(size=(400, 300)) -> bytes:
    out = io.BytesIO()
    Image.effect_noise(size, 60).convert("RGB").save(out, "PNG")
    return out.getvalue()


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def bomb(width: int, height: int) -> bytes:
    """A PNG of one colour: a few hundred kilobytes that unpack to width × height."""
    packer = zlib.compressobj(9)
    row = b"\x00" + bytes(-(-width // 8))
    packed = b"".join(packer.compress(row * 256) for _ in range(-(-height // 256))) + packer.flush()
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")


def heic() -> bytes:
    """The first box of a HEIC file (ISO/IEC 23008-12, from memory), and noise."""
    return b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + bytes(range(256)) * 8


SPOILT = {
    "100 million pixels": (bomb(12_500, 8_000), "this one has 100"),
    "a bomb of 900 million pixels": (bomb(30_000, 30_000), "far more"),
    "a truncated JPEG": (jpeg()[:6000], "cut short"),
    "a JPEG of a header only": (jpeg()[:200], "a picture"),
    "a truncated PNG": (png()[:9000], "cut short"),
    "a PNG with a broken check": (png()[:5000] + b"\x00" * 8 + png()[5008:], "whole"),
    "HEIC": (heic(), "HEIC"),
    "text": (b"Bin QT-04: PE-HD (2)\n" * 40, "JPEG or PNG"),
    "nothing": (b"", "JPEG or PNG"),
    "a PDF": (b"%PDF-1.4\n" + bytes(500), "JPEG or PNG"),
    "PostScript": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\nshowpage\n", "JPEG or PNG"),
    "an SVG": (b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>', "JPEG or PNG"),
    "noise": (bytes((7 * n * n + 3) % 256 for n in range(5000)), "JPEG or PNG"),
}
