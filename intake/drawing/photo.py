"""The colour of an item in a photo, by Pillow and small loops over a small copy of the picture.

What is masked, in this order:

1. Background: what hangs together with the picture's edge and has one of the edge's colours. So the item must
   not reach the edge, and must not have the colour of what it lies on.
2. Busy places: where the picture changes much within a few pixels. That is print on a label, and the outline.
3. Islands: a colour that nowhere comes near the background. That is a plain label on a body.

The body is the largest colour of what is left. A pile of flakes is busy everywhere; then only the background is
masked.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from PIL import Image, ImageChops, ImageFilter

from intake.drawing.regions import Plane, ground_of, islands_out
from intake.errors import BadInput
from intake.table.bins.ciede2000 import delta_e_2000
from intake.table.bins.colour import ColourTable, Lab, lab_of, lab_of_light
from intake.table.bins.light import Light, Rgb, light_of, mixed

_SIDE = 160
"""[px] longer side of the small copy."""
_COLOURS = 32
_EDGE = 0.04
"""[-] width of the edge, of the shorter side."""
_EDGE_SHARE = 0.04
"""[-] part of the edge from which a colour counts as background."""
_ALIKE = 6.0
"""[-] ΔE00 up to which two colours of the edge, or a colour and the edge, are one."""
_ONE_COLOUR = 12.0
"""[-] ΔE00 up to which shades are one colour of the item: light falls on its sides unevenly."""
_BUSY = 44
"""[of 255] change within five pixels from which a place is busy."""
_LEAST = 0.01
"""[-] part of the picture that an item must cover."""
_PAPER_LEAST_LIGHTNESS = 60.0
_PAPER_LEAST_SHARE = 0.05
_PART_SHARE = 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """One colour of the item, in the light of the paper, and its share of what was looked at, 0..1."""

    light: Light
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoColour:
    """What a photo shows.

    Attributes:
        body: the dominant colour of the item.
        patches: all its colours, the largest first; the body is the first.
        mix: their mean by area in linear light.
        paper: the paper as the camera saw it; None where none was found.
        item_share: [-] part of the picture that is not background.
        looked_share: [-] part of the item that is neither busy nor an island.
        on_paper: True where most of the picture's edge is paper: a white item is not seen on that.
    """

    body: Light
    patches: tuple[Patch, ...]
    mix: Light
    paper: Rgb | None
    item_share: float
    looked_share: float
    on_paper: bool


def read_photo(image: Image.Image, table: ColourTable, *, paper: bool = True) -> PhotoColour:
    """The colours of the item in a picture.

    Args:
        image: a photo of one item, or of a pile, that does not reach the edge of the picture.
        table: for what paper looks like.
        paper: False where nothing white lies in the picture, although something light does.

    Raises:
        BadInput: nothing stands out from the background.
    """
    small = _small(image)
    indexed = small.quantize(_COLOURS, Image.Quantize.MEDIANCUT, 2)
    palette = _palette(indexed)
    labs = [lab_of(rgb) for rgb in palette]
    plane = Plane(indexed.tobytes(), indexed.width, indexed.height)
    edge = plane.edge_counts(max(1, round(_EDGE * min(plane.width, plane.height))), len(palette))
    background = _background(edge, labs)
    white = _paper(plane, edge, labs, table) if paper else None
    item = _item(plane, background, white, labs)
    if sum(item) < _LEAST * len(item):
        raise BadInput(
            where="Picture", got="one even colour", kept="Nothing was changed.",
            expected="an item in the middle, on a ground of another colour, not reaching the edge",
        )  # fmt: skip
    looked, families = _looked_at(small, plane, item, labs)
    factors = _factors(white, palette, table)
    patches = _patches(small, looked, families, plane, factors)
    return PhotoColour(
        body=patches[0].light,
        patches=patches,
        mix=mixed((p.light, p.share) for p in patches),
        paper=palette[white] if white is not None else None,
        item_share=sum(item) / len(item),
        looked_share=sum(looked) / sum(item),
        on_paper=white is not None and _family_count(white, edge, labs) > sum(edge) / 2,
    )


def _item(plane: Plane, background: frozenset[int], white: int | None, labs: Sequence[Lab]) -> bytes:
    """1 where the picture is not background.

    Paper counts only where it hangs together by itself, so that a white item beside it is not taken for more of it.
    """
    sheet = frozenset(
        k for k in background if white is not None and delta_e_2000(labs[k], labs[white]) <= _ALIKE
    )
    grounds = zip(ground_of(plane, background - sheet), ground_of(plane, sheet), strict=True)
    return bytes(not (rest or paper) for rest, paper in grounds)


def _small(image: Image.Image) -> Image.Image:
    """A small copy without specks."""
    rgb = image.convert("RGB")
    scale = min(1.0, _SIDE / max(rgb.size))
    size = (max(8, round(rgb.width * scale)), max(8, round(rgb.height * scale)))
    return rgb.resize(size, Image.Resampling.BOX).filter(ImageFilter.MedianFilter(3))


def _palette(indexed: Image.Image) -> list[Rgb]:
    """The colours that the indexed picture is made of."""
    flat = indexed.getpalette() or []
    used = max(indexed.tobytes()) + 1
    return [(flat[3 * k], flat[3 * k + 1], flat[3 * k + 2]) for k in range(used)]


def _background(edge: Sequence[int], labs: Sequence[Lab]) -> frozenset[int]:
    """Colours of the edge, and those that look like them."""
    total = sum(edge)
    seeds = [
        k for k, count in enumerate(edge) if _family_count(k, edge, labs) >= _EDGE_SHARE * total and count
    ]
    return frozenset(
        k for k, lab in enumerate(labs) if any(delta_e_2000(lab, labs[s]) <= _ALIKE for s in seeds)
    )


def _family_count(of: int, counts: Sequence[int], labs: Sequence[Lab]) -> int:
    """Pixels in this colour and in those like it."""
    return sum(count for k, count in enumerate(counts) if count and delta_e_2000(labs[of], labs[k]) <= _ALIKE)


def _paper(plane: Plane, edge: Sequence[int], labs: Sequence[Lab], table: ColourTable) -> int | None:
    """The colour of the paper: the lightest large one, if it lies at the edge and is pale enough."""
    counts = plane.counts(len(labs))
    least = _PAPER_LEAST_SHARE * len(plane.pixels)
    large = [k for k, n in enumerate(counts) if n and _family_count(k, counts, labs) >= least]
    if not large:
        return None
    lightest = max(large, key=lambda k: labs[k].lightness)
    alike = [k for k in large if delta_e_2000(labs[k], labs[lightest]) <= _ALIKE]
    best = max(alike, key=lambda k: counts[k])
    pale = labs[best].lightness >= _PAPER_LEAST_LIGHTNESS and labs[best].chroma <= table.paper_chroma.typical
    return best if pale and edge[best] else None


def _factors(white: int | None, palette: Sequence[Rgb], table: ColourTable) -> Light:
    """What each channel's light is multiplied by so that the paper becomes as white as paper is."""
    if white is None:
        return 1.0, 1.0, 1.0
    aim = ((table.paper_lightness.typical + 16.0) / 116.0) ** 3
    red, green, blue = (aim / max(v, 1e-3) for v in light_of(palette[white]))
    return red, green, blue


