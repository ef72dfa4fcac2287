"""Which colour group a measured colour is proposed for: that of the named colour that looks most like it."""

from dataclasses import dataclass

from intake.table.bins.ciede2000 import delta_e_2000
from intake.table.bins.colour import WHITE, ColourTable, GroupId, Lab, group_of
from intake.table.resins import Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A colour group with the word that led to it.

    Attributes:
        group: the proposed group.
        word: the colour word of the handbook that looks most like the colour.
        delta_e: [-] ΔE00 to that word's colour, ≥ 0.
        other: the next group.
        other_delta_e: [-] ΔE00 to the nearest word of that group.
        notes: what a person should look at before taking the proposal.
    """

    group: GroupId
    word: str
    delta_e: float
    other: GroupId
    other_delta_e: float
    notes: tuple[Reason, ...] = ()


_CLOSE = 3.0
"""[-] ΔE00 by which the second group must be farther away than the first to be out of question."""


def propose_group(lab: Lab, table: ColourTable) -> Proposal:
    """The group of the nearest colour word by ΔE00, and the next one.

    Raises:
        BadInput: a part of the colour is not finite.
    """
    inside = group_of(lab, table)
    ranked = sorted((delta_e_2000(lab, known), word) for word, known in table.words.items())
    nearest: dict[GroupId, tuple[float, str]] = {}
    for delta_e, word in ranked:
        nearest.setdefault(group_of(table.words[word], table), (delta_e, word))
    (group, (delta_e, word)), (other, (other_delta_e, _)) = list(nearest.items())[:2]
    notes = []
    if other_delta_e - delta_e < _CLOSE or inside != group:
        second = inside if inside != group else other
        notes.append(Reason.of("colour_between", colour=group, other=second))
    if group == WHITE:
        notes.append(Reason.of("colour_white_or_natural"))
    return Proposal(
        group=group, word=word, delta_e=delta_e, other=other, other_delta_e=other_delta_e, notes=tuple(notes)
    )
