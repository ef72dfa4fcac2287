"""The placing verdict, after prep and weighing: which bin, a new one, or none."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite

from intake.errors import BadInput
from intake.spread import mean_of
from intake.table.bins.budget import Content, Entry, chance_over, most_chance_over, with_entry
from intake.table.bins.ids import BinId
from intake.table.bins.key import BinKey
from intake.table.compat.decision import Verdict
from intake.table.resins import Reason, ResinId

PPM = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a campaign allows in one bin of one host resin.

    Attributes:
        host: the charge's resin; always welcome.
        tolerances: [-] tolerated mass share of each material in it; 0 for a hazard, 1 where it is welcome.
        tolerance_else: [-] for a material that `tolerances` does not name, above 0.
        capacity_g: [g] a bin is full at this mass.
        capacity_l: [l] or at this volume, whichever comes first.
        planned_mass_g: [g] mass of the lot a bin grows to, > 0.
        chance_limit: [-] most allowed chance of passing a tolerance (campaign's choice; 5 % by convention).
        hazard_chance: [-] most allowed chance that one item is a material with tolerance 0.
        hazard_share: [-] most allowed expected share of such a material in the lot.
    """

    host: ResinId
    tolerances: Mapping[str, float]
    tolerance_else: float
    capacity_g: float
    capacity_l: float
    planned_mass_g: float
    chance_limit: float = 0.05
    hazard_chance: float = 0.001
    hazard_share: float = 200e-6

    def __post_init__(self) -> None:
        for name in ("tolerance_else", "capacity_g", "capacity_l", "planned_mass_g"):
            value = getattr(self, name)
            if not (isfinite(value) and value > 0.0):
                raise BadInput(where=f"Bin limits, {name}", got=value, expected="a number above 0")
        shares = {**self.tolerances, **{n: getattr(self, n) for n in ("chance_limit", "hazard_chance")}}
        for name, share in shares.items():
            if not 0.0 <= share <= 1.0:
                raise BadInput(where=f"Bin limits, {name}", got=share, expected="a share from 0 to 1")

    def tolerance(self, material: str) -> float:
        """[-] Tolerated share of a material."""
        return 1.0 if material == self.host else self.tolerances.get(material, self.tolerance_else)


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """An item ready for a bin.

    Attributes:
        key: what the bin must be.
        entry: its mass, resin odds and residues.
        volume_l: [l] room it takes as it lies there now, ≥ 0.
        physical: True when something beside a mark was observed.
    """

    key: BinKey
    entry: Entry
    volume_l: float
    physical: bool = True

    def __post_init__(self) -> None:
        if not (isfinite(self.volume_l) and self.volume_l >= 0.0):
            raise BadInput(where="Volume for the bin", got=self.volume_l, expected="0 litres or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenBin:
    """A bin that still takes items: its id, key, content, and the [l] room its content takes now."""

    id: BinId
    key: BinKey
    content: Content
    volume_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """Where the item goes; `accept` without a bin means: open a new one with this key."""

    verdict: Verdict
    bin_id: BinId | None
    key: BinKey
    reasons: tuple[Reason, ...]


def place(candidate: Candidate, bins: Sequence[OpenBin], limits: Limits) -> Placing:
    """The best open bin for an item, or a new bin, or why neither.

    Best is the fullest bin that still takes it, so that few bins stand half empty. An item that no bin may
    take for what is in it already gets a new bin; one that would spoil even that is refused, or held where
    a test could still clear it.

    Raises:
        BadInput: the limits are another host's.
    """
    if candidate.key.resin != limits.host:
        raise BadInput(where="Bin limits", got=limits.host, expected=f"limits for {candidate.key.resin}")
    if (blocked := _hazard_of_item(candidate, limits)) is not None:
        return Placing(verdict=Verdict.HOLD, bin_id=None, key=candidate.key, reasons=(blocked,))
    alike = [b for b in bins if b.key == candidate.key]
    roomy = [b for b in alike if _has_room(candidate, b, limits)]
    faults: dict[BinId, Reason] = {}
    for one in sorted(roomy, key=lambda b: (-fullness(b.content.mass_g, b.volume_l, limits), b.id)):
        after = with_entry(one.content, candidate.entry)
        risk = worst(after, limits)
        fault = _fault(candidate.entry, after, limits, risk)
        if fault is None:  # the fullest that takes it: nobody need ask the others
            return _placed(candidate.key, one.id, after, limits, risk)
        faults[one.id] = fault
    return _new_bin(candidate, len(alike), [faults[b.id] for b in roomy], limits)


def worst(content: Content, limits: Limits, among: Iterable[str] | None = None) -> tuple[str, float]:
    """The material most likely to pass its tolerance, and that chance [-]; ("", 0) where nothing can.

    Materials are taken in the order of what their chance is at most; once that lies below the highest chance
    found, no later one can beat it.
    """
    planned = limits.planned_mass_g
    bounds = sorted(
        (
            (most_chance_over(content, m, t, planned), m, t)
            for m in (content.materials if among is None else among)
            if m in content.materials and 0.0 < (t := limits.tolerance(m)) < 1.0
        ),
        reverse=True,
    )
    top, highest = "", 0.0
    for bound, material, tolerance in bounds:
        if top and bound <= highest:
            break
        chance = chance_over(content, material, tolerance, planned_mass_g=planned)
        if not top or chance > highest:
            top, highest = material, chance
    return top, highest


def fullness(mass_g: float, volume_l: float, limits: Limits) -> float:
    """[-] The larger of the two filled shares: full is the first limit reached."""
    return max(mass_g / limits.capacity_g, volume_l / limits.capacity_l)


def breaks(content: Content, limits: Limits) -> Reason | None:
    """Which limit on foreign material a whole content breaks; None where none."""
    if (hazard := _hazard_in(content, sorted(content.materials), limits)) is not None:
        return hazard
    material, chance = worst(content, limits)
    if chance <= limits.chance_limit:
        return None
    return Reason.of(
        "budget_together", material=material, over_chance=chance, limit_chance=limits.chance_limit,
        tolerated_share=limits.tolerance(material),
    )  # fmt: skip


def _hazard_in(content: Content, among: Iterable[str], limits: Limits) -> Reason | None:
    """Which material of tolerance 0 is expected to be too much; None where none is."""
    for material in among:
        share = content.expected_share(material, limits.planned_mass_g)
        if limits.tolerance(material) == 0.0 and share > limits.hazard_share:
            return Reason.of(
                "hazard_lot",
                material=material,
                expected_ppm=round(share * PPM),
                limit_ppm=round(limits.hazard_share * PPM),
            )
    return None


def _hazard_of_item(candidate: Candidate, limits: Limits) -> Reason | None:
    """Why the item may not meet any bin: too likely a material that none of it may go in."""
    for material, chance in sorted(candidate.entry.chances.items()):
        if chance > 0.0 and limits.tolerance(material) == 0.0:
            if chance > limits.hazard_chance:
                return Reason.of(
                    "hazard_item", resin=material, item_chance=chance, limit_chance=limits.hazard_chance
                )
            if not candidate.physical:
                return Reason.of("hazard_mark_only", resin=material)
    return None


def _has_room(candidate: Candidate, bin_: OpenBin, limits: Limits) -> bool:
    """True when neither grams nor litres run over."""
    mass_g = bin_.content.mass_g + mean_of(candidate.entry.mass_g)
    return mass_g <= limits.capacity_g and bin_.volume_l + candidate.volume_l <= limits.capacity_l


def _fault(entry: Entry, after: Content, limits: Limits, risk: tuple[str, float]) -> Reason | None:
    """Why a content may not come to be by this entry; None where it may. `risk` is the worst of all in it."""
    added = sorted({*(m for m, chance in entry.chances.items() if chance > 0.0), *entry.residues})
    if (hazard := _hazard_in(after, added, limits)) is not None:
        return hazard
    if risk[1] <= limits.chance_limit:  # then none that the entry adds to is above it either
        return None
    material, chance = worst(after, limits, added)
    if chance > limits.chance_limit:
        code = "budget_residue" if material in entry.residues else "budget_resin"
        return Reason.of(
            code,
            material=material,
            over_chance=chance,
            limit_chance=limits.chance_limit,
            tolerated_share=limits.tolerance(material),
        )
    return None


def _placed(key: BinKey, best: BinId, after: Content, limits: Limits, risk: tuple[str, float]) -> Placing:
    """Accepted into an open bin, with the budget said in numbers: what is in it then, and the worst of that."""
    reasons = [Reason.of("bin_fits", bin=best)]
    material, chance = risk
    if material:
        reasons.append(
            Reason.of(
                "bin_stays_clean",
                material=material,
                expected_share=after.expected_share(material, limits.planned_mass_g),
                tolerated_share=limits.tolerance(material),
                over_chance=chance,
            )
        )
    return Placing(verdict=Verdict.ACCEPT, bin_id=best, key=key, reasons=tuple(reasons))


def _new_bin(candidate: Candidate, alike: int, faults: list[Reason], limits: Limits) -> Placing:
    """A new bin where the item alone passes; otherwise held or refused with the fault."""
    alone = with_entry(Content(), candidate.entry)
    fault = _fault(candidate.entry, alone, limits, worst(alone, limits))
    if fault is not None:
        verdict = Verdict.HOLD if fault.code == "hazard_lot" else Verdict.REFUSE
        return Placing(verdict=verdict, bin_id=None, key=candidate.key, reasons=(fault,))
    code = "bin_new_first" if not alike else "bin_new_budget" if faults else "bin_new_full"
    reasons = [Reason.of(code, resin=candidate.key.resin), *faults[:1]]
    if candidate.volume_l > limits.capacity_l or mean_of(candidate.entry.mass_g) > limits.capacity_g:
        reasons.append(Reason.of("bin_overflows", volume_l=candidate.volume_l, capacity_l=limits.capacity_l))
    return Placing(verdict=Verdict.ACCEPT, bin_id=None, key=candidate.key, reasons=tuple(reasons))
