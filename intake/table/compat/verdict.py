"""The resin verdict: before any washing, is the item worth it?

Refusals come first, then what must be settled on the hold shelf, then acceptance; every reason found is
given, so that a person settles all of them at once.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.errors import BadInput
from intake.table.compat.cautions import (
    CASING_HEAT,
    OLD_PIGMENTS,
    POM_HEAT,
    PVC_HEAT,
    UNKNOWN_CONTENT,
    CautionId,
)
from intake.table.compat.decision import ResinVerdict, Verdict
from intake.table.compat.matrix import Matrix
from intake.table.compat.rules import Rating
from intake.table.identify.odds import Posterior
from intake.table.item import Item, Residue
from intake.table.resins import Reason, ResinId, ResinTable


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictLimits:
    """Where the resin verdict turns; all are probabilities [-] within 0..1.

    Attributes:
        accept_probability: the share of the odds that melts with the host must reach this.
        refuse_probability: the share of the odds that melts with no host must reach this.
        pvc_probability: above it a resin that is a hazard in the host, PVC above all, stops the item.
        filled_probability: from here on an item counts as filled and goes to a bin of its own.
    """

    accept_probability: float = 0.90
    refuse_probability: float = 0.90
    pvc_probability: float = 0.001
    filled_probability: float = 0.5

    def __post_init__(self) -> None:
        for name in ("accept_probability", "refuse_probability", "pvc_probability", "filled_probability"):
            value = getattr(self, name)
            if not 0.0 <= value <= 1.0:
                raise BadInput(where=f"Limits, {name}", got=value, expected="a probability from 0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """One item before the verdict: what is known, and what was worked out from it once."""

    posterior: Posterior
    item: Item
    hosts: tuple[ResinId, ...]
    matrix: Matrix
    limits: VerdictLimits
    host: ResinId
    p_host: float
    p_none: float
    p_hazard: float
    hazards: frozenset[ResinId]


def resin_verdict(
    posterior: Posterior,
    item: Item,
    hosts: Sequence[ResinId],
    matrix: Matrix,
    resins: ResinTable,
    limits: VerdictLimits,
) -> ResinVerdict:
    """Accept, hold or refuse an item before it is cleaned, with every reason.

    Accepted when the odds of all resins that melt with one host reach `accept_probability`, the most likely
    resin is among them, no hazard is above `pvc_probability`, and nothing calls for the hold shelf. Hazard
    pairs ask for one physical observation beside the mark. The shape counts as that observation where things
    of its kind are hazard resins less often than `pvc_probability` (a milk jug); any other kind needs a float
    test, a density or a cue. Refused when the odds of all resins that melt with no host reach
    `refuse_probability`.

    Args:
        posterior: [-] odds of the judged resins.
        item: what it is and wears.
        hosts: the charges' resins, at least one.
        matrix: the pair rules.
        resins: the resin table.
        limits: where the verdict turns.

    Raises:
        BadInput: no host is given.
        UnknownName: a host is no resin.
    """
    case = _case(posterior, item, tuple(resins.get(h, where="Host").id for h in hosts), matrix, limits)
    best = posterior.most_likely
    refusals, holds = _refusals(case), _holds(case)
    fits = matrix.rule(case.host, best).rating.melts_together
    if refusals:
        verdict, reasons = Verdict.REFUSE, refusals
    elif holds:
        verdict, reasons = Verdict.HOLD, holds
    else:
        verdict, reasons = Verdict.ACCEPT, _acceptance(case)
    return ResinVerdict(
        verdict=verdict, resin=best, probability=posterior.probability, host=case.host if fits else None,
        reasons=reasons, cautions=_cautions(case),
    )  # fmt: skip


def _case(
    posterior: Posterior, item: Item, hosts: tuple[ResinId, ...], matrix: Matrix, limits: VerdictLimits
) -> _Case:
    if not hosts:
        raise BadInput(where="Charges", got="", expected="at least one host resin, such as PE-HD")
    odds = posterior.probabilities
    together = {h: frozenset(matrix.partners(h)) for h in hosts}
    chance = {h: sum(odds.get(r, 0.0) for r in together[h]) for h in hosts}
    best = posterior.most_likely
    host = max(hosts, key=lambda h: (best in together[h], chance[h]))
    anywhere = frozenset().union(*together.values())
    hazards = frozenset(matrix.hazards(host))
    return _Case(
        posterior=posterior, item=item, hosts=hosts, matrix=matrix, limits=limits, host=host, hazards=hazards,
        p_host=chance[host], p_none=sum(p for r, p in odds.items() if r not in anywhere),
        p_hazard=sum(p for r, p in odds.items() if r in hazards),
    )  # fmt: skip


def _refusals(case: _Case) -> tuple[Reason, ...]:
    """What ends it: dangerous content, fire-retarded housings, PVC, or no host that it melts with."""
    return (*_content(case.item), *_additives(case.item), *_identity(case))


def _content(item: Item) -> tuple[Reason, ...]:
    """Content that is refused whatever the resin; where it goes is said in general words."""
    cleared = item.residue in (Residue.CLEAN, Residue.RINSED)
    if item.residue is Residue.MOTOR_OIL:
        return (Reason.of("residue_motor_oil"), Reason.of("residue_goes_to_collection"))
    if item.residue is Residue.HAZARDOUS:
        return (Reason.of("residue_hazardous"), Reason.of("residue_goes_to_collection"))
    if "medicine" in item.kind.flags and not cleared:
        return (Reason.of("residue_medicine"), Reason.of("residue_goes_to_collection"))
    return ()


def _additives(item: Item) -> tuple[Reason, ...]:
    return (Reason.of("kind_flame_retardant"),) if "flame-retardant" in item.kind.flags else ()


def _identity(case: _Case) -> tuple[Reason, ...]:
    """PVC as the likeliest resin, or a resin that melts with no host; not while the evidence disagrees."""
    best, odds = case.posterior.most_likely, case.posterior.probability
    if case.posterior.conflict:
        return ()
    if best in case.hazards and odds > case.limits.pvc_probability:
        return (Reason.of("resin_is_hazard", resin=best, host=case.host, probability=odds),)
    if case.p_none < case.limits.refuse_probability:
        return ()
    hosts = ", ".join(case.hosts)
    named = odds >= case.limits.refuse_probability
    first = (
        Reason.of("resin_melts_with_none", resin=best, hosts=hosts, probability=odds)
        if named
        else Reason.of("resin_likely_none", resin=best, hosts=hosts, chance=case.p_none)
    )
    elsewhere = named and best in case.matrix.good_elsewhere
    return (first, Reason.of("resin_good_elsewhere", resin=best)) if elsewhere else (first,)


def _holds(case: _Case) -> tuple[Reason, ...]:
    """What must be settled first, each with the one thing that settles it."""
    found = [*_doubts(case)]
    if case.item.residue is Residue.EDIBLE_OIL:
        found.append(Reason.of("residue_edible_oil"))
    if _old_pigments(case):
        found.append(Reason.of("kind_old_pigments"))
    if case.posterior.filled >= case.limits.filled_probability:
        found.append(Reason.of("resin_filled", probability=case.posterior.filled))
    return tuple(found)


def _doubts(case: _Case) -> tuple[Reason, ...]:
    """What is doubtful about the identity: evidence that disagrees, a hazard not ruled out, thin odds."""
    best = case.posterior.most_likely
    fits = case.matrix.rule(case.host, best).rating.melts_together
    found: list[Reason] = []
    if case.posterior.conflict:
        found += [Reason.of("resin_conflict"), *case.posterior.conflict]
    if case.p_hazard > case.limits.pvc_probability:
        found.append(Reason.of("resin_may_be_hazard", host=case.host, probability=case.p_hazard))
    elif case.posterior.second_look is not None and fits:
        found.append(case.posterior.second_look)
    elif not (case.posterior.physical or _harmless_kind(case)):
        found.append(Reason.of("resin_needs_touch", resin=best))
    if not fits or case.p_host < case.limits.accept_probability:
        found.append(Reason.of("resin_needs_test", resin=best, host=case.host, probability=case.p_host))
    return tuple(found)


def _harmless_kind(case: _Case) -> bool:
    """True when things of this shape are hazard resins less often than the limit: the shape was seen."""
    prior = case.item.kind.prior
    return (
        "may-be-pvc" not in case.item.kind.flags
        and sum(p for r, p in prior.items() if r in case.hazards) < case.limits.pvc_probability
    )


def _old_pigments(case: _Case) -> bool:
    colour = case.item.colour.strip().casefold()
    return "old-pigments" in case.item.kind.flags and colour not in case.matrix.unpigmented


def _acceptance(case: _Case) -> tuple[Reason, ...]:
    """Why it is worth cleaning; a share limit is told where the pair has one."""
    best = case.posterior.most_likely
    rule = case.matrix.rule(case.host, best)
    first = Reason.of("resin_melts_with", resin=best, host=case.host, probability=case.p_host)
    if rule.rating is Rating.GOOD and rule.tolerated_share < 1.0:
        return (first, Reason.of("resin_up_to_share", resin=best, host=case.host, share=rule.tolerated_share))
    return (first,)


def _cautions(case: _Case) -> tuple[CautionId, ...]:
    """Cautions that the item calls for, whatever the verdict."""
    flags = case.item.kind.flags
    odds = case.posterior.probabilities
    feared = {r for r in case.hazards if odds.get(r, 0.0) > case.limits.pvc_probability}
    found = (
        (UNKNOWN_CONTENT, bool(_content(case.item))),
        (PVC_HEAT, "PVC" in feared),
        (POM_HEAT, "POM" in feared),
        (CASING_HEAT, "flame-retardant" in flags),
        (OLD_PIGMENTS, _old_pigments(case)),
    )
    return tuple(caution for caution, wanted in found if wanted)
