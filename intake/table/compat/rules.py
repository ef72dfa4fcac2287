"""One rule of the matrix: how two resins, or two forms of one resin, melt together."""

from dataclasses import dataclass
from enum import StrEnum

from intake.table.compat.decision import Verdict
from intake.table.resins import Basis, Reason, ResinId


class Rating(StrEnum):
    """How a guest does in a host, best first."""

    SAME = "same"
    GOOD = "good"
    LIMITED = "limited"
    POOR = "poor"
    HAZARD = "hazard"

    @property
    def melts_together(self) -> bool:
        """True when the two may be one batch."""
        return self in (Rating.SAME, Rating.GOOD)

    @property
    def badness(self) -> int:
        """0 for `same` up to 4 for `hazard`."""
        return list(Rating).index(self)


class PublishedKind(StrEnum):
    """What a published statement says about a share."""

    MAXIMUM = "maximum"
    LIMITED = "limited"
    ACCEPTED = "accepted"
    HARM_FROM = "harm-from"
    EXCLUDE = "exclude"
    DISPUTED = "disputed"
    ADDITIVE = "additive"
    FILLER = "filler"
    SEPARATE = "separate"
    FOR = "for"
    AGAINST = "against"
    REMARK = "remark"

    @property
    def is_ceiling(self) -> bool:
        """True when the figure bounds what we may plan for."""
        return self in (PublishedKind.MAXIMUM, PublishedKind.LIMITED, PublishedKind.EXCLUDE)


class Form(StrEnum):
    """How a piece was made, where that decides how it melts."""

    BLOW = "blow"
    INJECTION = "injection"
    FILM = "film"
    FILLED = "filled"
    FOAMED = "foamed"
    CROSS_LINKED = "cross-linked"


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """A statement somebody published about the pair.

    Attributes:
        fact: key of its sentence (`fact.<fact>` in the words).
        kind: what the figure means.
        value: [-] mass share of the guest in the host; None where no figure was printed.
        source: key of `sources.toml`.
    """

    fact: str
    kind: PublishedKind
    value: float | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PairRule:
    """What happens to `guest` in `host`.

    Attributes:
        host: what the batch is.
        guest: what would be added.
        rating: how well they go together.
        tolerated_share: [-] mass share of the guest that we plan for, 0..1; always our own estimate.
        reasons: why, the most important first.
        hazards: keys of what it gives off (`hazard.<key>` in the words).
        sources: keys of `sources.toml` behind the rating.
        basis: where the rating comes from.
        why: one line where the share or the rating is our own; empty for the table's usual share.
        published: what others printed about the pair.
        silent: True when the table holds no row and the rule is only caution.
    """

    host: ResinId
    guest: ResinId
    rating: Rating
    tolerated_share: float
    reasons: tuple[Reason, ...]
    hazards: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    basis: Basis = Basis.JUDGEMENT
    why: str = ""
    published: tuple[Published, ...] = ()
    silent: bool = False

    def verdict_at(self, share: float) -> Verdict:
        """What a mass share [-] of the guest means: accept within the tolerated share, else refuse.

        A pair that the table does not hold is held: somebody must find out first.
        """
        if share <= self.tolerated_share:
            return Verdict.ACCEPT
        return Verdict.HOLD if self.silent else Verdict.REFUSE


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeRule:
    """What one form of a resin does in another form of the same resin; fields as in `PairRule`."""

    resins: frozenset[ResinId]
    host_forms: frozenset[Form]
    guest_forms: frozenset[Form]
    rating: Rating
    tolerated_share: float
    reasons: tuple[Reason, ...]
    sources: tuple[str, ...] = ()
    basis: Basis = Basis.JUDGEMENT
    why: str = ""
    published: tuple[Published, ...] = ()

    def applies(self, resin: ResinId, host_form: Form, guest_form: Form) -> bool:
        """True when the rule speaks of these two forms of this resin; equal forms only where it says so."""
        if host_form == guest_form and guest_form is not Form.CROSS_LINKED:
            return False
        return resin in self.resins and host_form in self.host_forms and guest_form in self.guest_forms
