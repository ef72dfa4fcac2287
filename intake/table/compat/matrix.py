"""Which resin melts into which: the rule table, and how kinds fold into families."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from intake.errors import HandbookGap, UnknownName
from intake.table.compat.rules import Form, GradeRule, PairRule, Rating
from intake.table.resins import OTHER, Basis, Reason, ResinId, ResinTable

ANY = ResinId("*")
"""Stands in a row for every resin that no closer row names."""
_PVC = ResinId("PVC")


@dataclass(frozen=True, slots=True, kw_only=True)
class Matrix:
    """Pair rules by (host, guest), with the rules for two forms of one resin.

    Attributes:
        pairs: rules as written, by host and guest; either may be `*`.
        grades: rules for two forms of one resin.
        resins: the resin table, for families.
        materials: guests that are no resin (a barrier layer, silicone, starch).
        good_elsewhere: resins that other collections usually take.
        unpigmented: colours that need no old pigment.
    """

    pairs: Mapping[tuple[ResinId, ResinId], PairRule]
    grades: tuple[GradeRule, ...]
    resins: ResinTable
    materials: tuple[ResinId, ...] = ()
    good_elsewhere: frozenset[ResinId] = frozenset()
    unpigmented: frozenset[str] = frozenset()
    _told: Mapping[tuple[ResinId, ResinId], PairRule] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        faults = [*self._unknown(), *self._unsafe()] or [*self._one_sided()]
        if faults:
            raise HandbookGap("compat.toml: " + "; ".join(faults) + ".")
        names = (*self.resins.rows, *self.materials)
        object.__setattr__(self, "_told", {(h, g): self._pair(h, g) for h in names for g in names})

    def rule(
        self, host: ResinId, guest: ResinId, *, host_form: Form | None = None, guest_form: Form | None = None
    ) -> PairRule:
        """What happens to `guest` in `host`; where forms are told, the stricter of pair rule and grade rule.

        A resin without a row of its own takes that of its wider term, then of the class that stands for it
        (PVC-P as PVC, PE-MD as PE-LLD). A pair that no row covers is kept apart: tolerance 0, `silent`.

        Raises:
            UnknownName: neither a resin of the table nor one of the known materials.
        """
        rule = self._told.get((host, guest)) or self._told[self.material(host), self.material(guest)]
        if host_form is None or guest_form is None:
            return rule
        shared = [r for r in self._folded(rule.host) if r in set(self._folded(rule.guest))]
        for grade in self.grades:
            if shared and grade.applies(shared[0], host_form, guest_form):
                rule = _stricter(rule, grade)
        return rule

    def material(self, name: str, *, where: str = "Resin") -> ResinId:
        """The id of a resin or foreign material, without regard to case.

        Raises:
            UnknownName: neither; the nearest names are given.
        """
        for known in (*self.resins.rows, *self.materials):
            if known.casefold() == name.strip().casefold():
                return known
        raise UnknownName(where=where, got=name, known=(*self.resins.rows, *self.materials))

    def hazards(self, host: ResinId) -> tuple[ResinId, ...]:
        """The classes of the posterior that must never be heated with `host`."""
        return tuple(r for r in self.resins.judged if self.rule(host, r).rating is Rating.HAZARD)

    def partners(self, host: ResinId) -> tuple[ResinId, ...]:
        """The classes of the posterior that melt together with `host`, itself among them."""
        return tuple(r for r in self.resins.judged if self.rule(host, r).rating.melts_together)

    def _pair(self, host: ResinId, guest: ResinId) -> PairRule:
        found = self.pairs.get((host, guest))
        if found is None and host == guest and host != OTHER:
            own = next((self.pairs[f, f] for f in self._folded(host) if (f, f) in self.pairs), None)
            return _named(own, host, guest) if own else _same(host, guest)
        with_rows = {h for h, _ in self.pairs} - {ANY, OTHER}
        for g in (*self._folded(guest), ANY):
            for h in (*self._folded(host), ANY):
                found = found or self.pairs.get((h, g))
                if found is None and h == g and h in with_rows:
                    return _same(host, guest)
        return _named(found, host, guest) if found else _silent(host, guest)

    def _folded(self, resin: ResinId) -> Iterator[ResinId]:
        """The resin, its wider terms, then the class that stands for it; nothing folds into `other`."""
        yield from self.resins.line(resin)
        row = self.resins.rows.get(resin)
        if row is not None and row.judged_as not in (OTHER, resin):
            yield row.judged_as

    def _unknown(self) -> Iterator[str]:
        known = {*self.resins.rows, *self.materials, ANY}
        used = {n for pair in self.pairs for n in pair} | {r for g in self.grades for r in g.resins}
        yield from (f"'{n}' is no resin of resins.toml" for n in sorted((used | self.good_elsewhere) - known))

    def _unsafe(self) -> Iterator[str]:
        """A share that is no share, a hazard that is tolerated, PVC that is not a hazard."""
        for (host, guest), rule in self.pairs.items():
            at = f"{guest} in {host}"
            if not 0.0 <= rule.tolerated_share <= 1.0:
                yield f"{at}: a tolerated share of {rule.tolerated_share} is not within 0 to 1"
            if rule.rating is Rating.HAZARD and rule.tolerated_share > 0.0:
                yield f"{at}: a hazard has tolerance 0"
            if guest == _PVC and rule.rating is not Rating.HAZARD:
                yield f"{at}: PVC is a hazard in anything"

    def _one_sided(self) -> Iterator[str]:
        """A pair told in one direction only; both directions are asked for at a table."""
        for host, guest in self.pairs:
            plain = {host, guest}.isdisjoint({ANY, *self.materials})
            if plain and self._pair(guest, host).silent:
                yield f"{guest} in {host} is told, {host} in {guest} is not"


def _named(rule: PairRule, host: ResinId, guest: ResinId) -> PairRule:
    """A family's rule told of the two resins that were asked for."""
    reasons = tuple(Reason.of(r.code, host=host, guest=guest) for r in rule.reasons)
    return replace(rule, host=host, guest=guest, reasons=reasons)


def _same(host: ResinId, guest: ResinId) -> PairRule:
    reason = Reason.of("pair_same", host=host, guest=guest)
    return PairRule(
        host=host, guest=guest, rating=Rating.SAME, tolerated_share=1.0, reasons=(reason,),
        why="the same resin",
    )  # fmt: skip


def _silent(host: ResinId, guest: ResinId) -> PairRule:
    return PairRule(
        host=host, guest=guest, rating=Rating.POOR, tolerated_share=0.0, silent=True, basis=Basis.JUDGEMENT,
        reasons=(Reason.of("pair_silent", host=host, guest=guest),),
        why="the table does not hold the pair, so it is kept apart",
    )  # fmt: skip


def _stricter(rule: PairRule, grade: GradeRule) -> PairRule:
    """The pair rule tightened by a grade rule; the grade's reasons come first."""
    if grade.rating.badness <= rule.rating.badness and grade.tolerated_share >= rule.tolerated_share:
        return rule
    return replace(
        rule,
        rating=max(rule.rating, grade.rating, key=lambda r: r.badness),
        tolerated_share=min(rule.tolerated_share, grade.tolerated_share),
        reasons=tuple(
            Reason.of(r.code, host=rule.host, guest=rule.guest) for r in (*grade.reasons, *rule.reasons)
        ),
        sources=tuple(dict.fromkeys((*grade.sources, *rule.sources))),
        basis=grade.basis,
        why=grade.why,
        published=(*grade.published, *rule.published),
    )
