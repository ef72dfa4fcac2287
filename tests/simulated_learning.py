"""Campaigns of a table whose figures are off, before and after it has weighed five bins of shred."""

from dataclasses import dataclass, replace

import numpy as np
from simulated_town import NAMES, Truth

from intake.spread import interval, mean_of, total
from intake.table.kinds import KindTable
from intake.table.yields.learn import WeighedLot, after_lot
from intake.table.yields.shred import YieldModel

BINS, ROWS = 5, 16
"""Bins that were weighed, and rows in each and in the pile that is foretold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Covered:
    """Share of campaigns whose true shred lay inside the 90 % interval, and the mean relative error [-]."""

    before: float
    after: float
    error_before: float
    error_after: float


def off_alike(factor):
    """Every mass in the table is off by the same factor."""
    return lambda _chance: [factor] * len(NAMES)


def off_each(chance):
    """Every kind's mass in the table is 15 % too low or 15 % too high, by chance."""
    return chance.choice([0.85, 1.15], size=len(NAMES))


def coverage(book, factors, campaigns, seed):
    """How often the interval holds, where kinds are off by `factors(chance)`; the town is by the book."""
    chance = np.random.default_rng(seed)
    seen = [_campaign(book, factors(chance), chance) for _ in range(campaigns)]
    inside, errors = np.array([s[:2] for s in seen]).mean(axis=0), np.array([s[2:] for s in seen])
    off = np.abs(errors).mean(axis=0)
    return Covered(
        before=float(inside[0]), after=float(inside[1]), error_before=float(off[0]), error_after=float(off[1])
    )


def _campaign(book, factors, chance):
    """Inside before and after learning, then the relative errors before and after."""
    true = [book.kinds.get(n) for n in NAMES]
    told = KindTable({k.id: _off(k, f) for k, f in zip(true, factors, strict=True)})
    prior = model = YieldModel(told, book.losses)
    town = Truth(book, chance, skewed=False)

    def bag():
        return [town.item(true[i]) for i in chance.integers(len(true), size=ROWS)]

    def as_told(pairs):
        return tuple(_of_kind(item, told.rows[item.kind.id]) for item, _ in pairs)

    for _ in range(BINS):
        pairs = bag()
        model = after_lot(model, WeighedLot(items=as_told(pairs), mass_g=town.weighed(pairs)))
    pairs = bag()
    shred_g = town.kept() * sum(body for _, body in pairs)
    found = [total(m.item_yield(item).shred_g for item in as_told(pairs)) for m in (prior, model)]
    spans = [interval(f) for f in found]
    return (*(s.low <= shred_g <= s.high for s in spans), *((mean_of(f) - shred_g) / shred_g for f in found))


def _off(kind, factor):
    body = kind.body_g
    low, typical, high = (factor * v for v in (body.low, body.typical, body.high))
    return replace(kind, body_g=replace(body, low=low, typical=typical, high=high))


def _of_kind(item, kind):
    return type(item)(**{f: getattr(item, f) for f in item.__slots__} | {"kind": kind})
