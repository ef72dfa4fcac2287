"""The answer of the room: how likely each resin is, and why."""

from collections.abc import Mapping
from dataclasses import dataclass

from intake.table.identify.evidence import Evidence, Mark
from intake.table.resins import Reason, ResinId


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """What one piece of evidence said: natural logs of P(observation | resin), by judged resin."""

    evidence: Evidence
    log_likelihood: Mapping[ResinId, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Posterior:
    """Probabilities of the judged resins after all evidence; they sum to 1.

    Attributes:
        probabilities: [-] by judged resin, the whole list.
        entropy_bits: [bit] what is still unknown.
        filled: [-] probability that the piece carries so much filler that it is heavier than its resin.
        conflict: strong pieces of evidence that cannot both be right; empty where they agree.
        second_look: why a piece that could be PVC or PET must not go into anything yet; None where it may.
        weights: every piece of evidence with what it said.
    """

    probabilities: Mapping[ResinId, float]
    entropy_bits: float
    filled: float = 0.0
    conflict: tuple[Reason, ...] = ()
    second_look: Reason | None = None
    weights: tuple[Weight, ...] = ()

    @property
    def most_likely(self) -> ResinId:
        """The resin with the highest probability."""
        return max(self.probabilities, key=self.probabilities.__getitem__)

    @property
    def probability(self) -> float:
        """[-] Probability of the most likely resin."""
        return self.probabilities[self.most_likely]

    @property
    def physical(self) -> bool:
        """True when something beside a mark was observed."""
        return any(not isinstance(w.evidence, Mark) for w in self.weights)
