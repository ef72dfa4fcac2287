"""What lands on the table, as kinds of item: what they are mostly made of, weigh and wear."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import NewType

from intake.errors import UnknownName
from intake.table.resins import Figure, ResinId

KindId = NewType("KindId", str)
OTHER_KIND = KindId("other")


class Flow(StrEnum):
    """Melt-flow class, named by how the item was formed: blow flows least, injection most."""

    BLOW = "blow"
    INJECTION = "injection"
    FILM = "film"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of item.

    Attributes:
        id: our own word for it, with the size where that matters (`jug-4l`).
        names: what a person may type; the first is shown.
        prior: [-] probability of each judged resin before anything is looked at; sums to 1.
        body_g: [g] one piece without closure, label and content.
        closure_g: [g] closure of one piece; None where it has none.
        closure_resins: what the closure is usually made of; empty where it is mixed (a pump, a trigger).
        label: the usual label (`none`, `paper`, `film`, `sleeve`, `in-mould`, `printed`).
        label_share: [-] label mass / body mass.
        flow: melt-flow class of the body.
        volume_ml: [ml] nominal content; None where it holds nothing.
        flags: words that rules look for: `may-be-pvc`, `old-pigments`, `flame-retardant`, `medicine`, `film`.
        picture: name of the drawing that shows it.
    """

    id: KindId
    names: tuple[str, ...]
    prior: Mapping[ResinId, float]
    body_g: Figure
    closure_g: Figure | None
    closure_resins: tuple[ResinId, ...]
    label: str
    label_share: Figure
    flow: Flow
    volume_ml: float | None
    flags: frozenset[str]
    picture: str = "other"


@dataclass(frozen=True, slots=True)
class KindTable:
    """All kinds by id; names are matched without case. `common` are those that most bags hold."""

    rows: Mapping[KindId, Kind]
    common: tuple[KindId, ...] = ()

    def find(self, text: str) -> Kind | None:
        """The kind that `text` names by id or by one of its names; None where nobody knows it."""
        key = " ".join(text.replace("-", " ").replace("_", " ").casefold().split())
        for kind in self.rows.values():
            words = (kind.id, *kind.names)
            if key in {" ".join(w.replace("-", " ").casefold().split()) for w in words}:
                return kind
        return None

    def get(self, text: str, *, where: str = "Kind") -> Kind:
        """The kind that `text` names.

        Raises:
            UnknownName: nobody knows it; the nearest names are given.
        """
        kind = self.find(text)
        if kind is None:
            known = [n for k in self.rows.values() for n in k.names]
            raise UnknownName(where=where, got=text, known=known)
        return kind
