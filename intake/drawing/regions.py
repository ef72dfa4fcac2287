"""A small indexed picture as a plane of colour numbers: counts, edges, and which areas hang together."""

from collections.abc import Sequence
from dataclasses import dataclass

_NEAR = 6
"""[px] an area that comes this near to the background reaches the outline: the outline itself is masked."""


@dataclass(frozen=True, slots=True)
class Plane:
    """Colour numbers row by row."""

    pixels: bytes
    width: int
    height: int

    def counts(self, colours: int, mask: bytes | None = None) -> list[int]:
        """Pixels of each colour, where the mask is 1."""
        found = [0] * colours
        for n, colour in enumerate(self.pixels):
            if mask is None or mask[n]:
                found[colour] += 1
        return found

    def edge_counts(self, width: int, colours: int) -> list[int]:
        """Pixels of each colour within `width` pixels of the edge."""
        found = [0] * colours
        for n, colour in enumerate(self.pixels):
            y, x = divmod(n, self.width)
            if min(x, y, self.width - 1 - x, self.height - 1 - y) < width:
                found[colour] += 1
        return found

    def near(self, mask: bytes, distance: int) -> bytes:
        """1 where the mask is 1 within `distance` pixels across or down."""
        rows = [_widened(mask[y * self.width : (y + 1) * self.width], distance) for y in range(self.height)]
        columns = [_widened(bytes(row[x] for row in rows), distance) for x in range(self.width)]
        return bytes(columns[x][y] for y in range(self.height) for x in range(self.width))


def ground_of(plane: Plane, colours: frozenset[int]) -> bytes:
    """1 where one of these colours hangs together with the picture's edge."""
    wanted = bytes(c in colours for c in plane.pixels)
    seen = bytearray(len(wanted))
    one = (0,) * (max(plane.pixels, default=0) + 1)
    last = len(wanted) - plane.width
    for start, found in enumerate(wanted):
        at_edge = start < plane.width or start >= last or start % plane.width in (0, plane.width - 1)
        if at_edge and found and not seen[start]:
            _area(plane, wanted, one, start, seen)
    return bytes(seen)


def islands_out(plane: Plane, calm: bytes, item: bytes, families: Sequence[int]) -> bytes:
    """`calm` without the areas of one colour family that stay away from the background."""
    ground = bytes(not i for i in item)
    shore = plane.near(ground, _NEAR)
    kept = bytearray(len(calm))
    seen = bytearray(len(calm))
    for start, wanted in enumerate(calm):
        if wanted and not seen[start]:
            area = _area(plane, calm, families, start, seen)
            if any(shore[n] for n in area):
                for n in area:
                    kept[n] = 1
    return bytes(kept)


def _area(plane: Plane, calm: bytes, families: Sequence[int], start: int, seen: bytearray) -> list[int]:
    """The pixels of one family that hang together with `start`."""
    family = families[plane.pixels[start]]
    area, at = [start], 0
    seen[start] = 1
    while at < len(area):
        n = area[at]
        at += 1
        x = n % plane.width
        for step, inside in (
            (-1, x > 0), (1, x < plane.width - 1), (-plane.width, n >= plane.width),
            (plane.width, n + plane.width < len(calm)),
        ):  # fmt: skip
            m = n + step
            if inside and calm[m] and not seen[m] and families[plane.pixels[m]] == family:
                seen[m] = 1
                area.append(m)
    return area


def _widened(line: bytes, distance: int) -> bytes:
    """A line of 0 and 1 in which every 1 also covers its neighbours."""
    result = bytearray(len(line))
    for n, value in enumerate(line):
        if value:
            first, last = max(0, n - distance), min(len(line), n + distance + 1)
            result[first:last] = b"\x01" * (last - first)
    return bytes(result)
