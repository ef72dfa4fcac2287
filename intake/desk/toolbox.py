"""The table's rooms, set up once for one campaign: what is asked of every item."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from intake.desk.campaign import Campaign
from intake.handbook import Handbook
from intake.ledger.events import PartMade
from intake.spread import mean_of
from intake.table.bins.budget import Entry
from intake.table.bins.colour import colour_group
from intake.table.bins.key import bin_key
from intake.table.bins.placing import Candidate, Limits
from intake.table.charge.parts import MeasuredPart
from intake.table.charge.target import ChargePlan, ChargeSpec, charge_plan
from intake.table.compat.decision import ResinVerdict, Verdict
from intake.table.compat.rules import Rating
from intake.table.compat.verdict import VerdictLimits, resin_verdict
from intake.table.identify.evidence import Evidence
from intake.table.identify.next_test import NextTest, next_tests
from intake.table.identify.odds import Posterior
from intake.table.identify.posterior import judge
from intake.table.item import Item, Label
from intake.table.kinds import Kind
from intake.table.prep.pace import Paces
from intake.table.prep.steps import steps_left
from intake.table.resins import ResinId
from intake.table.yields.bulk import flattened_l, pile_l
from intake.table.yields.losses import Guesses
from intake.table.yields.shred import ItemYield, YieldModel
from intake.table.yields.worth import item_worth, with_worth


@dataclass(frozen=True, slots=True)
class Toolbox:
    """Everything that answers about an item, a bin or a charge of one campaign; holds no state.

    `taught` are the guesses of masses and losses that weighed shred has corrected; None: the handbook's.
    `finished` are the parts that this table has made; they correct shrinkage and charge of the next.
    """

    handbook: Handbook
    campaign: Campaign
    taught: Guesses | None = None
    finished: tuple[PartMade, ...] = ()
    model: YieldModel = field(init=False)
    plans: Mapping[str, ChargePlan] = field(init=False)
    limits: Mapping[ResinId, Limits] = field(init=False)
    paces: Paces = field(init=False)
    verdict_limits: VerdictLimits = field(init=False)

    def __post_init__(self) -> None:
        book, campaign = self.handbook, self.campaign
        model = YieldModel(book.kinds, book.losses, campaign.shredder, taught=self.taught)
        plans = {c.id: charge_plan(self.spec(c.id), book.charge) for c in campaign.charge}
        strict = VerdictLimits(
            accept_probability=campaign.limits.accept_probability,
            pvc_probability=campaign.limits.pvc_per_item,
        )
        object.__setattr__(self, "model", model)
        object.__setattr__(self, "paces", Paces.of(book.prep.hand_s, book.pace))
        object.__setattr__(self, "plans", plans)
        object.__setattr__(self, "verdict_limits", strict)
        object.__setattr__(self, "limits", {h: self._limits(h, plans) for h in campaign.hosts})

    def spec(self, charge_id: str) -> ChargeSpec:
        """The charge of the campaign with that id, with every finished part that teaches about it."""
        return spec_of(charge_id, self.campaign, self.finished)

    def odds(self, item: Item, evidence: Sequence[Evidence]) -> Posterior:
        """What the item is made of, after the evidence."""
        return judge(item.kind, evidence, self.handbook.identify)

    def next_tests(self, kind: Kind, evidence: Sequence[Evidence]) -> tuple[NextTest, ...]:
        """The tests that are left, best first: with the campaign's kit, and hot ones only where it allows them."""
        book = self.handbook.identify
        kit = book.cues.usual_kit if self.campaign.kit is None else frozenset(self.campaign.kit)
        return next_tests(kind, evidence, book, kit=kit, hot=self.campaign.hot_tests)

    def worth_cleaning(self, item: Item, odds: Posterior) -> ResinVerdict:
        """The resin verdict: accept, hold or refuse before anything is washed."""
        book = self.handbook
        told = resin_verdict(odds, item, self.campaign.hosts, book.matrix, book.resins, self.verdict_limits)
        if told.verdict is not Verdict.ACCEPT:
            return told
        steps = steps_left(item, odds.most_likely, book.prep)
        worth = item_worth("", item, self.yield_of(item), steps, self.paces, chance=told.probability)
        return with_worth(told, worth, self.campaign.limits.least_worth)

    def yield_of(self, item: Item) -> ItemYield:
        """How much clean shred the item gives."""
        return self.model.item_yield(item)

    def candidate(self, host: ResinId, item: Item, odds: Posterior, yields: ItemYield) -> Candidate:
        """The item as a bin sees it, once it is prepared: whole or trodden flat, as the campaign says."""
        colour = colour_group(item.colour, self.handbook.colours).id
        own = "label" if item.label is Label.IN_MOULD else ""  # such a film is of the wall's own resin
        kept = {m: g for m, g in yields.foreign_g.items() if mean_of(g) > 0.0 and m != own}
        return Candidate(
            key=bin_key(host, colour, item.kind.flow, odds.filled),
            entry=Entry(
                mass_g=yields.net_g + sum(kept.values()),
                chances={str(r): p for r, p in odds.probabilities.items()},
                residues=kept,
            ),
            volume_l=self.room_l(item, yields),
            physical=odds.physical or self._shape_speaks(item),
        )

    def limits_for(self, host: ResinId) -> Limits:
        """What the campaign allows in a bin or lot of that host, also where no charge asks for it any more."""
        return self.limits.get(host) or self._limits(host, self.plans)

    def room_l(self, item: Item, yields: ItemYield) -> float:
        """[L] Room that the item takes in a bin before it is shredded."""
        room = flattened_l if self.campaign.bins.filled_as == "flattened" else pile_l
        return mean_of(room([(item, yields)], self.handbook.bulk))

    def _shape_speaks(self, item: Item) -> bool:
        """True where things of this kind are so seldom PVC that the shape is an observation of its own."""
        return item.kind.prior[ResinId("PVC")] < self.verdict_limits.pvc_probability

    def _limits(self, host: ResinId, plans: Mapping[str, ChargePlan]) -> Limits:
        campaign, book = self.campaign, self.handbook
        planned = [mean_of(plans[c.id].charge_g) for c in campaign.charge if ResinId(c.resin) == host]
        return Limits(
            host=host,
            tolerances={**self._resin_tolerances(host), **book.tolerances.left_on},
            tolerance_else=book.tolerances.resin_else,
            capacity_g=campaign.bins.weight,
            capacity_l=campaign.bins.capacity / 1000.0,
            planned_mass_g=max(planned, default=campaign.bins.weight),
            chance_limit=campaign.limits.foreign_chance,
            hazard_chance=campaign.limits.pvc_per_item,
            hazard_share=campaign.limits.pvc_of_lot,
        )

    def _resin_tolerances(self, host: ResinId) -> dict[str, float]:
        """Tolerated share of every judged resin: 0 only for a hazard, 1 for what melts with the host."""
        tolerances = {}
        for resin in self.handbook.resins.judged:
            rule = self.handbook.matrix.rule(host, resin)
            if rule.rating is Rating.HAZARD:
                tolerances[str(resin)] = 0.0
            elif rule.rating.melts_together:
                tolerances[str(resin)] = 1.0
            else:
                tolerances[str(resin)] = max(rule.tolerated_share, self.handbook.tolerances.resin_else)
        return tolerances


