"""How fast this table works: hand times of the handbook, moved by the table's own logged minutes.

The time of one piece is taken as log-normal for each task, with a normal-inverse-gamma prior on the mean and
the variance of its logarithm, so the update is conjugate: closed form, in any order. The prior comes from the
handbook's low, typical and high. A row of N like pieces is one observation, not N: they were done in one go.
One forgotten watch does not spoil it: a log that lies more than `outlier_sd` standard deviations from the
others counts (outlier_sd / distance)² as much as one that does not.

Source: conjugate analysis of a normal with unknown mean and variance (from memory: Gelman and others, Bayesian
Data Analysis, 3.3); the weights are ours.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import exp, isfinite, log, sqrt
from types import MappingProxyType

from intake.errors import BadInput
from intake.spread import Spread, doubtful
from intake.table.item import Label
from intake.table.resins import Figure

_Z80 = 2.0 * 1.2815515655446004
"""Low and high are the 10th and 90th percentile: this many standard deviations lie between them."""
_S_PER_MIN = 60.0
_ROUNDS = 50
_STILL = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceTables:
    """What the handbook says of a table that has logged nothing yet.

    Attributes:
        handling_s: [s] for each piece beside its prep: look, weigh, put into the bin.
        glue_left: [-] chance that a label of that kind leaves glue behind.
        prior_rows: [-] how many logged rows the handbook's time is worth, > 0.
        prior_shape: [-] shape of the prior of the variance, > 1.
        outlier_sd: [-] from here on a log counts less, > 0.
        seldom_worth_g_min: [g/min] clean shred; below it an item is seldom worth its minutes.
    """

    handling_s: Figure
    glue_left: Mapping[Label, Figure]
    prior_rows: float
    prior_shape: float
    outlier_sd: float
    seldom_worth_g_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """Time that was logged for one task of one row.

    Attributes:
        task: as `Step.task` names it.
        piece_s: [s] for each piece, > 0.
        weight: [-] 0..1; below 1 where a total was shared out over several tasks.
    """

    task: str
    piece_s: float
    weight: float = 1.0

    def __post_init__(self) -> None:
        if not (isfinite(self.piece_s) and self.piece_s > 0.0):
            raise BadInput(where=f"Time for {self.task}", got=self.piece_s, expected="seconds above 0")
        if not 0.0 < self.weight <= 1.0:
            raise BadInput(where=f"Weight of {self.task}", got=self.weight, expected="above 0, up to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """What is known of the time of one task: log-normal, its parameters normal-inverse-gamma.

    Attributes:
        mu: mean of the mean of ln(seconds a piece).
        kappa: [-] rows that this mean is worth.
        alpha: [-] shape of the inverse gamma of the variance, > 1.
        beta: its scale; the expected variance is beta / (alpha - 1).
        rows: [-] logged rows in it, each by its weight.
    """

    mu: float
    kappa: float
    alpha: float
    beta: float
    rows: float = 0.0

    @property
    def row_variance(self) -> float:
        """Expected variance of ln(seconds) from row to row."""
        return self.beta / (self.alpha - 1.0)

    @property
    def mean_variance(self) -> float:
        """Expected variance of the mean of ln(seconds): what is not known of this table."""
        return self.row_variance / self.kappa

    @property
    def typical_s(self) -> float:
        """[s] Median time of one piece."""
        return exp(self.mu)

    @property
    def mean_s(self) -> float:
        """[s] Expected time of one piece.

        That of the log-normal with the predictive variance; the predictive Student t itself has no finite mean.
        """
        return exp(self.mu + 0.5 * (self.row_variance + self.mean_variance))


def prior_pace(figure: Figure, tables: PaceTables) -> Pace:
    """The pace before anything is logged: median and spread of the handbook's time [s], low above 0.

    Its variance of ln(seconds) is split: sigma² from row to row, sigma² / prior_rows from table to table.
    """
    spread = (log(figure.high) - log(figure.low)) / _Z80
    row_variance = spread**2 / (1.0 + 1.0 / tables.prior_rows)
    return Pace(
        mu=log(figure.typical),
        kappa=tables.prior_rows,
        alpha=tables.prior_shape,
        beta=row_variance * (tables.prior_shape - 1.0),
    )


def learned(prior: Pace, logs: Sequence[Logged], outlier_sd: float) -> Pace:
    """The pace after the logs of its task; without logs, the prior itself.

    kappa' = kappa + n, mu' = (kappa mu + n x) / kappa', alpha' = alpha + n/2,
    beta' = beta + SS/2 + kappa n (x - mu)² / (2 kappa'), with n the sum of weights, x the weighted mean of
    ln(seconds) and SS its weighted sum of squares. The order of the logs does not matter.
    """
    if not logs:
        return prior
    points = sorted((log(entry.piece_s), entry.weight) for entry in logs)
    centre = _median([(prior.mu, prior.kappa), *points])
    sd = sqrt(prior.row_variance)
    weighted = [(x, w * _trust((x - centre) / sd, outlier_sd)) for x, w in points]
    for _ in range(_ROUNDS):
        n = sum(w for _, w in weighted)
        moved = (prior.kappa * prior.mu + sum(w * x for x, w in weighted)) / (prior.kappa + n)
        if abs(moved - centre) < _STILL:
            break
        centre = moved
        weighted = [(x, w * _trust((x - centre) / sd, outlier_sd)) for x, w in points]
    return _updated(prior, weighted)


@dataclass(frozen=True, slots=True)
class Paces:
    """The pace of every task at one table, with one variable for what all its rows have in common.

    Attributes:
        by_task: pace by task.
        tables: handling and the rest.
        shared: one variable for each task: how far this table is from what is thought of it; made here.
    """

    by_task: Mapping[str, Pace]
    tables: PaceTables
    shared: Mapping[str, Spread] = field(init=False)

    def __post_init__(self) -> None:
        made = {t: doubtful(1.0, _cv(p.mean_variance), f"pace {t}") for t, p in self.by_task.items()}
        object.__setattr__(self, "shared", MappingProxyType(made))

    @classmethod
    def of(cls, hand_s: Mapping[str, Figure], tables: PaceTables, logs: Iterable[Logged] = ()) -> "Paces":
        """The paces of a table from hand times [s] by task and what it logged; unknown tasks are passed over."""
        by_task: dict[str, list[Logged]] = {task: [] for task in (*hand_s, HANDLING)}
        for entry in logs:
            if entry.task in by_task:
                by_task[entry.task].append(entry)
        figures = {**hand_s, HANDLING: tables.handling_s}
        paces = {
            task: learned(prior_pace(figures[task], tables), entries, tables.outlier_sd)
            for task, entries in by_task.items()
        }
        return cls(MappingProxyType(paces), tables)

    def minutes(self, task: str, count: int) -> Spread:
        """[min] Hand time of a task for `count` like pieces (>= 1), which are one draw."""
        pace = self.by_task[task]
        own = doubtful(1.0, _cv(pace.row_variance), f"row {task}")
        return count * pace.mean_s / _S_PER_MIN * self.shared[task] * own


HANDLING = "handling"
"""The task that every piece costs: look, weigh, put away."""


def share_out(minutes: float, tasks: Sequence[str], count: int, paces: Paces) -> tuple[Logged, ...]:
    """One logged total [min] for several tasks of `count` pieces, as logs of each task.

    Each task gets the part of the total that it was expected to take, and counts by that part: a total says
    little of a task that was a small piece of it. A total of 0, or for no task, says nothing.
    """
    known = [t for t in tasks if t in paces.by_task]
    expected_s = {t: paces.by_task[t].mean_s for t in known}
    whole_s = sum(expected_s.values())
    if minutes <= 0.0 or not known:
        return ()
    ratio = minutes * _S_PER_MIN / count / whole_s
    return tuple(
        Logged(task=t, piece_s=paces.by_task[t].typical_s * ratio, weight=expected_s[t] / whole_s)
        for t in known
    )


def _updated(prior: Pace, weighted: Sequence[tuple[float, float]]) -> Pace:
    """The conjugate update by (ln seconds, weight)."""
    n = sum(w for _, w in weighted)
    mean = sum(w * x for x, w in weighted) / n
    squares = sum(w * (x - mean) ** 2 for x, w in weighted)
    kappa = prior.kappa + n
    shift = prior.kappa * n * (mean - prior.mu) ** 2 / (2.0 * kappa)
    return replace(
        prior,
        mu=(prior.kappa * prior.mu + n * mean) / kappa,
        kappa=kappa,
        alpha=prior.alpha + n / 2.0,
        beta=prior.beta + squares / 2.0 + shift,
        rows=prior.rows + n,
    )


def _trust(z: float, outlier_sd: float) -> float:
    """[-] How much a log counts that lies `z` standard deviations from the others."""
    return 1.0 if abs(z) <= outlier_sd else (outlier_sd / z) ** 2


def _median(points: Sequence[tuple[float, float]]) -> float:
    """The weighted median of (value, weight): where one far value cannot pull."""
    ordered = sorted(points)
    half = sum(w for _, w in ordered) / 2.0
    passed = 0.0
    for value, weight in ordered:
        passed += weight
        if passed >= half:
            return value
    return ordered[-1][0]


def _cv(variance: float) -> float:
    """[-] Standard deviation / mean of a log-normal whose logarithm has this variance."""
    return sqrt(exp(variance) - 1.0)
