"""PVC and PET overlap in density and look alike when clear: no bath on a table tells them apart."""

from math import log

from intake.table.identify.evidence import Cue, Mark
from intake.table.identify.odds import Posterior
from intake.table.identify.tables import IdentifyTables
from intake.table.kinds import Kind
from intake.table.resins import Reason, ResinId

PVC, PET = ResinId("PVC"), ResinId("PET")
MAY_BE_PVC = "may-be-pvc"
_LOOK, _CLEAR = "transparency", "clear"


def needs_second_look(posterior: Posterior, kind: Kind, tables: IdentifyTables) -> Reason | None:
    """Why a piece that could be PVC or PET must not be accepted into anything yet; None where it may.

    It holds for a piece that was seen clear, or that nobody looked through, when PET or PVC leads, unless a mark
    of its own prefers the leader. Then PVC must be below the share that one item may carry, and the kind must
    not be one that is often PVC.
    """
    if posterior.most_likely not in (PVC, PET):
        return None
    cues = [w.evidence for w in posterior.weights if isinstance(w.evidence, Cue)]
    looks = [c.value for c in cues if c.name == _LOOK]
    if looks and _CLEAR not in looks:
        return None
    if _a_mark_prefers(posterior, posterior.most_likely, tables.cues.limits.mark_ratio):
        return None
    pvc = posterior.probabilities[PVC]
    if pvc < tables.cues.limits.pvc_share and MAY_BE_PVC not in kind.flags:
        return None
    return Reason.of("second_look_pvc", probability=pvc)


def _a_mark_prefers(posterior: Posterior, resin: ResinId, ratio: float) -> bool:
    """True where a mark says `resin` much rather than its double."""
    double = PVC if resin == PET else PET
    return any(
        isinstance(w.evidence, Mark) and w.log_likelihood[resin] - w.log_likelihood[double] >= log(ratio)
        for w in posterior.weights
    )
