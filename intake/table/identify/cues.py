"""What a cue, a bath, a scale or a mark can tell: the figures of `cues.toml` in the shape the room needs."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from intake.table.kinds import Kind, KindId
from intake.table.resins import ResinId

ByResin: TypeAlias = tuple[float, ...]
"""One number for each judged resin, in the order of `ResinTable.judged`."""

FILM, RIGID = "film", "rigid"
"""What a cue can be done on; a kind is film where its flags say so."""

UNSURE = "unsure"
"""The answer to any cue that changes nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """What a test asks of the table.

    Attributes:
        minutes: [min] of one person for one piece, > 0.
        kit: ids of what must stand on the table.
        cautions: ids of the cautions to show before it.
        heat: needs a flame or a hot tool.
    """

    minutes: float
    kit: frozenset[str] = frozenset()
    cautions: tuple[str, ...] = ()
    heat: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CueTest:
    """A look or a touch with its levels.

    Attributes:
        id: our word for it (`nail_scratch`).
        group: cues of one group say partly the same.
        levels: what may be seen.
        called: shorter words for a level, as people say them.
        chances: [-] by level, P(level | resin), slips mixed in; each resin's column sums to 1.
        logs: natural logs of `chances`.
        on: `film`, `rigid` or both.
        skip_kinds: kinds that already fix the answer.
        effort: minutes, kit, cautions.
    """

    id: str
    group: str
    levels: tuple[str, ...]
    called: Mapping[str, str]
    chances: Mapping[str, ByResin]
    logs: Mapping[str, ByResin]
    on: frozenset[str]
    skip_kinds: frozenset[KindId]
    effort: Effort

    def level(self, said: str) -> str | None:
        """The level that `said` means; None where it is no level of this cue. `unsure` is one of every cue."""
        word = said.strip().casefold().replace("-", "_").replace(" ", "_")
        word = self.called.get(word, word)
        return word if word in self.logs or word == UNSURE else None

    def applies(self, kind: Kind) -> bool:
        """True where the cue can be seen on this kind and is not already said by it."""
        return (FILM if FILM in kind.flags else RIGID) in self.on and kind.id not in self.skip_kinds


@dataclass(frozen=True, slots=True, kw_only=True)
class BathTest:
    """A float test in a bath that stands ready: its name and density [g/cm3] at 20 degC."""

    id: str
    bath_g_cm3: float
    effort: Effort


@dataclass(frozen=True, slots=True, kw_only=True)
class HangingTest:
    """Density by hanging a piece in water, with the usual standard uncertainty [g/cm3]."""

    sd_g_cm3: float
    effort: Effort


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatErrors:
    """How a float test errs.

    Attributes:
        bath_sd_g_cm3: [g/cm3] usual standard deviation of mixing and reading a bath.
        hover_g_cm3: [g/cm3] a piece closer to the bath than this hovers.
        floats_though_denser: [-] share of sinking or hovering pieces that are seen to float.
        sinks_though_lighter: [-] share of floating or hovering pieces that are seen to sink.
        hovers_though_not: [-] share of the others that are seen to hover.
    """

    bath_sd_g_cm3: float
    hover_g_cm3: float
    floats_though_denser: float
    sinks_though_lighter: float
    hovers_though_not: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Where something is said or stopped.

    Attributes:
        conflict_ratio: [-] how much worse a mark must fit a test before it is told.
        cue_conflict_ratio: [-] the same against looks and touches.
        pvc_share: [-] PVC that a clear piece may be suspected of.
        mark_ratio: [-] how much a mark must prefer a resin to count as a piece of its own.
        heat_stop: [-] suspicion of a resin above which nothing hot is proposed.
    """

    conflict_ratio: float
    cue_conflict_ratio: float
    pvc_share: float
    mark_ratio: float
    heat_stop: Mapping[ResinId, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One way a resin comes: plain, filled, light or plasticised.

    Attributes:
        name: which way.
        share: [-] of the items of the resin.
        mean_g_cm3: [g/cm3] mean density.
        sd_g_cm3: [g/cm3] standard deviation between items.
    """

    name: str
    share: float
    mean_g_cm3: float
    sd_g_cm3: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CueTable:
    """Everything of `cues.toml`.

    Attributes:
        cues: looks and touches by id.
        baths: float tests that stand ready, by name.
        hanging: density by hanging.
        variants: ways of each judged resin, in table order; shares sum to 1.
        float_errors: how a float test errs.
        gross_error: [-] share of measured densities that say nothing.
        within_group: [-] exponent on cues of one group where there is more than one.
        prior_mixing: [-] share of items entered under the wrong kind.
        limits: where something is said or stopped.
        kit: all kit ids; usual_kit: what a table has when nobody says otherwise.
    """

    cues: Mapping[str, CueTest]
    baths: Mapping[str, BathTest]
    hanging: HangingTest
    variants: tuple[tuple[Variant, ...], ...]
    float_errors: FloatErrors
    gross_error: float
    within_group: float
    prior_mixing: float
    limits: Limits
    kit: tuple[str, ...]
    usual_kit: frozenset[str]
