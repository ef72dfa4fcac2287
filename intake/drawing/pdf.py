"""A PDF of placed images, written page by page, so that a thousand labels need the memory of one page.

Pillow's own PDF writer keeps every page in memory and rounds the page to whole pixels; this one writes sizes
in fractions of a point. Source: ISO 32000-1, the parts that images on pages need (from memory).
"""

import zlib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import BinaryIO

from PIL import Image, ImageChops

POINTS_PER_MM = 72.0 / 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """An image and where it stands on a page, [mm] from the top left corner."""

    image: Image.Image
    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float


def thrifty(placed: Placed) -> tuple[Placed, ...]:
    """The same to the eye in half the bytes: a grey picture, and its one coloured area on top of it."""
    image = placed.image
    if image.mode != "RGB":
        return (placed,)
    red, green, blue = image.split()
    gaps = ImageChops.lighter(ImageChops.difference(red, green), ImageChops.difference(green, blue))
    whole = replace(placed, image=green)
    box = gaps.getbbox()
    if box is None:
        return (whole,)
    left, top, right, bottom = box
    x_mm, y_mm = placed.width_mm / image.width, placed.height_mm / image.height
    area = Placed(
        image=image.crop(box),
        left_mm=placed.left_mm + left * x_mm,
        top_mm=placed.top_mm + top * y_mm,
        width_mm=(right - left) * x_mm,
        height_mm=(bottom - top) * y_mm,
    )
    return whole, area


class PdfWriter:
    """Writes pages to a stream and the index of objects at the end; call `close` once."""

    def __init__(self, out: BinaryIO) -> None:
        self._out, self._written = out, 0
        self._offsets: list[int] = []
        self._pages: list[int] = []
        self._put(b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
        self._tree = self._reserve()

    def page(self, width_mm: float, height_mm: float, images: Iterable[Placed]) -> None:
        """Append a page of exactly this size."""
        names, steps = [], []
        for n, placed in enumerate(part for image in images for part in thrifty(image)):
            names.append(f"/I{n} {self._image(placed.image)} 0 R")
            bottom_mm = height_mm - placed.top_mm - placed.height_mm
            box = [v * POINTS_PER_MM for v in (placed.width_mm, placed.height_mm, placed.left_mm, bottom_mm)]
            steps.append(f"q {box[0]:.4f} 0 0 {box[1]:.4f} {box[2]:.4f} {box[3]:.4f} cm /I{n} Do Q")
        content = self._stream("", "\n".join(steps).encode("ascii"))
        size = f"{width_mm * POINTS_PER_MM:.4f} {height_mm * POINTS_PER_MM:.4f}"
        page = (
            f"<< /Type /Page /Parent {self._tree} 0 R /MediaBox [0 0 {size}] "
            f"/Resources << /XObject << {' '.join(names)} >> >> /Contents {content} 0 R >>"
        )
        self._pages.append(self._object(page.encode("ascii")))

    def close(self) -> int:
        """Write the page tree and the index; returns the number of pages."""
        kids = " ".join(f"{n} 0 R" for n in self._pages)
        tree = f"<< /Type /Pages /Kids [{kids}] /Count {len(self._pages)} >>"
        self._object(tree.encode("ascii"), self._tree)
        root = self._object(f"<< /Type /Catalog /Pages {self._tree} 0 R >>".encode("ascii"))
        start, count = self._written, len(self._offsets) + 1
        self._put(f"xref\n0 {count}\n0000000000 65535 f \n".encode("ascii"))
        self._put("".join(f"{at:010d} 00000 n \n" for at in self._offsets).encode("ascii"))
        trailer = f"trailer\n<< /Size {count} /Root {root} 0 R >>\nstartxref\n{start}\n%%EOF\n"
        self._put(trailer.encode("ascii"))
        return len(self._pages)

    def _image(self, image: Image.Image) -> int:
        """One image as an object: 1 bit a pixel where it is black only, otherwise 8 bits a grey or colour."""
        colours = "/DeviceGray" if image.mode in ("1", "L") else "/DeviceRGB"
        bits = 1 if image.mode == "1" else 8
        pixels = image if image.mode in ("1", "L") else image.convert("RGB")
        head = (
            f"/Type /XObject /Subtype /Image /Width {image.width} /Height {image.height} "
            f"/ColorSpace {colours} /BitsPerComponent {bits} /Filter /FlateDecode "
        )
        return self._stream(head, zlib.compress(pixels.tobytes(), 3))

    def _stream(self, head: str, data: bytes) -> int:
        """A stream object."""
        start = f"<< {head}/Length {len(data)} >>\nstream\n".encode("ascii")
        return self._object(start + data + b"\nendstream")

    def _reserve(self) -> int:
        """A number for an object that is written later."""
        self._offsets.append(0)
        return len(self._offsets)

    def _object(self, body: bytes, number: int | None = None) -> int:
        """Write one object; returns its number."""
        number = number or self._reserve()
        self._offsets[number - 1] = self._written
        self._put(f"{number} 0 obj\n".encode("ascii") + body + b"\nendobj\n")
        return number

    def _put(self, data: bytes) -> None:
        """Write, and keep count."""
        self._out.write(data)
        self._written += len(data)
