"""A better way to lie: the fewest bins, then the least colour spread, no limit broken.

Items of one key are grouped apart from all others. Up to seven of them every grouping is tried (exact); more
are packed first-fit, the bulkiest first within one shade, and then moved one by one where that evens colours
(heuristic; the number of bins is proved least where it meets what mass and litres need at least).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil

from intake.spread import mean_of
from intake.table.bins.budget import Content, Entry, content_of, with_entry
from intake.table.bins.ciede2000 import delta_e_2000
from intake.table.bins.colour import Lab
from intake.table.bins.key import BinKey
from intake.table.bins.placing import Limits, breaks, fullness
from intake.table.resins import ResinId

EXACT_UP_TO = 7
"""Pieces of one key up to which every grouping is tried: 877 of them."""
WORTH_DELTA_E = 0.5
"""[-] a colour spread smaller by less than this is no reason to move anything."""
_ROUNDS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One item in a bin: where it lies, where it belongs, and what it brings.

    Attributes:
        colour: in CIELAB; None where its colour says none (natural, mixed).
    """

    item: str
    bin: str
    key: BinKey
    entry: Entry
    volume_l: float
    colour: Lab | None

    @property
    def mass_g(self) -> float:
        """[g] Expected mass."""
        return mean_of(self.entry.mass_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Pieces that lie together; `bin` is where, None for a bin that is not open yet."""

    key: BinKey
    pieces: tuple[Piece, ...] = ()
    content: Content = field(default_factory=Content)
    volume_l: float = 0.0
    bin: str | None = None

    def plus(self, piece: Piece) -> "Group":
        """The group with one more piece."""
        return Group(
            key=self.key, pieces=(*self.pieces, piece), content=with_entry(self.content, piece.entry),
            volume_l=self.volume_l + piece.volume_l, bin=self.bin,
        )  # fmt: skip

    def fits(self, limits: Limits) -> bool:
        """True where no limit is broken: grams, litres, foreign material. A lone piece always fits."""
        if len(self.pieces) == 1:
            return True
        return fullness(self.content.mass_g, self.volume_l, limits) <= 1.0 and not breaks(
            self.content, limits
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """One item moves; `to` is None, with a number in `new`, where a new bin is opened for it."""

    item: str
    bin: str
    to: str | None
    new: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What would move, and what that gains.

    Attributes:
        shifts: what would move; empty where nothing is gained.
        new_keys: what the new bins take, by their number in `Shift.new`, from 1.
        bins_before, bins_after: bins with something in them.
        spread_before, spread_after: [-] mass-weighted mean ΔE00 of pieces to their bin's mean colour.
        proved: True where no grouping has fewer bins.
    """

    shifts: tuple[Shift, ...]
    new_keys: Mapping[int, BinKey]
    bins_before: int
    bins_after: int
    spread_before: float
    spread_after: float
    proved: bool


def propose(
    pieces: Iterable[Piece], limits: Mapping[ResinId, Limits], open_bins: Mapping[str, BinKey]
) -> Proposal:
    """The grouping to propose.

    Args:
        pieces: everything that lies in open bins.
        limits: by host resin.
        open_bins: what each open bin takes, empty ones included.
    """
    by_key: dict[BinKey, list[Piece]] = {}
    for piece in pieces:
        by_key.setdefault(piece.key, []).append(piece)
    before: list[Group] = []
    after: list[Group] = []
    proved = True
    for key, own in by_key.items():
        old = _as_they_lie(own)
        new, sure = _best(own, limits[key.resin])
        misplaced = any(open_bins.get(p.bin) != key for p in own) or not all(
            g.fits(limits[key.resin]) for g in old
        )
        if not misplaced and not _gains(new, old):
            new = old
        proved = proved and (sure or len(new) <= _least(own, limits[key.resin]))
        before += old
        after += new
    named = _named(after, open_bins)
    numbers = {id(g): n for n, g in enumerate((g for g in named if g.bin is None), 1)}
    return Proposal(
        shifts=tuple(_shifts(named, numbers)),
        new_keys={n: g.key for g in named if (n := numbers.get(id(g))) is not None},
        bins_before=len({p.bin for own in by_key.values() for p in own}), bins_after=len(named),
        spread_before=colour_spread(before), spread_after=colour_spread(named), proved=proved,
    )  # fmt: skip


def colour_spread(groups: Iterable[Group]) -> float:
    """[-] Mass-weighted mean ΔE00 of each piece to the mean colour of its group; 0 where no colour is known."""
    weighed = total_g = 0.0
    for group in groups:
        middle = _middle(group.pieces)
        for piece in group.pieces:
            if piece.colour is not None and middle is not None:
                weighed += piece.mass_g * delta_e_2000(piece.colour, middle)
                total_g += piece.mass_g
    return weighed / total_g if total_g > 0.0 else 0.0


def _middle(pieces: Iterable[Piece]) -> Lab | None:
    """The mass-weighted mean colour; what flakes of these pieces look like from afar."""
    told = [(p.mass_g, p.colour) for p in pieces if p.colour is not None]
    total_g = sum(mass_g for mass_g, _ in told)
    if total_g <= 0.0:
        return None
    parts = [sum(g * getattr(c, n) for g, c in told) / total_g for n in ("lightness", "a", "b")]
    return Lab(lightness=parts[0], a=parts[1], b=parts[2])


def _group(pieces: Sequence[Piece], bin_id: str | None = None) -> Group:
    return Group(
        key=pieces[0].key, pieces=tuple(pieces), content=content_of(p.entry for p in pieces),
        volume_l=sum(p.volume_l for p in pieces), bin=bin_id,
    )  # fmt: skip


def _as_they_lie(pieces: Iterable[Piece]) -> list[Group]:
    """The present groups."""
    by_bin: dict[str, list[Piece]] = {}
    for piece in pieces:
        by_bin.setdefault(piece.bin, []).append(piece)
    return [_group(own, name) for name, own in by_bin.items()]


def _gains(new: Sequence[Group], old: Sequence[Group]) -> bool:
    if len(new) != len(old):
        return len(new) < len(old)
    return colour_spread(new) < colour_spread(old) - WORTH_DELTA_E


def _least(pieces: Sequence[Piece], limits: Limits) -> int:
    """Bins that mass and litres need at least."""
    mass_g, volume_l = sum(p.mass_g for p in pieces), sum(p.volume_l for p in pieces)
    return max(1, ceil(fullness(mass_g, volume_l, limits) - 1e-9))


def _best(pieces: Sequence[Piece], limits: Limits) -> tuple[list[Group], bool]:
    """The best grouping found, and whether every other was tried."""
    if len(pieces) <= EXACT_UP_TO:
        tried = _groupings(tuple(pieces), limits)
        return min(tried, key=lambda groups: (len(groups), colour_spread(groups))), True
    return _evened(_packed(pieces, limits), limits), False


def _groupings(pieces: tuple[Piece, ...], limits: Limits) -> Iterator[list[Group]]:
    """Every grouping that breaks no limit, each once."""
    if not pieces:
        yield []
        return
    for groups in _groupings(pieces[:-1], limits):
        last = pieces[-1]
        for place, group in enumerate(groups):
            grown = group.plus(last)
            if grown.fits(limits):
                yield [*groups[:place], grown, *groups[place + 1 :]]
        yield [*groups, _group([last])]


def _packed(pieces: Sequence[Piece], limits: Limits) -> list[Group]:
    """First-fit: like colours one after the other, the bulkiest of each first."""
    groups: list[Group] = []
    for piece in sorted(pieces, key=lambda p: (_shade(p), -fullness(p.mass_g, p.volume_l, limits), p.item)):
        for place, group in enumerate(groups):
            grown = group.plus(piece)
            if grown.fits(limits):
                groups[place] = grown
                break
        else:
            groups.append(_group([piece]))
    return groups


def _shade(piece: Piece) -> tuple[float, float]:
    """Where a colour stands in the row: coarse hue, then lightness."""
    if piece.colour is None:
        return (-1.0, 0.0)
    hue = piece.colour.hue_degrees // 30.0 if piece.colour.chroma > 10.0 else -0.5  # noqa: PLR2004
    return (hue, -piece.colour.lightness // 20.0)


def _evened(groups: list[Group], limits: Limits) -> list[Group]:
    """Pieces moved one by one to a group nearer in colour, as long as that helps and breaks nothing."""
    for _ in range(_ROUNDS):
        moved = False
        for piece in [p for g in groups for p in g.pieces if p.colour is not None]:
            moved = _nearer(piece, groups, limits) or moved
        if not moved:
            break
    return groups


def _nearer(piece: Piece, groups: list[Group], limits: Limits) -> bool:
    """Move a piece to the group whose colour is nearest; True where that was done."""
    at = next(i for i, g in enumerate(groups) if piece in g.pieces)
    if len(groups[at].pieces) == 1 or piece.colour is None:
        return False
    middles = [_middle(g.pieces) for g in groups]
    away = [delta_e_2000(piece.colour, m) if m is not None else float("inf") for m in middles]
    for to in sorted(range(len(groups)), key=lambda i: away[i]):
        if to == at or away[to] > away[at] - WORTH_DELTA_E:
            return False
        grown = groups[to].plus(piece)
        if grown.fits(limits):
            groups[to] = grown
            groups[at] = _group([p for p in groups[at].pieces if p is not piece])
            return True
    return False


def _named(groups: Iterable[Group], open_bins: Mapping[str, BinKey]) -> list[Group]:
    """The groups with the bins in which most of each lies already, so that the fewest pieces move."""
    free = dict(open_bins)
    named: list[Group] = []
    for group in sorted(groups, key=lambda g: (-len(g.pieces), min(p.item for p in g.pieces))):
        here: dict[str, int] = {}
        for piece in group.pieces:
            if free.get(piece.bin) == group.key:
                here[piece.bin] = here.get(piece.bin, 0) + 1
        empty = [name for name, key in free.items() if key == group.key]
        name = max(sorted(here), key=lambda b: here[b]) if here else next(iter(empty), None)
        if name is not None:
            free.pop(name)
        named.append(_group(group.pieces, name))
    return named


def _shifts(groups: Iterable[Group], numbers: Mapping[int, int]) -> Iterator[Shift]:
    for group in groups:
        for piece in group.pieces:
            if piece.bin != group.bin:
                yield Shift(item=piece.item, bin=piece.bin, to=group.bin, new=numbers.get(id(group), 0))
