"""Asking about a pair of plastics: the table's rule, a computed second opinion, the window, the cautions."""

from dataclasses import dataclass

from intake.desk.cautions import COMMANDS, cautions_shown
from intake.errors import UnknownName
from intake.handbook import Handbook
from intake.table.compat.cautions import Caution
from intake.table.compat.decision import Verdict
from intake.table.compat.matrix import Matrix
from intake.table.compat.miscibility import SecondOpinion, second_opinion
from intake.table.compat.rules import Form, PairRule
from intake.table.identify.mark_reading import PLASTIC
from intake.table.identify.marks import read_mark
from intake.table.resins import OTHER, Reason, ResinId


@dataclass(frozen=True, slots=True, kw_only=True)
class PairCheck:
    """Everything there is to say about a guest in a host.

    Attributes:
        rule: the table's rule, folded to the two that were asked for.
        opinion: the computed second opinion with the common window.
        share: [-] the share that was asked about; None where none was.
        verdict: what that share means; None where none was asked about.
        heat: what each of the two does at the temperature asked about; empty where none was.
        hazards: keys of what either gives off when too hot, the pair's own first.
        cautions: what to show with it, since the next step is heat.
        sources: keys of `sources.toml` behind what is said.
    """

    rule: PairRule
    opinion: SecondOpinion
    share: float | None
    verdict: Verdict | None
    heat: tuple[Reason, ...]
    hazards: tuple[str, ...]
    cautions: tuple[Caution, ...]
    sources: tuple[str, ...]


def plastic_named(handbook: Handbook, text: str, *, where: str) -> ResinId:
    """The resin, or known foreign material, that a person means: an id, an abbreviation or a mark.

    Raises:
        UnknownName: nobody knows it, or it names more than one plastic; the nearest names are given.
    """
    matrix, resins = handbook.matrix, handbook.resins
    try:
        return matrix.material(text, where=where)
    except UnknownName as unknown:
        reading = read_mark(text, handbook.marks)
        named = {c.resin if c.resin in resins.rows else c.listed for c in reading.components}
        if reading.valid and reading.kind == PLASTIC and len(named) == 1 and OTHER not in named:
            return named.pop()
        if unknown.nearest:
            raise
        raise UnknownName(where=where, got=text, known=_known(matrix, reading.nearest)) from None


def check_pair(
    handbook: Handbook, host: str, guest: str, *, share: float | None = None, at_c: float | None = None,
    forms: tuple[Form, Form] | None = None,
) -> PairCheck:  # fmt: skip
    """What happens to `guest` in `host`, at a mass share [-] and at a temperature [degC] where they are told.

    Args:
        handbook: the tables.
        host: what the batch is, as a person says it.
        guest: what would be added.
        share: [-] 0..1 of the guest in the batch.
        at_c: [degC] temperature at the mould.
        forms: how host and guest were made.

    Raises:
        UnknownName: one of the two is unknown.
    """
    base = plastic_named(handbook, host, where="HOST")
    added = plastic_named(handbook, guest, where="GUEST")
    host_form, guest_form = forms or (None, None)
    rule = handbook.matrix.rule(base, added, host_form=host_form, guest_form=guest_form)
    both = tuple(dict.fromkeys((base, added)))
    fumes = tuple(f for r in both for f in handbook.melts.row(r).fumes)
    return PairCheck(
        rule=rule, opinion=second_opinion(base, added, handbook.melts, rule), share=share,
        verdict=None if share is None else rule.verdict_at(share),
        heat=() if at_c is None else tuple(handbook.melts.state_at(r, at_c) for r in both),
        hazards=tuple(dict.fromkeys((*rule.hazards, *fumes))),
        cautions=cautions_shown(handbook, COMMANDS["check"], both),
        sources=_sources(handbook, rule, both),
    )  # fmt: skip


def _known(matrix: Matrix, nearest: tuple[str, ...]) -> tuple[str, ...]:
    """Names to offer: those like the mark, else every resin and material."""
    return nearest or (*matrix.resins.rows, *matrix.materials)


def _sources(handbook: Handbook, rule: PairRule, both: tuple[ResinId, ...]) -> tuple[str, ...]:
    """The works behind the rating, what was published, the windows, the solubilities and the fumes."""
    found = [*rule.sources, *(p.source for p in rule.published)]
    for resin in both:
        melt = handbook.melts.row(resin)
        figures = (melt.melting_c, melt.window_c, melt.onset_c, melt.solubility_mpa05)
        found += [f.source for f in figures if f is not None] + [melt.fumes_source]
    return tuple(dict.fromkeys(s for s in found if s))
