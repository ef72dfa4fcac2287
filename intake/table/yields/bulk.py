"""How much room it takes: litres of pile → litres of shred → litres of melt → litres of solid."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from intake.errors import UnknownName
from intake.spread import Spread, mean_of, total
from intake.table.item import Item
from intake.table.kinds import Flow
from intake.table.resins import Figure, ResinId
from intake.table.yields.losses import spread_of
from intake.table.yields.shred import ItemYield

_CM3_PER_L = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BulkTables:
    """Room per mass, whole and cut.

    Attributes:
        shred_g_cm3: [g/cm3] by form of shred, for any resin.
        shred_by_resin_g_cm3: [g/cm3] by form and resin, where a resin has its own.
        packing_share: [-] share of a pile's room that whole containers fill.
        outer_per_content: [-] outer volume / nominal content of a container.
        loose_g_cm3: [g/cm3] whole items that hold nothing, loose: `film`, `cap`, `other`.
        flattened_g_cm3: [g/cm3] containers trodden flat, loose.
        form_of: form of shred by cutting machine and by how the items were made.
    """

    shred_g_cm3: Mapping[str, Figure]
    shred_by_resin_g_cm3: Mapping[tuple[str, ResinId], Figure]
    packing_share: Figure
    outer_per_content: Figure
    loose_g_cm3: Mapping[str, Figure]
    flattened_g_cm3: Figure
    form_of: Mapping[tuple[str, Flow], str]

    def shred(self, form: str, resin: ResinId) -> Figure:
        """[g/cm3] Bulk density of shred of that form; the resin's own where there is one.

        Raises:
            UnknownName: no such form of shred.
        """
        if form not in self.shred_g_cm3:
            raise UnknownName(where="Form of shred", got=form, known=self.shred_g_cm3)
        return self.shred_by_resin_g_cm3.get((form, resin), self.shred_g_cm3[form])


@dataclass(frozen=True, slots=True, kw_only=True)
class Boxes:
    """The four boxes in litres, each as a spread; what a person sees shrink."""

    pile_l: Spread
    shred_l: Spread
    melt_l: Spread
    solid_l: Spread


def boxes(
    rows: Iterable[tuple[Item, ItemYield]], tables: BulkTables, form: str, resin: ResinId,
    melt_g_cm3: Spread, solid_g_cm3: Spread,
) -> Boxes:  # fmt: skip
    """The four boxes of some items of one resin.

    Args:
        rows: the items with their yields.
        tables: bulk densities.
        form: form of shred, such as `granulator-flake`.
        resin: whose own bulk density is used where there is one.
        melt_g_cm3: [g/cm3] at melt temperature, > 0.
        solid_g_cm3: [g/cm3] cold, > 0.

    Raises:
        UnknownName: no such form of shred.
    """
    pairs = list(rows)
    shred_g = total(row.shred_g for _, row in pairs)
    return Boxes(
        pile_l=pile_l(pairs, tables),
        shred_l=shred_g / spread_of(tables.shred(form, resin), f"bulk {form}") / _CM3_PER_L,
        melt_l=shred_g / melt_g_cm3 / _CM3_PER_L,
        solid_l=shred_g / solid_g_cm3 / _CM3_PER_L,
    )


def pile_l(rows: Iterable[tuple[Item, ItemYield]], tables: BulkTables) -> Spread:
    """[L] Room of whole items in one loose pile.

    Containers by shape: count * content * outer / packing; the rest by mass / loose density. Whole, neither
    nested nor flattened. Published loose densities (14 to 24 kg/m3) are for heavier or flattened loads.
    """
    content_l = 0.0
    masses: dict[str, list[Spread]] = {name: [] for name in tables.loose_g_cm3}
    for item, row in rows:
        if item.kind.volume_ml is not None:
            content_l += item.count * item.kind.volume_ml / _CM3_PER_L
        else:
            masses[_loose_row(item)].append(row.received_g)
    outer = spread_of(tables.outer_per_content, "outer per content")
    packing = spread_of(tables.packing_share, "packing")
    loose_l = [
        total(parts) / spread_of(tables.loose_g_cm3[name], f"loose {name}") / _CM3_PER_L
        for name, parts in masses.items()
        if parts
    ]
    return content_l * outer / packing + total(loose_l)


def flattened_l(rows: Iterable[tuple[Item, ItemYield]], tables: BulkTables) -> Spread:
    """[L] Room of items whose containers are trodden flat: by mass, and never more than they take whole.

    Source: loose density of flattened milk jugs as printed (S-MILK); other walls are our guess around it.
    """
    density = spread_of(tables.flattened_g_cm3, "flattened")
    parts = []
    for item, row in rows:
        whole_l = pile_l([(item, row)], tables)
        flat_l = row.received_g / density / _CM3_PER_L
        holds = item.kind.volume_ml is not None
        parts.append(flat_l if holds and mean_of(flat_l) < mean_of(whole_l) else whole_l)
    return total(parts)


def shred_l(mass_g: Spread, tables: BulkTables, shredder: str, flow: Flow, resin: ResinId) -> Spread:
    """[L] Room of a mass [g] of shred, lightly settled, as this cutting machine makes it.

    Raises:
        UnknownName: the tables know no such machine.
    """
    form = tables.form_of.get((shredder, flow))
    if form is None:
        raise UnknownName(where="Shredder", got=shredder, known=[s for s, _ in tables.form_of])
    return mass_g / spread_of(tables.shred(form, resin), f"bulk {form}") / _CM3_PER_L


def _loose_row(item: Item) -> str:
    """Which loose density stands for an item that holds nothing."""
    if item.kind.flow is Flow.FILM:
        return "film"
    return "cap" if item.kind.id == "bottle-cap" else "other"
