"""Clean shred mass with its doubt: what was received, what comes off, what is left, what is lost in cutting.

How the sheet is read, for items that wear a closure, a label, glue and what is left of their content:

- weighed as received: what lies on the scale and is to come off is estimated and subtracted;
- weighed prepared: what is still on is subtracted; what came off before (an `off` closure, a removed label,
  the residue it was found with, washed off) is estimated and added to the received mass;
- not weighed: the kind's mass times the count, as it came: with closure and label.

Parts entered as items of their own (`split_g`) leave the received mass of an item that was weighed or guessed
whole; they were never on the scale of one that was weighed prepared. Either way its closure counts no more.
received = net + removed, always.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from intake.errors import BadInput
from intake.spread import Spread, mean_of
from intake.table.item import Closure, Item, Label, LabelOff, Weighing
from intake.table.kinds import KindTable
from intake.table.resins import Reason
from intake.table.yields.item_mass import (
    check_count,
    guessed_bodies_g,
    guessed_closures_g,
    scale_g,
    unlike_kind,
)
from intake.table.yields.losses import STAYS_ON, Guesses, YieldTables

REMOVED = ("closure", "label", "adhesive", "residue", "moisture")
FOREIGN = ("closure", "label", "adhesive", "residue")


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemYield:
    """What one row of items gives.

    Attributes:
        received_g: [g] as it came, without parts entered on their own.
        removed: [g] what comes off, by `closure`, `label`, `adhesive`, `residue`, `moisture`.
        net_g: [g] clean plastic; received = net + removed.
        shred_g: [g] clean shred after washing and cutting losses.
        foreign_g: [g] what goes into the bin with it, by `closure`, `label`, `adhesive`, `residue`: of a
            prepared item what is still on; of others what cannot come off or cleaning leaves behind.
        estimated: True where the mass is the kind's and no scale was used.
        reasons: what a person should know about the figure.
    """

    received_g: Spread
    removed: Mapping[str, Spread]
    net_g: Spread
    shred_g: Spread
    foreign_g: Mapping[str, Spread]
    estimated: bool
    reasons: tuple[Reason, ...] = ()

    @property
    def removed_g(self) -> Spread:
        """[g] All that comes off."""
        return sum(self.removed.values())


@dataclass(frozen=True, slots=True)
class YieldModel:
    """The yield of items at one table with one shredder; two yields of one model know what they share.

    Attributes:
        kinds: what items weigh and wear.
        tables: loss shares.
        shredder: row of the fines table.
        offcut: row of the offcut table: what is cut away before shredding.
        taught: guesses that weighed shred has corrected; None: the tables' own.
        guesses: one variable per shared guess: the taught ones, or new ones made here.
    """

    kinds: KindTable
    tables: YieldTables
    shredder: str = "granulator"
    offcut: str = "none"
    taught: Guesses | None = None
    guesses: Guesses = field(init=False)

    def __post_init__(self) -> None:
        fresh = self.taught or Guesses.of(self.kinds, self.tables, self.shredder, self.offcut)
        object.__setattr__(self, "guesses", fresh)

    def item_yield(self, item: Item, *, keep_closure: bool = False) -> ItemYield:
        """What the item gives; all masses are spreads in grams for all its pieces together.

        Args:
            item: of a kind of this model's table.
            keep_closure: True where a closure that is on is of the same family and goes to the shred with it;
                closures come off by default.

        Raises:
            BadInput: the weight, the count or the split-off mass cannot be used.
        """
        check_count(item)
        if item.weighed is None or item.gross_g is None:
            return self._guessed(item, keep_closure=keep_closure)
        if item.weighed is Weighing.PREPARED:
            return self._prepared(item, keep_closure=keep_closure)
        return self._as_received(item, keep_closure=keep_closure)

    def _as_received(self, item: Item, *, keep_closure: bool) -> ItemYield:
        """From a weight before prep: what is still on comes off it."""
        guess, on_scale_g = self.guesses.kinds[item.kind.id], scale_g(item)
        received_g = on_scale_g - item.split_g if item.split_g else on_scale_g
        if mean_of(received_g) <= 0:
            raise BadInput(
                where=f"Parts split off {item.kind.id}",
                got=f"{item.split_g:g} g",
                expected=f"less than the weight they came from, {mean_of(on_scale_g):g} g",
            )
        residue_g = received_g * self.guesses.residue[self.tables.residue_row(item)]
        moisture_g = (received_g - residue_g) * self.guesses.moisture
        dry_g = received_g - residue_g - moisture_g
        on = item.closure is Closure.ON and not item.split_g
        closure_g = guessed_closures_g(item, guess, dry_g) if on else 0.0
        label = self._label_on(item)
        adhesive = self.guesses.adhesive_share[item.adhesive]
        body_g = (dry_g - closure_g) / (1.0 + label + adhesive)
        removed = _removed(closure_g, label * body_g, adhesive * body_g, residue_g, moisture_g)
        return self._made(item, received_g, removed, body_g, keep_closure=keep_closure and on)

    def _prepared(self, item: Item, *, keep_closure: bool) -> ItemYield:
        """From a weight after prep: what is still on comes off it, what came off before is added."""
        guess, on_scale_g = self.guesses.kinds[item.kind.id], scale_g(item)
        moisture_g = on_scale_g * self.guesses.moisture
        dry_g = on_scale_g - moisture_g
        on = item.closure is Closure.ON and not item.split_g
        closure_on_g = guessed_closures_g(item, guess, dry_g) if on else 0.0
        share, label_on = self._label_share(item), self._label_on(item)
        adhesive = self.guesses.adhesive_share[item.adhesive]
        body_g = (dry_g - closure_on_g) / (1.0 + label_on + adhesive)
        came_off_g = (share - label_on) * body_g
        closure_off_g = 0.0
        if item.closure is Closure.OFF and not item.split_g:
            closure_off_g = guessed_closures_g(item, guess, dry_g)
        before_wash_g = on_scale_g + came_off_g + closure_off_g
        residue_g = _added(before_wash_g, self.guesses.residue[self.tables.residue_row(item)])
        removed = _removed(
            closure_on_g + closure_off_g, share * body_g, adhesive * body_g, residue_g, moisture_g
        )
        return self._made(
            item, before_wash_g + residue_g, removed, body_g, label_on_g=label_on * body_g,
            closure_on_g=closure_on_g, keep_closure=keep_closure and on,
        )  # fmt: skip

    def _guessed(self, item: Item, *, keep_closure: bool) -> ItemYield:
        """From the kinds table: body times count, and everything that such an item wore as it came."""
        guess = self.guesses.kinds[item.kind.id]
        body_g = guessed_bodies_g(item, guess)
        worn = item.closure is not Closure.NONE and item.kind.closure_g is not None
        if item.split_g and not worn:
            body_g = body_g - item.split_g
            if mean_of(body_g) <= 0:
                expected = f"less than what they were part of, about {mean_of(body_g) + item.split_g:.0f} g"
                raise BadInput(
                    where=f"Parts split off {item.kind.id}", got=f"{item.split_g:g} g", expected=expected
                )
        closure_g = guessed_closures_g(item, guess) if worn and not item.split_g else 0.0
        label_g = self._label_share(item) * body_g
        adhesive_g = self.guesses.adhesive_share[item.adhesive] * body_g
        dry_g = body_g + closure_g + label_g + adhesive_g
        moisture_g = _added(dry_g, self.guesses.moisture)
        residue_g = _added(dry_g + moisture_g, self.guesses.residue[self.tables.residue_row(item)])
        removed = _removed(closure_g, label_g, adhesive_g, residue_g, moisture_g)
        keep = keep_closure and item.closure is Closure.ON and not item.split_g
        return self._made(item, dry_g + moisture_g + residue_g, removed, body_g, keep_closure=keep)

    def _made(
        self, item: Item, received_g: Spread, removed: dict[str, Spread], body_g: Spread, *,
        label_on_g: Spread = 0.0, closure_on_g: Spread = 0.0, keep_closure: bool,
    ) -> ItemYield:  # fmt: skip
        """The yield from its parts; a kept closure moves from what comes off to the net mass."""
        prepared = item.weighed is Weighing.PREPARED and item.gross_g is not None
        left = self.guesses.left_after_cleaning
        net_g = body_g
        if keep_closure:
            net_g, removed["closure"], closure_on_g = body_g + removed["closure"], 0.0, 0.0
        foreign = {
            "closure": closure_on_g,
            "label": self.guesses.label(item) * body_g if item.label in STAYS_ON else label_on_g,
            "adhesive": removed["adhesive"] if prepared else removed["adhesive"] * left["adhesive"],
            "residue": removed["residue"] * left["residue"],
        }
        weighed = item.gross_g is not None and item.weighed is not None
        unlike = unlike_kind(item, mean_of(item.gross_g) - item.tare_g) if weighed else None
        reasons = (unlike,) if unlike else ()
        if not weighed:
            reasons = (Reason.of("mass_estimated", kind=item.kind.names[0], count=item.count),)
        return ItemYield(
            received_g=received_g, removed=removed, net_g=net_g, shred_g=net_g * self.guesses.kept,
            foreign_g=foreign, estimated=not weighed, reasons=reasons,
        )  # fmt: skip

    def _label_share(self, item: Item) -> Spread:
        """[-] The whole label / clean body; 0 for one that never comes off."""
        return 0.0 if item.label in STAYS_ON or item.label is Label.NONE else self.guesses.label(item)

    def _label_on(self, item: Item) -> Spread:
        """[-] Label still on / clean body."""
        if item.label_off is LabelOff.YES:
            return 0.0
        share = self._label_share(item)
        return share * self.guesses.label_left if item.label_off is LabelOff.PARTLY else share


def _added(clean_g: Spread, share: Spread) -> Spread:
    """[g] What has to be added to `clean_g` so that it is `share` of the sum."""
    return clean_g * (share / (1.0 - share))


def _removed(
    closure_g: Spread, label_g: Spread, adhesive_g: Spread, residue_g: Spread, moisture_g: Spread
) -> dict[str, Spread]:
    """What comes off, by name, in the order it is said."""
    return dict(zip(REMOVED, (closure_g, label_g, adhesive_g, residue_g, moisture_g), strict=True))
