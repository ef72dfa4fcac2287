"""Bayes' rule over the judged resins: prior of the kind, times what every piece of evidence says."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, inf, isfinite, log, log2

from intake.errors import BadInput
from intake.table.identify.conflict import Voices, conflicts
from intake.table.identify.cues import ByResin
from intake.table.identify.density_map import DENSEST_G_CM3, LIGHTEST_G_CM3
from intake.table.identify.density_tests import Product, Seen, filled_likelihoods, heard, likelihoods, product
from intake.table.identify.evidence import Cue, Density, Evidence, FloatTest, Mark, SpotTest
from intake.table.identify.likelihood import MarkSays, cue_log_likelihood, mark_log_likelihood, mark_says
from intake.table.identify.odds import Posterior, Weight
from intake.table.identify.second_look import needs_second_look
from intake.table.identify.tables import IdentifyTables
from intake.table.kinds import Kind

_MARKS = "mark"
_FILLED_BY_MARK = 0.9
_NEGLIGIBLE = 1e-4


def judge(kind: Kind, evidence: Sequence[Evidence], tables: IdentifyTables) -> Posterior:
    """How likely each judged resin is after all the evidence.

    Looks and touches of one group, and several marks of one item, say partly the same: where there is more
    than one, each log counts `within_group` times. Baths and scale are taken together over the one density
    they all saw. The order of the evidence does not matter. What was tested on one piece of a crate holds for
    the others as far as a spot test of the crate says so.

    Args:
        kind: what the item is; its prior is mixed with a little of everything people bring.
        evidence: what was observed; may be empty.
        tables: the room's tables.

    Raises:
        BadInput: an impossible density or bath, an unknown cue or level, a prior that sums to zero.
    """
    parts = gather(kind, evidence, tables)
    total = [p + m + d for p, m, d in zip(parts.prior, parts.spoken, parts.physical, strict=True)]
    chances = _with_spots(normalised(total), evidence, parts.prior)
    judged = tables.resins.judged
    posterior = Posterior(
        probabilities=dict(zip(judged, chances, strict=True)),
        entropy_bits=entropy_bits(chances),
        filled=_filled(chances, parts, tables),
        conflict=conflicts(parts.voices, parts.prior, tables),
        weights=tuple(
            Weight(evidence=e, log_likelihood=dict(zip(judged, v, strict=True)))
            for e, v in zip(evidence, parts.each, strict=True)
        ),
    )
    doubt = needs_second_look(posterior, kind, tables)
    return posterior if doubt is None else replace(posterior, second_look=doubt)


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """Everything a posterior is put together from.

    Attributes:
        prior: natural logs, by judged resin.
        spoken: marks and cues together, natural logs.
        physical: baths and scale together, natural logs.
        readings: baths and scale along the ladder; `whole` is their product.
        marked_filled: places of the resins that a mark calls filled.
        groups: by group of cues, how many there are and the sum of their logs before they are weakened.
        each: what every piece says by itself, in the order given; cues as they count in their group.
        voices: the same, sorted for the search for conflicts.
    """

    prior: ByResin
    spoken: ByResin
    physical: ByResin
    readings: tuple[Seen, ...]
    whole: Product
    marked_filled: frozenset[int]
    groups: Mapping[str, tuple[int, ByResin]]
    each: tuple[ByResin, ...]
    voices: Voices


def gather(kind: Kind, evidence: Sequence[Evidence], tables: IdentifyTables) -> Parts:
    """Every piece of evidence as logs, and their sums.

    Raises:
        BadInput: see `judge`.
    """
    raw: list[ByResin] = []
    readings: list[Seen] = []
    says: dict[int, MarkSays] = {}
    groups: dict[str, list[int]] = {}
    width = len(tables.place)
    for at, piece in enumerate(evidence):
        if isinstance(piece, SpotTest):
            raw.append((0.0,) * width)
        elif isinstance(piece, Mark):
            said = says[at] = mark_says(piece, tables)
            raw.append(mark_log_likelihood(said.named, said.trust, tables))
            groups.setdefault(_MARKS, []).append(at)
        elif isinstance(piece, Cue):
            raw.append(cue_log_likelihood(piece, kind, tables))
            groups.setdefault(tables.cues.cues[piece.name].group, []).append(at)
        else:
            refuse_impossible(piece)
            said_by = heard(piece, tables.ladder, tables.cues)
            readings.append(said_by.seen)
            raw.append(said_by.alone)
    sums = {g: (len(at), _sum((raw[k] for k in at), width)) for g, at in groups.items()}
    _share_within_groups(raw, groups, tables.cues.within_group)
    filled = frozenset(tables.place[r] for s in says.values() if s.filled for r in s.named)
    whole = product(readings, len(tables.ladder.middles))
    return Parts(
        prior=log_prior(kind, tables),
        spoken=_sum((raw[at] for places in groups.values() for at in places), width),
        physical=_physical(whole, filled, tables) if readings else (0.0,) * width,
        readings=tuple(readings),
        whole=whole,
        marked_filled=filled,
        groups=sums,
        each=tuple(raw),
        voices=Voices(evidence=tuple(evidence), each=tuple(raw), marks=says),
    )


def log_prior(kind: Kind, tables: IdentifyTables) -> ByResin:
    """Natural logs of the kind's prior, mixed with a little of everything people bring.

    Raises:
        BadInput: the prior has a negative or infinite share, or sums to zero.
    """
    shares = [kind.prior.get(r, 0.0) for r in tables.resins.judged]
    total = sum(shares)
    if not isfinite(total) or total <= 0.0 or min(shares) < 0.0:
        raise BadInput(
            where=f"Prior of kind {kind.id}",
            got=f"shares that sum to {total:g}",
            expected="shares of 0 or more that sum to 1",
        )
    mixing = tables.cues.prior_mixing
    mixed = [(1.0 - mixing) * s / total + mixing * p for s, p in zip(shares, tables.population, strict=True)]
    return tuple(log(m) if m > 0.0 else -inf for m in mixed)


def foreign_share(spot: SpotTest) -> float:
    """[-] Expected share of other plastic among the pieces of a crate that nobody tested.

    Source: rule of succession (Laplace), with every share alike before the test.
    """
    return (spot.odd + 1.0) / (spot.tested + 2.0)


def _with_spots(chances: ByResin, evidence: Sequence[Evidence], prior: ByResin) -> ByResin:
    """The odds of a piece of the crate: as tested, or, where it is something else, as its kind usually is."""
    shares = [foreign_share(e) for e in evidence if isinstance(e, SpotTest)]
    if not shares:
        return chances
    share, usual = min(shares), normalised(prior)
    return tuple((1.0 - share) * c + share * u for c, u in zip(chances, usual, strict=True))


def normalised(logs: Sequence[float]) -> ByResin:
    """[-] Probabilities from natural logs that lack a common constant."""
    top = max(logs)
    raw = [exp(x - top) for x in logs]
    total = sum(raw)
    return tuple(x / total for x in raw)


def entropy_bits(chances: Iterable[float]) -> float:
    """[bit] What is still unknown: 0 when one resin is certain."""
    return max(-sum(p * log2(p) for p in chances if p > 0.0), 0.0)


def refuse_impossible(piece: FloatTest | Density) -> None:
    """Refuse a density no plastic and no table bath has.

    Raises:
        BadInput: the density, the bath or its doubt is no number or out of reach.
    """
    if isinstance(piece, FloatTest):
        value, doubt, where = piece.bath_g_cm3, piece.bath_sd_g_cm3, f"Float test in {piece.bath}"
        low, high = 0.7, 2.0
    else:
        value, doubt, where = piece.density_g_cm3, piece.sd_g_cm3, "Density"
        low, high = LIGHTEST_G_CM3, DENSEST_G_CM3
    if not low <= value <= high:
        raise BadInput(where=where, got=f"{value:g} g/cm3", expected=f"a density from {low} to {high} g/cm3")
    if not 0.0 <= doubt < 1.0:
        raise BadInput(where=where, got=f"± {doubt:g} g/cm3", expected="a doubt from 0 to 1 g/cm3")


def _share_within_groups(raw: list[ByResin], groups: dict[str, list[int]], within_group: float) -> None:
    """Weaken the members of every group that has more than one."""
    for places in groups.values():
        if len(places) > 1:
            for at in places:
                raw[at] = tuple(within_group * x for x in raw[at])


def _sum(rows: Iterable[ByResin], width: int) -> ByResin:
    return tuple(map(sum, zip((0.0,) * width, *rows, strict=True)))


def _physical(whole: Product, filled: frozenset[int], tables: IdentifyTables) -> ByResin:
    """Baths and scale together; a resin that a mark calls filled is expected with its filler."""
    joint = likelihoods(whole, tables.ladder)
    if not filled:
        return tuple([log(x) for x in joint])
    heavy = filled_likelihoods(whole, tables.ladder, filled)
    share = tables.ladder.filled_share
    return tuple(
        log(_FILLED_BY_MARK * heavy[k] / share[k] + (1.0 - _FILLED_BY_MARK) * j)
        if k in heavy and share[k] > 0.0
        else log(j)
        for k, j in enumerate(joint)
    )


def _filled(chances: ByResin, parts: Parts, tables: IdentifyTables) -> float:
    """[-] Probability that the piece carries a filler."""
    share = tables.ladder.filled_share
    places = [k for k, p in enumerate(chances) if p >= _NEGLIGIBLE and share[k] > 0.0]
    heavy = filled_likelihoods(parts.whole, tables.ladder, places)
    total = 0.0
    for k in places:
        weight = _FILLED_BY_MARK / share[k] if k in parts.marked_filled else 1.0
        total += chances[k] * weight * heavy[k] / exp(parts.physical[k])
    return min(total, 1.0)
