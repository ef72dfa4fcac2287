"""A symbol that is covered in part, by mud, a thumb or a tear: read by telling the error correction where.

A Reed-Solomon code corrects twice as many wrong bytes where it knows which ones they are. A covering is one even
area, and print never is: where four by four modules are alike, they are taken for covered. A wrong guess does no
harm, because only a text with our own check in it is accepted.

Source: ISO/IEC 18004, placement, masks and blocks (from memory; checked against `qrcode`, which draws the symbols).
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import chain
from types import MappingProxyType

from PIL import Image
from qrcode.base import rs_blocks
from qrcode.constants import ERROR_CORRECT_Q
from reedsolo import ReedSolomonError, RSCodec

from intake.table.labels.payload import Found, read_payload

Corners = tuple[tuple[int, int], tuple[int, int], tuple[int, int], tuple[int, int]]

_DOTS = 5
"""[px] pictures of one module while they are straightened."""
_ALIKE = 4
"""Modules: a square of this side that is all light or all dark is taken for covered."""
_EVEN = 0.35
"""[-] of the contrast between light and dark: a covering is this even."""
_BYTE_MODE = 0b0100
_TIMING = 6
"""Row and column of the timing pattern."""
_MASKS: MappingProxyType[int, Callable[[int, int], bool]] = MappingProxyType(
    {
        0: lambda y, x: (y + x) % 2 == 0,
        1: lambda y, _x: y % 2 == 0,
        2: lambda _y, x: x % 3 == 0,
        3: lambda y, x: (y + x) % 3 == 0,
        4: lambda y, x: (y // 2 + x // 3) % 2 == 0,
        5: lambda y, x: y * x % 2 + y * x % 3 == 0,
        6: lambda y, x: (y * x % 2 + y * x % 3) % 2 == 0,
        7: lambda y, x: ((y + x) % 2 + y * x % 3) % 2 == 0,
    }
)

Grid = Sequence[Sequence[float]]


def read_covered(grey: Image.Image, corners: Corners, version: int, mask: int) -> str | None:
    """The text of one of our symbols at level Q that did not read as it stands; None where it still does not.

    Args:
        grey: the picture, mode "L".
        corners: [px] of the symbol without its quiet zone, top left first, clockwise.
        version: 1 to 6.
        mask: 0 to 7.
    """
    grid = _straightened(grey, corners, 17 + 4 * version)
    values = sorted(chain.from_iterable(grid))
    dark, light = values[len(values) // 5], values[-len(values) // 5]
    middle, even = (dark + light) / 2.0, _EVEN * (light - dark)
    hidden = _covered(grid, middle, even)
    codewords, lost = _codewords(grid, hidden, middle, version, mask)
    data = _corrected(codewords, lost, version)
    text = _text(data) if data is not None else None
    return text if text is not None and read_payload(text).found is Found.OURS else None


def _straightened(grey: Image.Image, corners: Corners, side: int) -> Grid:
    """Mean grey of every module."""
    edge = side * _DOTS
    flat = grey.transform(
        (edge, edge),
        Image.Transform.PERSPECTIVE,
        _square_to(corners, edge),
        Image.Resampling.BILINEAR,
    )
    small = flat.resize((side, side), Image.Resampling.BOX).tobytes()
    return [[float(v) for v in small[y * side : (y + 1) * side]] for y in range(side)]


def _square_to(corners: Corners, edge: int) -> tuple[float, ...]:
    """The eight numbers that map a square of `edge` pixels to four corners as a camera does."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    dx1, dx2, dx3 = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
    dy1, dy2, dy3 = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
    area = dx1 * dy2 - dx2 * dy1 or 1
    g, h = (dx3 * dy2 - dx2 * dy3) / area, (dx1 * dy3 - dx3 * dy1) / area
    a, b = x1 - x0 + g * x1, x3 - x0 + h * x3
    d, e = y1 - y0 + g * y1, y3 - y0 + h * y3
    return a / edge, b / edge, float(x0), d / edge, e / edge, float(y0), g / edge, h / edge


def _covered(grid: Grid, middle: float, even: float) -> set[tuple[int, int]]:
    """Modules in and beside even squares."""
    side, found = len(grid), set()
    for y in range(side - _ALIKE + 1):
        for x in range(side - _ALIKE + 1):
            values = [v for row in grid[y : y + _ALIKE] for v in row[x : x + _ALIKE]]
            low, high = min(values), max(values)
            if high - low < even or (high - low < 2 * even and (low > middle or high < middle)):
                found |= {(v, u) for v in range(y - 1, y + _ALIKE + 1) for u in range(x - 1, x + _ALIKE + 1)}
    return found


def _codewords(
    grid: Grid, hidden: set[tuple[int, int]], middle: float, version: int, mask: int
) -> tuple[bytes, set[int]]:
    """The codewords as they stand, unmasked, and the numbers of those that are covered."""
    masked, bits, lost = _MASKS[mask], [], set()
    for number, (y, x) in enumerate(_places(version)):
        bits.append((grid[y][x] < middle) != masked(y, x))
        if (y, x) in hidden:
            lost.add(number // 8)
    whole = len(bits) // 8 * 8
    data = bytes(sum(bit << (7 - k) for k, bit in enumerate(bits[n : n + 8])) for n in range(0, whole, 8))
    return data, lost


def _places(version: int) -> Iterator[tuple[int, int]]:
    """Row and column of every data module in the order of the bits: up and down in columns of two."""
    side = 17 + 4 * version
    column, upward = side - 1, True
    while column > 0:
        if column == _TIMING:
            column -= 1
        for y in reversed(range(side)) if upward else range(side):
            for x in (column, column - 1):
                if not _is_pattern(y, x, side, version):
                    yield y, x
        column, upward = column - 2, not upward


def _is_pattern(y: int, x: int, side: int, version: int) -> bool:
    """True for finders with their format bits, timing, and the one alignment pattern of versions 2 to 6."""
    near, far = 9, side - 8
    finder = (y < near and (x < near or x >= far)) or (y >= far and x < near)
    timing = _TIMING in (y, x)
    alignment = version > 1 and abs(y - (side - 7)) <= 2 and abs(x - (side - 7)) <= 2  # noqa: PLR2004
    return finder or timing or alignment


def _corrected(codewords: bytes, lost: set[int], version: int) -> bytes | None:
    """The data of all blocks, corrected; None where one holds more faults than it can bear."""
    blocks = rs_blocks(version, ERROR_CORRECT_Q)
    longest = max(b.data_count for b in blocks)
    parity = blocks[0].total_count - blocks[0].data_count
    order = [n for k in range(longest) for n, b in enumerate(blocks) if k < b.data_count]
    order += [n for _ in range(parity) for n in range(len(blocks))]
    result = b""
    for number, block in enumerate(blocks):
        places = [at for at, owner in enumerate(order) if owner == number]
        message = bytes(codewords[at] for at in places)
        erased = [k for k, at in enumerate(places) if at in lost]
        try:
            result += bytes(RSCodec(parity).decode(message, erase_pos=erased)[0][: block.data_count])
        except ReedSolomonError:
            return None
    return result


def _text(data: bytes) -> str | None:
    """The text of one segment in byte mode; None where it is anything else."""
    bits = "".join(f"{byte:08b}" for byte in data)
    count = int(bits[4:12], 2)
    if int(bits[:4], 2) != _BYTE_MODE or len(bits) < 12 + 8 * count:
        return None
    try:
        return bytes(int(bits[12 + 8 * k : 20 + 8 * k], 2) for k in range(count)).decode("ascii")
    except UnicodeDecodeError:
        return None
