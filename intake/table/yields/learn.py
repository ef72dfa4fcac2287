"""Weighed shred corrects what is guessed: kind masses, closures, labels and losses of this table.

Model: the guesses x are jointly normal. A shredded bin is predicted as y(x), linear in x around its mean,
with the doubt of every row and scale in it; the weighing z tells y to within the scale and to within what one
run differs from the next. One Kalman step for each lot, in the order they were shredded:

    x' = x + Cov(x, y) / S (z - y),   S = Var(y) + r²,   r² = scale² + (run to run)²

Written pathwise, x' = x + K (z + e - y) with e ~ N(0, r² + the rows' own doubts), the new guesses carry their
posterior variances *and* all correlations, and each lot adds one variable only. Robust: beyond 2 sd of surprise
K is made smaller so that more surprise moves nothing further (Huber), and beyond 4 sd nothing is learned.
Source: Kalman, A New Approach to Linear Filtering and Prediction Problems, 1960; Huber, Robust Estimation of
a Location Parameter, 1964 (both from memory).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import isfinite, sqrt
from types import MappingProxyType
from typing import Any

from uncertainties.core import AffineScalarFunc

from intake.errors import BadInput
from intake.spread import Spread, doubtful, mean_of, sd_of, total
from intake.table.item import Item
from intake.table.kinds import Kind
from intake.table.yields.item_mass import step_sd_g
from intake.table.yields.losses import Guesses, KindGuess, kept_share
from intake.table.yields.shred import ItemYield, YieldModel

QUESTIONED = 4.0
"""[-] sd of surprise beyond which a weighing is asked about, and never learned from."""
CLIPPED = 2.0
"""[-] sd of surprise beyond which more surprise moves the guesses no further."""
_LEAST = 0.2
"""[-] of its prior mean: no guess of a mass is learned down to nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedLot:
    """A bin's content and what its shred weighed.

    Attributes:
        items: what was shredded.
        mass_g: [g] shred without its tub, > 0.
        resolution_g: [g] smallest step of the scale, > 0.
        tare_g: [g] tub weighed on the same scale; 0: none was.
        shredder: row of the fines table; None: the model's.
    """

    items: tuple[Item, ...]
    mass_g: float
    resolution_g: float = 1.0
    tare_g: float = 0.0
    shredder: str | None = None

    def __post_init__(self) -> None:
        for name in ("mass_g", "resolution_g"):
            value = getattr(self, name)
            if not (isfinite(value) and value > 0.0):
                raise BadInput(where=f"Shred, {name}", got=value, expected="a number above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Surprise:
    """How a weighing stands to what was expected.

    Attributes:
        expected_g: [g] shred that was expected, everything that was still on the items included.
        noise_sd_g: [g] what the scale and one run against the next explain.
        sigmas: [-] difference / its standard deviation; above 0 where there is more than expected.
    """

    expected_g: Spread
    noise_sd_g: float
    sigmas: float

    @property
    def questioned(self) -> bool:
        """True where the weighing should be looked at again."""
        return abs(self.sigmas) > QUESTIONED


def into_shredder_g(yields: Iterable[ItemYield]) -> Spread:
    """[g] What goes into the shredder: clean plastic and what is still on it."""
    return total(y.net_g + sum(y.foreign_g.values()) for y in yields)


def surprise(model: YieldModel, lot: WeighedLot, yields: Sequence[ItemYield] | None = None) -> Surprise:
    """How far a lot's weighing is from what the model expects of its items.

    Args:
        model: the guesses as they stand before this lot.
        lot: the weighing.
        yields: the items' yields by this model, where they are at hand.
    """
    rows = [model.item_yield(item) for item in lot.items] if yields is None else yields
    expected_g = into_shredder_g(rows) * kept_by(model, lot.shredder)
    run_sd_g = mean_of(expected_g) * model.tables.run_to_run.typical
    noise_sd_g = sqrt(step_sd_g(lot.resolution_g, tared=lot.tare_g > 0.0) ** 2 + run_sd_g**2)
    sd_g = sqrt(sd_of(expected_g) ** 2 + noise_sd_g**2)
    return Surprise(
        expected_g=expected_g, noise_sd_g=noise_sd_g, sigmas=(lot.mass_g - mean_of(expected_g)) / sd_g
    )


def kept_by(model: YieldModel, shredder: str | None) -> Spread:
    """[-] Shred / what went in. Another shredder than the model's keeps its own, unlearned loss.

    Raises:
        UnknownName: the tables know no such shredder.
    """
    if shredder is None or shredder == model.shredder:
        return model.guesses.kept
    return kept_share(model.tables, shredder, model.offcut)


def learned(model: YieldModel, lots: Iterable[WeighedLot]) -> YieldModel:
    """The model after these lots, oldest first; the same lots always teach the same."""
    for lot in lots:
        model = after_lot(model, lot)
    return model


def after_lot(model: YieldModel, lot: WeighedLot) -> YieldModel:
    """The model after one more lot; the same model where the weighing is too surprising to believe."""
    if not lot.items:
        return model
    found = surprise(model, lot)
    if found.questioned:
        return model
    step = _step(model.guesses, lot, found)
    return replace(model, taught=_moved(model.guesses, step))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """One Kalman step: each guess moves by Cov(guess, y) / S times `pull`.

    Attributes:
        slopes: change of y by shared variable, times that variable's variance.
        variance_g2: [g2] S.
        weight: [-] 0..1, below 1 where the surprise is beyond `CLIPPED`.
        pull: [g] z + e - y as a spread.
    """

    slopes: Mapping[Any, float]
    variance_g2: float
    weight: float
    pull: Spread

    def gain(self, guess: Spread) -> float:
        """[guess / g] weight Cov(guess, y) / S."""
        if not isinstance(guess, AffineScalarFunc):
            return 0.0
        covariance = float(sum(d * self.slopes.get(v, 0.0) for v, d in guess.derivatives.items()))
        return self.weight * covariance / self.variance_g2


def _step(guesses: Guesses, lot: WeighedLot, found: Surprise) -> _Step:
    """The step that a lot's weighing calls for.

    The expected mass is parted into what the shared guesses explain and the rest (rows, scales); the rest and
    the noise become one new variable.
    """
    shared = {v for guess in _all(guesses) if isinstance(guess, AffineScalarFunc) for v in guess.derivatives}
    slopes = dict(found.expected_g.derivatives) if isinstance(found.expected_g, AffineScalarFunc) else {}
    own_g2 = sum((d * v.std_dev) ** 2 for v, d in slopes.items() if v not in shared)
    known = {v: d for v, d in slopes.items() if v in shared}
    shared_g2 = sum((d * v.std_dev) ** 2 for v, d in known.items())
    noise_g2 = own_g2 + found.noise_sd_g**2
    variance_g2 = shared_g2 + noise_g2
    around_g = total(d * (v - v.nominal_value) for v, d in known.items())
    return _Step(
        slopes={v: d * v.std_dev**2 for v, d in known.items()},
        variance_g2=variance_g2,
        weight=min(1.0, CLIPPED / abs(found.sigmas)) if found.sigmas else 1.0,
        pull=doubtful(lot.mass_g - mean_of(found.expected_g), sqrt(noise_g2), "weighed lot") - around_g,
    )


def _all(guesses: Guesses) -> Iterable[Spread]:
    """Every guess that can be learned."""
    for kind in guesses.kinds.values():
        yield from (kind.body_g, kind.closure_g, kind.label_share)
    for table in (guesses.residue, guesses.label_share, guesses.adhesive_share, guesses.left_after_cleaning):
        yield from table.values()
    yield from (guesses.moisture, guesses.label_left, guesses.kept)


def _moved(guesses: Guesses, step: _Step) -> Guesses:
    """The guesses after the step."""
    return replace(
        guesses,
        kinds=MappingProxyType({k: _kind_moved(g, step) for k, g in guesses.kinds.items()}),
        residue=_table_moved(guesses.residue, step),
        moisture=_share_moved(guesses.moisture, step),
        label_share=_table_moved(guesses.label_share, step),
        label_left=_share_moved(guesses.label_left, step),
        adhesive_share=_table_moved(guesses.adhesive_share, step),
        left_after_cleaning=_table_moved(guesses.left_after_cleaning, step),
        kept=_share_moved(guesses.kept, step),
    )


def _kind_moved(guess: KindGuess, step: _Step) -> KindGuess:
    if not step.gain(guess.body_g) and not step.gain(guess.closure_g) and not step.gain(guess.label_share):
        return guess
    body_g = _mass_moved(guess.body_g, step)
    closure_g = _mass_moved(guess.closure_g, step)
    grown = mean_of(body_g) / mean_of(
        guess.body_g
    )  # heavier pieces differ by more grams, not by more per cent
    return replace(
        guess, body_g=body_g, body_own_sd_g=grown * guess.body_own_sd_g, closure_g=closure_g,
        label_share=_share_moved(guess.label_share, step),
        total_g=mean_of(body_g) + mean_of(closure_g),
    )  # fmt: skip


def _table_moved(table: Mapping[Any, Spread], step: _Step) -> Mapping[Any, Spread]:
    return MappingProxyType({key: _share_moved(guess, step) for key, guess in table.items()})


def _mass_moved(guess: Spread, step: _Step) -> Spread:
    """A mass after the step, never below a fifth of what it was."""
    gain = step.gain(guess)
    if not gain:
        return guess
    moved = guess + gain * step.pull
    return moved + max(_LEAST * mean_of(guess) - mean_of(moved), 0.0)


def _share_moved(guess: Spread, step: _Step) -> Spread:
    """A share after the step, kept from 0 to 1."""
    gain = step.gain(guess)
    if not gain:
        return guess
    moved = guess + gain * step.pull
    return moved + min(max(-mean_of(moved), 0.0), 1.0) - max(mean_of(moved) - 1.0, 0.0)


def kinds_taught(model: YieldModel, items: Iterable[Item]) -> tuple[tuple[Kind, Spread], ...]:
    """The kinds among `items` whose mass the table has learned something about, with the [g] mass of one body now.

    Other kinds move a little with them, as a town's containers have something in common; that is not told.
    """
    among = {item.kind.id for item in items}
    if model.taught is None:
        return ()
    before = Guesses.of(model.kinds, model.tables, model.shredder, model.offcut).kinds
    return tuple(
        (model.kinds.rows[k], guess.body_g)
        for k, guess in model.guesses.kinds.items()
        if k in among and mean_of(guess.body_g) != mean_of(before[k].body_g)
    )