def spec_of(charge_id: str, campaign: Campaign, finished: Sequence[PartMade] = ()) -> ChargeSpec:
    """The charge of the campaign with that id, as the charge room takes it.

    Args:
        charge_id: one of the campaign's.
        campaign: with the finished parts that its file tells.
        finished: those that the ledger tells, oldest first.
    """
    charge = next(c for c in campaign.charge if c.id == charge_id)
    return ChargeSpec(
        id=charge.id,
        resin=ResinId(charge.resin),
        cavity_cm3=charge.cavity,
        overfill_share=charge.overfill,
        flash_g=charge.flash,
        loss_share=charge.losses,
        pressed=charge.pressed,
        colours=charge.colours,
        parts=_parts_of(charge.resin, campaign, finished),
    )


def _parts_of(resin: str, campaign: Campaign, finished: Sequence[PartMade]) -> tuple[MeasuredPart, ...]:
    """The finished parts of a resin, pressed, from all charges: what they teach holds for every mould of it."""
    of_file = tuple(
        MeasuredPart(cavity_cm3=c.cavity, mass_g=p.mass, side_mm=p.side, mould_mm=p.mould)
        for c in campaign.charge
        if c.resin == resin and c.pressed
        for p in c.part
    )
    of_ledger = tuple(
        MeasuredPart(cavity_cm3=p.cavity_cm3, mass_g=p.mass_g, side_mm=p.side_mm, mould_mm=p.mould_mm)
        for p in finished
        if p.resin == resin
    )
    return (*of_file, *of_ledger)
