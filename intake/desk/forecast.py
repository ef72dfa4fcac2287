"""Forecast a charge: the chance that today's shred is enough, what would make it so, and the fan of arrivals."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.report import charge_progress, fits
from intake.errors import BadInput
from intake.ledger.events import BinOpened
from intake.ledger.state import ItemState
from intake.spread import Interval, interval
from intake.table.charge.forecast import Arrivals, FanPoint, MixShare, arrivals_of, arrivals_until, fan
from intake.table.charge.progress import WANTED, more_needed
from intake.table.charge.target import ChargeSpec
from intake.table.compat.decision import Verdict
from intake.table.kinds import Kind, KindId

_STEPS = 20
_FEWEST = 20
_LIKELY = 0.5
"""[-] a kind that is this likely of the charge's resin is worth asking for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What is to be expected of one charge.

    Attributes:
        charge, resin: which one.
        charge_g, shred_g: [g] needed and there.
        share: [-] mean shred / mean charge.
        probability_met: [-] that today's shred is enough.
        more: pieces of each kind, of that kind alone, that make it 90 % sure; None where no number does.
        mix: kinds of the next arrivals with the probability [-] that one is of it and goes into the charge.
        from_log: True where the mix is what came so far; False where it is the kinds that most bags hold.
        until: arrivals that make it 90 % sure; None where none do.
        fan: percentiles over arrivals.
    """

    charge: str
    resin: str
    charge_g: Interval
    shred_g: Interval
    share: float
    probability_met: float
    more: Mapping[KindId, int | None]
    mix: tuple[MixShare, ...]
    from_log: bool
    until: int | None
    fan: tuple[FanPoint, ...]


def forecast_charge(
    desk: Desk, spec: ChargeSpec, *, arrivals: int | None = None, mix: Mapping[str, float] | None = None
) -> Forecast:
    """The forecast of one charge from what the ledger says now; nothing is recorded.

    Args:
        desk: the table.
        spec: the charge.
        arrivals: how far the fan goes; None: half again as far as it takes to be 90 % sure.
        mix: kinds by name with their weights (any unit); None: what came so far.

    Raises:
        BadInput: weights below 0 or all 0, or arrivals beyond any table.
        UnknownName: no such kind.
    """
    plan, now = desk.tools.plans[spec.id], charge_progress(desk)[spec.id]
    shares, from_log = (_given(desk, mix), False) if mix else _expected(desk, spec)
    coming: Arrivals = arrivals_of(desk.tools.model, shares)
    until = arrivals_until(plan, now.shred_g, coming, WANTED)
    last = arrivals or max(_FEWEST, round(1.5 * (until or _FEWEST)))
    counts = sorted({round(last * step / _STEPS) for step in range(_STEPS + 1)})
    return Forecast(
        charge=spec.id, resin=spec.resin, charge_g=interval(now.charge_g), shred_g=interval(now.shred_g),
        share=now.share, probability_met=now.probability_met,
        more=more_needed(desk.tools.model, plan, now.shred_g, _worth_asking(desk, spec)),
        mix=shares, from_log=from_log, until=until, fan=fan(plan, now.shred_g, coming, counts),
    )  # fmt: skip


def _worth_asking(desk: Desk, spec: ChargeSpec) -> list[Kind]:
    """The common kinds that are most likely of the charge's resin."""
    kinds = desk.handbook.kinds
    return [kinds.rows[k] for k in kinds.common if kinds.rows[k].prior.get(spec.resin, 0.0) >= _LIKELY]


def _given(desk: Desk, mix: Mapping[str, float]) -> tuple[MixShare, ...]:
    """The mix that a person said, each piece going into the charge."""
    whole = sum(mix.values())
    if any(not 0.0 <= w < float("inf") for w in mix.values()) or not 0.0 < whole < float("inf"):
        raise BadInput(where="--mix", got=dict(mix), expected="weights of 0 or more, such as jug=3")
    return tuple(
        MixShare(kind=desk.handbook.kinds.get(name, where="--mix"), share=w / whole)
        for name, w in mix.items()
    )


def _expected(desk: Desk, spec: ChargeSpec) -> tuple[tuple[MixShare, ...], bool]:
    """What came so far, each kind with the share of its pieces that went to such bins; else the common kinds."""
    judged = [i for i in desk.state.items.values() if i.verdict is not None]
    pieces = sum(i.facts.count for i in judged)
    gone: Counter[str] = Counter()
    for item in judged:
        if item.verdict is Verdict.ACCEPT and (home := _home(desk, item)) and fits(home, spec):
            gone[item.facts.kind] += item.facts.count
    rows = desk.handbook.kinds.rows
    known = {KindId(k): n for k, n in gone.items() if k in rows}
    if known:
        return tuple(MixShare(kind=rows[k], share=n / pieces) for k, n in known.items()), True
    likely: Sequence[Kind] = _worth_asking(desk, spec) or [rows[k] for k in desk.handbook.kinds.common]
    return tuple(MixShare(kind=k, share=k.prior.get(spec.resin, 0.0) / len(likely)) for k in likely), False


def _home(desk: Desk, item: ItemState) -> BinOpened | None:
    """What the bin takes that an item lies in, or lay in before it was shredded."""
    if item.lot is not None and item.lot in desk.state.lots:
        return desk.state.lots[item.lot].opened
    state = desk.state.bins.get(item.bin or "")
    return state.opened if state else None
