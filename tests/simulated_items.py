"""A seeded table of made-up items, drawn from the handbook's figures but by code of its own.

Items come from kinds, carry marks (absent, worn, on the wrong part), look and feel like their resin, and
float or sink by their true density. `worse` multiplies every error rate and doubt: 1.0 is the model itself,
1.5 a table where people slip half as often again as the model believes.

Cues of one group are not independent: with the chance `HALO`, the second and later ones repeat what somebody
expects who has seen the first. That is our reading of the reference's exponent for cues of one group.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from intake.table.identify.evidence import Cue, Density, Evidence, FloatTest, Mark, MarkHow, Outcome
from intake.table.identify.likelihood import mark_says
from intake.table.identify.tables import IdentifyTables
from intake.table.kinds import Kind, KindTable
from intake.table.resins import OTHER, ResinId

HALO = 0.7
MARKED = 0.7
HOW = {MarkHow.MOULDED: 0.75, MarkHow.PRINTED: 0.1, MarkHow.STICKER: 0.05, MarkHow.UNCLEAR: 0.1}
LEAST_G_CM3, MOST_G_CM3 = 0.012, 2.4


@dataclass
class SimulatedItem:
    """One item whose truth is known; a test asked twice gives the same answer."""

    kind: Kind
    resin: ResinId
    place: int
    density_g_cm3: float
    mark: Mark | None
    cues: Mapping[str, str]
    floats: Mapping[str, FloatTest]
    density: Density


class Simulator:
    """Draws items with a generator of its own."""

    def __init__(self, tables: IdentifyTables, kinds: KindTable, seed: int, worse: float = 1.0) -> None:
        self.tables, self.worse = tables, worse
        self.kinds = list(kinds.rows.values())
        self.rng = np.random.default_rng(seed)
        self.judged = tables.resins.judged
        self.population = np.array(tables.population) / sum(tables.population)
        self.says = {}

    def item(self) -> SimulatedItem:
        kind = self.kinds[self.rng.integers(len(self.kinds))]
        place = self.resin_of(kind)
        density = self.density_of(place)
        return SimulatedItem(
            kind=kind,
            resin=self.judged[place],
            place=place,
            density_g_cm3=density,
            mark=self.mark_of(place),
            cues=self.cues_of(kind, place),
            floats={
                b.id: self.float_of(b.id, b.bath_g_cm3, density) for b in self.tables.cues.baths.values()
            },
            density=self.hung(density),
        )

    def resin_of(self, kind: Kind) -> int:
        if self.rng.random() < self.tables.cues.prior_mixing * self.worse:
            return int(self.rng.choice(len(self.judged), p=self.population))
        prior = np.array([kind.prior[r] for r in self.judged])
        return int(self.rng.choice(len(self.judged), p=prior / prior.sum()))

    def density_of(self, place: int) -> float:
        plain, *others = self.tables.cues.variants[place]
        shares = np.array([v.share * self.worse for v in others])
        if shares.sum() > 0.98:  # foam as sold has no plain part to take from
            shares *= 0.98 / shares.sum()
        pick = self.rng.choice(len(others) + 1, p=[1.0 - shares.sum(), *shares])
        variant = (plain, *others)[pick]
        return float(np.clip(self.rng.normal(variant.mean_g_cm3, variant.sd_g_cm3), LEAST_G_CM3, MOST_G_CM3))

    def text_of(self, place: int, form: float) -> str:
        resin = self.judged[place]
        code = self.tables.resins.code(resin)
        if resin == OTHER or (form < 0.5 and code is not None):
            return str(code or 7)
        return str(resin)

    def mark_of(self, place: int) -> Mark | None:
        if self.rng.random() > MARKED:
            return None
        how = list(HOW)[self.rng.choice(len(HOW), p=list(HOW.values()))]
        form = self.rng.random()
        right = Mark(text=self.text_of(place, form), how=how)
        wrong = (1.0 - mark_says(right, self.tables).trust) * self.worse
        if self.rng.random() > wrong:
            return right
        stray = int(self.rng.choice(len(self.judged), p=self.population))
        return Mark(text=self.text_of(stray, form), how=how)

    def cues_of(self, kind: Kind, place: int) -> dict[str, str]:
        seen: dict[str, str] = {}
        first: dict[str, np.ndarray] = {}
        extra = 0.03 * (self.worse - 1.0)
        for cue in self.tables.cues.cues.values():
            if cue.effort.heat or not cue.applies(kind):
                continue
            chances = np.array([cue.chances[level] for level in cue.levels])
            looks_like = place
            if cue.group in first and self.rng.random() < HALO:
                looks_like = int(self.rng.choice(len(self.judged), p=first[cue.group]))
            row = (1.0 - extra) * chances[:, looks_like] + extra / len(cue.levels)
            level = int(self.rng.choice(len(cue.levels), p=row / row.sum()))
            seen[cue.id] = cue.levels[level]
            if cue.group not in first:
                expected = self.population * chances[level]
                first[cue.group] = expected / expected.sum()
        return seen

    def float_of(self, name: str, bath_g_cm3: float, density_g_cm3: float) -> FloatTest:
        errors = self.tables.cues.float_errors
        bath = self.rng.normal(bath_g_cm3, errors.bath_sd_g_cm3 * self.worse)
        gap = bath - density_g_cm3
        if abs(gap) < errors.hover_g_cm3:
            outcome = Outcome.HOVERS
        else:
            outcome = Outcome.FLOATS if gap > 0 else Outcome.SINKS
        slip = self.rng.random()
        for seen, share in (
            (Outcome.FLOATS, errors.floats_though_denser),
            (Outcome.SINKS, errors.sinks_though_lighter),
            (Outcome.HOVERS, errors.hovers_though_not),
        ):
            if slip < share * self.worse:
                outcome = seen
                break
            slip -= share * self.worse
        return FloatTest(
            bath=name, bath_g_cm3=bath_g_cm3, bath_sd_g_cm3=errors.bath_sd_g_cm3, outcome=outcome
        )

    def hung(self, density_g_cm3: float) -> Density:
        sd = self.tables.cues.hanging.sd_g_cm3
        if self.rng.random() < self.tables.cues.gross_error * self.worse:
            value = self.rng.uniform(LEAST_G_CM3, MOST_G_CM3)
        else:
            value = self.rng.normal(density_g_cm3, sd * self.worse)
        return Density(density_g_cm3=round(float(np.clip(value, LEAST_G_CM3, MOST_G_CM3)), 4), sd_g_cm3=sd)

    def some_evidence(self, item: SimulatedItem) -> list[Evidence]:
        """What a hurried collector noted: some looks, a bath or two, sometimes a weighing."""
        found: list[Evidence] = []
        if item.mark is not None and self.rng.random() < 0.7:
            found.append(item.mark)
        found.extend(Cue(name=n, value=v) for n, v in item.cues.items() if self.rng.random() < 0.3)
        for name, often in (("water", 0.5), ("alcohol", 0.2), ("salt-1.08", 0.15), ("salt-1.19", 0.15)):
            if self.rng.random() < often:
                found.append(item.floats[name])
        if self.rng.random() < 0.2:
            found.append(item.density)
        return found


def calibration_error(confidence: np.ndarray, right: np.ndarray, bins: int = 15) -> float:
    """[-] Expected calibration error: mean gap of confidence and hit rate over equal bins, weighted by items."""
    at = np.minimum((confidence * bins).astype(int), bins - 1)
    gaps = [abs(confidence[at == b].mean() - right[at == b].mean()) * (at == b).mean() for b in np.unique(at)]
    return float(sum(gaps))
