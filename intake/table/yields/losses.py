"""What comes off an item and is lost on the way to shred: the tables, and one variable per shared guess."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt
from types import MappingProxyType
from typing import TypeVar

from intake.errors import UnknownName
from intake.spread import Spread, doubtful, mean_of, of_three, sd_of
from intake.table.item import Adhesive, Item, Label, Residue
from intake.table.kinds import Kind, KindId, KindTable
from intake.table.resins import Figure

_K = TypeVar("_K", bound=str)

STAYS_ON = frozenset({Label.PRINTED, Label.IN_MOULD})
"""Labels that are part of the wall: they never come off and count as foreign matter in the shred."""


@dataclass(frozen=True, slots=True, kw_only=True)
class YieldTables:
    """Loss shares, as low, typical and high.

    Attributes:
        residue: [-] of the weight as it came, by level; food by how it runs (`food-thin`, `food-thick`, ...).
        thick_food: kinds that usually held thick food.
        drinks: kinds that usually held a drink.
        moisture: [-] of the weight after the residue.
        label: [-] of the clean body, for a label that is not the kind's usual one.
        label_left: [-] of a partly removed label that is still on.
        adhesive: [-] of the clean body, by what is seen.
        left_after_cleaning: [-] of `adhesive` or `residue` that the usual cleaning leaves behind.
        offcut: [-] of the clean body cut away before shredding, by what is cut.
        wash_and_handling: [-] of what is washed, lost down the drain or spilled.
        fines: [-] of what is cut, lost as dust, by cutting machine.
        run_to_run: [-] of the shred, by how much one run's loss differs from the next on the same machine.
        kind_variance_shared: [-] of the variance of a kind's mass that all rows of the kind share.
        town_variance_shared: [-] of the variance of a kind's mass that it shares with all other kinds; a part of
            what its rows share.
    """

    residue: Mapping[str, Figure]
    thick_food: frozenset[KindId]
    drinks: frozenset[KindId]
    moisture: Figure
    label: Mapping[Label, Figure]
    label_left: Figure
    adhesive: Mapping[Adhesive, Figure]
    left_after_cleaning: Mapping[str, Figure]
    offcut: Mapping[str, Figure]
    wash_and_handling: Figure
    fines: Mapping[str, Figure]
    run_to_run: Figure
    kind_variance_shared: Figure
    town_variance_shared: Figure

    def residue_row(self, item: Item) -> str:
        """The row of `residue` for what is left in the item; food splits by what the kind usually held."""
        if item.residue is not Residue.FOOD:
            return item.residue.value
        if item.kind.id in self.thick_food:
            return "food-thick"
        return "food-drink" if item.kind.id in self.drinks else "food-thin"


def spread_of(figure: Figure, tag: str) -> Spread:
    """The figure as one new variable; a figure without range is a plain float."""
    if figure.low == figure.high:
        return figure.typical
    return of_three(figure.low, figure.typical, figure.high, tag)


@dataclass(frozen=True, slots=True, kw_only=True)
class KindGuess:
    """What is guessed of one kind.

    Attributes:
        body_g: [g] one clean body; the part of the doubt that all rows of the kind share.
        body_own_sd_g: [g] the part of the doubt that each row has for itself.
        closure_g: [g] one closure; 0 where the kind has none.
        label_share: [-] usual label / clean body.
        total_g: [g] mean of body and closure together.
    """

    body_g: Spread
    body_own_sd_g: float
    closure_g: Spread
    label_share: Spread
    total_g: float

    @classmethod
    def of(cls, kind: Kind, shared: float, town: float, z_town: Spread) -> "KindGuess":
        """The guess from the kinds table.

        body = mean + sd (sqrt(town) Ztown + sqrt(shared - town) Zkind + sqrt(1 - shared) Zrow). The pieces of one
        row are one draw.

        Args:
            kind: the row of the table.
            shared: [-] the part of the variance that rows of the kind have in common.
            town: [-] the part of it that all kinds have in common.
            z_town: the standard variable of that part, the same for all kinds.
        """
        tag = f"{kind.id} body"
        whole = spread_of(kind.body_g, tag)
        mean, sd = mean_of(whole), sd_of(whole)
        body_g = mean + sqrt(shared - town) * (whole - mean) + sqrt(town) * sd * z_town
        closure_g = spread_of(kind.closure_g, f"{kind.id} closure") if kind.closure_g else 0.0
        return cls(
            body_g=body_g,
            body_own_sd_g=sqrt(1.0 - shared) * sd,
            closure_g=closure_g,
            label_share=spread_of(kind.label_share, f"{kind.id} label"),
            total_g=mean + mean_of(closure_g),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Guesses:
    """One variable per shared guess, so that sums over items keep the error they have in common.

    Attributes:
        kinds: by kind.
        residue: [-] by row of the residue table.
        moisture: [-].
        label_share: [-] of labels that are not the kind's usual one.
        label_left: [-] of a partly removed label.
        adhesive_share: [-] by what is seen.
        left_after_cleaning: [-] `adhesive`, `residue`.
        kept: [-] shred mass / clean net mass of this shredder.
    """

    kinds: Mapping[KindId, KindGuess]
    residue: Mapping[str, Spread]
    moisture: Spread
    label_share: Mapping[Label, Spread]
    label_left: Spread
    adhesive_share: Mapping[Adhesive, Spread]
    left_after_cleaning: Mapping[str, Spread]
    kept: Spread

    @classmethod
    def of(cls, kinds: KindTable, tables: YieldTables, shredder: str, offcut: str) -> "Guesses":
        """Fresh variables for one table with one shredder.

        Raises:
            UnknownName: the tables know no such shredder or offcut.
        """
        shared = tables.kind_variance_shared.typical
        town, z_town = tables.town_variance_shared.typical, doubtful(0.0, 1.0, "town")
        return cls(
            kinds=MappingProxyType(
                {k: KindGuess.of(kind, shared, town, z_town) for k, kind in kinds.rows.items()}
            ),
            residue=_each(tables.residue, "residue"),
            moisture=spread_of(tables.moisture, "moisture"),
            label_share=_each(tables.label, "label"),
            label_left=spread_of(tables.label_left, "label partly off"),
            adhesive_share=_each(tables.adhesive, "adhesive"),
            left_after_cleaning=_each(tables.left_after_cleaning, "left after cleaning"),
            kept=kept_share(tables, shredder, offcut),
        )

    def label(self, item: Item) -> Spread:
        """[-] Label mass / clean body; the kind's own figure where it wears its usual label."""
        usual = item.label == item.kind.label and item.label not in STAYS_ON
        return self.kinds[item.kind.id].label_share if usual else self.label_share[item.label]


def kept_share(tables: YieldTables, shredder: str, offcut: str) -> Spread:
    """[-] Shred mass / clean net mass, as one new variable for each loss on the way.

    Raises:
        UnknownName: the tables know no such shredder or offcut.
    """
    for name, known, where in ((shredder, tables.fines, "Shredder"), (offcut, tables.offcut, "Offcut")):
        if name not in known:
            raise UnknownName(where=where, got=name, known=known)
    kept = (
        (1.0 - spread_of(tables.offcut[offcut], "offcut"))
        * (1.0 - spread_of(tables.wash_and_handling, "wash and handling"))
        * (1.0 - spread_of(tables.fines[shredder], f"fines {shredder}"))
    )
    sd_of(kept)  # works the product out once, so that every item that uses it finds it ready
    return kept


def _each(rows: Mapping[_K, Figure], tag: str) -> Mapping[_K, Spread]:
    """A variable for each row."""
    return MappingProxyType({key: spread_of(figure, f"{tag} {key}") for key, figure in rows.items()})