def _looked_at(
    small: Image.Image, plane: Plane, item: bytes, labs: Sequence[Lab]
) -> tuple[bytes, tuple[int, ...]]:
    """The pixels that are neither background, busy nor island; and which colours belong together."""
    calm = bytes(i and not b for i, b in zip(item, _busy(small), strict=True))
    if sum(calm) < 0.1 * sum(item):
        return item, _families(plane, item, labs)
    families = _families(plane, calm, labs)
    looked = islands_out(plane, calm, item, families)
    return (looked, families) if any(looked) else (calm, families)


def _busy(small: Image.Image) -> bytes:
    """1 where the picture changes much within five pixels, and close by."""
    change = ImageChops.difference(
        small.filter(ImageFilter.MaxFilter(5)), small.filter(ImageFilter.MinFilter(5))
    )
    red, green, blue = change.split()
    most = ImageChops.lighter(ImageChops.lighter(red, green), blue)
    busy = most.point(lambda v: 1 if v > _BUSY else 0).filter(ImageFilter.MaxFilter(3))
    return busy.tobytes()


def _families(plane: Plane, mask: bytes, labs: Sequence[Lab]) -> tuple[int, ...]:
    """For every colour the one that leads its family: the largest first, each takes what looks like it."""
    counts = plane.counts(len(labs), mask)
    leads: list[int] = []
    family = list(range(len(labs)))
    for k in sorted(range(len(labs)), key=lambda k: -counts[k]):
        lead = next((o for o in leads if delta_e_2000(labs[o], labs[k]) <= _ONE_COLOUR), None)
        if lead is None:
            leads.append(k)
        family[k] = k if lead is None else lead
    return tuple(family)


def _patches(
    small: Image.Image, looked: bytes, families: Sequence[int], plane: Plane, factors: Light
) -> tuple[Patch, ...]:
    """Mean light of each family, corrected, the largest first; slivers are left out."""
    sums: dict[int, list[float]] = {}
    light = tuple(light_of((v, 0, 0))[0] for v in range(256))
    for rgb, wanted, colour in zip(_triples(small), looked, plane.pixels, strict=True):
        if wanted:
            found = sums.setdefault(families[colour], [0.0, 0.0, 0.0, 0.0])
            for k in range(3):
                found[k] += light[rgb[k]]
            found[3] += 1.0
    total = sum(found[3] for found in sums.values())
    largest = sorted(sums.values(), key=lambda found: -found[3])
    kept = [f for f in largest if f[3] >= _PART_SHARE * total] or largest[:1]
    area = sum(f[3] for f in kept)
    return tuple(
        Patch(
            light=(f[0] / f[3] * factors[0], f[1] / f[3] * factors[1], f[2] / f[3] * factors[2]),
            share=f[3] / area,
        )
        for f in kept
    )


def _triples(small: Image.Image) -> Iterable[tuple[int, int, int]]:
    """Red, green and blue of every pixel."""
    data = small.tobytes()
    return zip(data[0::3], data[1::3], data[2::3], strict=True)


def lab_in_photo(light: Light) -> Lab:
    """CIELAB of a corrected colour; what shines more than white counts as white."""
    red, green, blue = (min(1.0, v) for v in light)
    return lab_of_light((red, green, blue))
