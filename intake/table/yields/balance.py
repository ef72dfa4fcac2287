"""The mass balance, defined once for the whole house.

received = accepted net + held + refused + removed;
accepted net = shred + process loss + not yet shredded + unexplained.

Masses are rounded to 1e-6 g and added as whole micrograms, so that the sums are exact and do not depend on
the order of adding. No scale at a table shows less than 0.01 g.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import isfinite
from types import MappingProxyType

from intake.errors import BadInput, Finding
from intake.spread import mean_of
from intake.table.compat.decision import Verdict
from intake.table.yields.shred import REMOVED, ItemYield

_MICRO = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Where the received mass went; all masses in g, means.

    Attributes:
        received_g: [g] all that came, without parts entered twice.
        accepted_g: [g] net mass of accepted items.
        held_g: [g] held items as they came.
        refused_g: [g] refused items as they came.
        removed: [g] what came off accepted items, by closure, label, adhesive, residue, moisture.
        shred_g: [g] shred that was weighed.
        process_loss_g: [g] fines, offcuts and spills of what was shredded, weighed or expected.
        not_yet_shredded_g: [g] accepted net mass that still waits.
        explainable_g: [g] how much the scales can explain of a difference, >= 0.
        doubt_g: [g] how much the doubt of losses and of unweighed masses explains with it, >= 0.
    """

    received_g: float
    accepted_g: float
    held_g: float
    refused_g: float
    removed: Mapping[str, float]
    shred_g: float = 0.0
    process_loss_g: float = 0.0
    not_yet_shredded_g: float | None = None
    explainable_g: float = 0.0
    doubt_g: float = 0.0
    unexplained_g: float = field(init=False)
    """[g] Accepted net mass that is neither shred, nor loss, nor waiting; below 0 where more came out."""

    def __post_init__(self) -> None:
        masses = ("received_g", "accepted_g", "held_g", "refused_g", "shred_g", "process_loss_g")
        for name in (*masses, "explainable_g", "doubt_g"):
            object.__setattr__(self, name, _rounded(name, getattr(self, name)))
        removed = {key: _rounded(f"removed {key}", value) for key, value in self.removed.items()}
        object.__setattr__(self, "removed", MappingProxyType(removed))
        used = _micro(self.shred_g) + _micro(self.process_loss_g)
        waiting = self.not_yet_shredded_g
        if waiting is None:
            waiting = max(_micro(self.accepted_g) - used, 0) / _MICRO
        object.__setattr__(self, "not_yet_shredded_g", _rounded("not_yet_shredded_g", waiting))
        left = _micro(self.accepted_g) - used - _micro(self.not_yet_shredded_g or 0.0)
        object.__setattr__(self, "unexplained_g", left / _MICRO)

    @property
    def removed_g(self) -> float:
        """[g] All that came off."""
        return sum(map(_micro, self.removed.values())) / _MICRO

    @property
    def gap_g(self) -> float:
        """[g] Received mass that no part of the balance accounts for; 0 when it closes."""
        parts = (self.accepted_g, self.held_g, self.refused_g, *self.removed.values())
        return (_micro(self.received_g) - sum(map(_micro, parts))) / _MICRO

    @property
    def flagged(self) -> bool:
        """True where more is unexplained than the scales can explain."""
        return abs(self.unexplained_g) > self.explainable_g + 1.0 / _MICRO

    def close(self) -> tuple[Finding, ...]:
        """What does not add up: nothing where both lines of the balance hold.

        The first line must hold to one microgram per part (each was rounded once). What is unexplained in the
        second is a finding only beyond what the scales can explain.
        """
        findings = []
        if abs(_micro(self.gap_g)) > len(self.removed) + 4:
            expected = "received = accepted + held + refused + removed"
            findings.append(Finding(where="Mass balance", got=f"{self.gap_g:.6f} g apart", expected=expected))
        if self.flagged:
            expected = f"no more than the {self.explainable_g:g} g that the scales can explain"
            findings.append(
                Finding(where="Mass of shred", got=f"{self.unexplained_g:g} g unexplained", expected=expected)
            )
        return tuple(findings)


def balance_of(rows: Iterable[tuple[Verdict, ItemYield]]) -> Balance:
    """The balance of received items by their verdict, before anything is shredded.

    An accepted row counts its net mass and what comes off; a held or refused row counts as it came.
    """
    received, kept, removed = 0, dict.fromkeys(Verdict, 0), dict.fromkeys(REMOVED, 0)
    for verdict, row in rows:
        whole = _micro(mean_of(row.received_g))
        received += whole
        if verdict is not Verdict.ACCEPT:
            kept[verdict] += whole
            continue
        off = {key: _micro(mean_of(mass_g)) for key, mass_g in row.removed.items()}
        for key, micro in off.items():
            removed[key] += micro
        kept[verdict] += whole - sum(off.values())  # the net mass, to the microgram that rounding leaves
    return Balance(
        received_g=received / _MICRO, accepted_g=kept[Verdict.ACCEPT] / _MICRO,
        held_g=kept[Verdict.HOLD] / _MICRO, refused_g=kept[Verdict.REFUSE] / _MICRO,
        removed={key: micro / _MICRO for key, micro in removed.items()},
    )  # fmt: skip


def _micro(mass_g: float) -> int:
    """The mass in whole micrograms."""
    return round(mass_g * _MICRO)


def _rounded(name: str, mass_g: float) -> float:
    """The mass to 1e-6 g.

    Raises:
        BadInput: below zero or not finite.
    """
    if not isfinite(mass_g) or mass_g < 0:
        raise BadInput(where=f"Mass balance, {name}", got=f"{mass_g:g} g", expected="a mass of 0 g or more")
    return _micro(mass_g) / _MICRO
