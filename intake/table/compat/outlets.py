"""Where good plastic could go that is refused here: it melts with no charge, but it is fit for somebody else."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from intake.table.resins import OTHER, Reason, ResinId, ResinTable

_UNSURE = "resin_likely_none"
_ELSEWHERE = frozenset({"resin_melts_with_none", _UNSURE, "worth_too_little"})
"""Refusals that say nothing against the plastic: it is only no charge's resin, or too much work here."""
_TOO_DIRTY = frozenset({"budget_residue"})
"""Refusals that more cleaning would lift."""
_LIKELIER_THAN_NOT = 0.5
CLEAN_FURTHER = "clean-further"


@dataclass(frozen=True, slots=True)
class OutletTable:
    """Where each resin could go.

    Attributes:
        by_resin: resin → outlet id; its words are `outlet.<id>`.
        otherwise: outlet of a resin that `by_resin` does not name, itself or by a wider term.
        resins: the resin table.
    """

    by_resin: Mapping[ResinId, str]
    otherwise: str
    resins: ResinTable

    def outlet(
        self, resin: ResinId, probability: float, reasons: Iterable[Reason], hazards: frozenset[ResinId]
    ) -> str | None:
        """The outlet of a refused item; None where it is no good plastic or nobody may take it on.

        An item whose resin is not sure goes where somebody can tell it apart; one that is less likely its
        resin than not is a guess, and no guess is passed on as good.

        Args:
            resin: what it was judged to be.
            probability: [-] of that.
            reasons: why it was refused; all of them must be harmless ones.
            hazards: resins that are a hazard in some charge: nothing of that kind is passed on as good.
        """
        codes = {r.code for r in reasons} - {"resin_good_elsewhere"}
        if not codes or resin in hazards or resin == OTHER:
            return None
        if codes <= _TOO_DIRTY:
            return CLEAN_FURTHER
        if not codes <= _ELSEWHERE:
            return None
        if _UNSURE in codes:
            return self.otherwise if probability >= _LIKELIER_THAN_NOT else None
        found = (self.by_resin.get(r) for r in self.resins.line(resin))
        return next((outlet for outlet in found if outlet), self.otherwise)
