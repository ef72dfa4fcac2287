"""What follows from a mark: for sorting, for the float test, for the melt, and how far to believe it."""

from collections.abc import Iterator

from intake.table.identify.mark_reading import NOT_PLASTIC, PLASTIC, Filler, Layer, MarkReading
from intake.table.identify.mark_tables import EU_97_129, GB_16288, MarkTables, Term
from intake.table.resins import OTHER, Reason

_WATER_G_CM3 = 1.0


def filled_density_g_cm3(layer: Layer, tables: MarkTables) -> float | None:
    """[g/cm3] Density of one polymer with its fillers: 1 / (Σ mass share / density), no voids.

    Returns:
        None for blends, foams, unknown filler shares, and where a density is not in the tables.

    Source: rule of mixtures by volume, textbook (from memory).
    """
    if len(layer.components) != 1 or layer.flame_retarded or layer.plasticizers:
        return None
    term = tables.terms.get(layer.components[0].resin.upper())
    if term is None or term.foam or term.density_g_cm3 is None:
        return None
    polymer, volume_cm3_g = 1.0, 0.0
    for filler in layer.fillers:
        density_g_cm3 = _filler_density_g_cm3(filler, tables)
        if filler.percent is None or density_g_cm3 is None:
            return None
        polymer -= filler.percent / 100.0
        volume_cm3_g += filler.percent / 100.0 / density_g_cm3
    return 1.0 / (volume_cm3_g + polymer / term.density_g_cm3.typical)


def _filler_density_g_cm3(filler: Filler, tables: MarkTables) -> float | None:
    """[g/cm3] Solid density of a filler, or of its metal where the mark names one."""
    if filler.element:
        return tables.elements[filler.element.upper()].density_g_cm3.typical
    figure = next((f.density_g_cm3 for f in tables.fillers.values() if f.material == filler.material), None)
    return figure.typical if figure else None


def consequences(reading: MarkReading, tables: MarkTables) -> tuple[Reason, ...]:
    """Every note that follows from what a valid mark says, the gravest first."""
    found: list[Reason] = []
    if reading.kind == PLASTIC:
        for layer in reading.layers:
            found += _flame(layer, tables)
            found += _polymers(layer, tables)
        found += _several(reading)
        for layer in reading.layers:
            found += _additions(layer, reading, tables)
    found += _number(reading, tables)
    if reading.kind == PLASTIC and len(reading.layers) == 1 and not _refused(found):
        found.append(Reason.of("mark_no_proof"))
    return tuple(dict.fromkeys(found))


def _refused(notes: list[Reason]) -> bool:
    """True when a note already says that it goes nowhere, so that no further test is worth its minutes."""
    return any(
        n.code in {"mark_flame_halogen", "mark_flame_unnamed", "mark_halogen", "mark_no_remelt"}
        for n in notes
    )


def _terms(layer: Layer, tables: MarkTables) -> Iterator[Term]:
    """The known terms of a layer."""
    for component in layer.components:
        term = tables.terms.get(component.resin.upper())
        if term:
            yield term


def _flame(layer: Layer, tables: MarkTables) -> Iterator[Reason]:
    """Flame retardants: halogens and unnamed ones are refused, others kept apart."""
    if layer.flame_retarded and not layer.flame_retardant:
        yield Reason.of("mark_flame_unnamed")
    for code in layer.flame_retardant:
        row = tables.flame_retardants[code]
        kind = "mark_flame_halogen" if row.halogen else "mark_flame_other"
        yield Reason.of(kind, flame_code=str(code), meaning=row.meaning)


def _polymers(layer: Layer, tables: MarkTables) -> Iterator[Reason]:
    """What the polymers themselves bring: halogens, no melting, no row in the resin table."""
    for term in _terms(layer, tables):
        if term.halogen:
            yield Reason.of("mark_halogen", resin=term.id, halogen=term.halogen)
        if not term.remelts:
            yield Reason.of("mark_no_remelt", resin=term.id, name=term.name)
        if term.listed == OTHER and term.id != OTHER and term.remelts:
            yield Reason.of("mark_rare", resin=term.id, name=term.name)
        if term.foam:
            yield Reason.of("mark_foam", resin=term.id)
    if len(layer.components) > 1:
        yield Reason.of("mark_blend", resins=" + ".join(c.resin for c in layer.components))


def _several(reading: MarkReading) -> Iterator[Reason]:
    """Several materials or parts in one mark."""
    if any(layer.role for layer in reading.layers):
        yield Reason.of("mark_parts")
    elif len(reading.layers) > 1:
        yield Reason.of("mark_several", materials=", ".join(_named(x) for x in reading.layers))
        if not any(layer.principal for layer in reading.layers):
            yield Reason.of("mark_principal_unknown")


NOT_SAID = "not specified"
"""What the tables of ISO 1043-2 give for the letter X."""


def _named(layer: Layer) -> str:
    return layer.material or "+".join(c.resin for c in layer.components)


def _additions(layer: Layer, reading: MarkReading, tables: MarkTables) -> Iterator[Reason]:
    """Fillers, plasticizers and recyclate."""
    for filler in layer.fillers:
        told = (filler.element or filler.material, filler.form)
        what = " ".join(w for w in told if w and w != NOT_SAID) or "a filler"
        if filler.percent is None:
            yield Reason.of("mark_filled_unknown", filler=what)
        else:
            yield Reason.of("mark_filled", filler=what, filler_share=filler.percent / 100.0)
        if not filler.form:
            yield Reason.of("mark_filler_no_form", symbol=filler.symbol)
    dense = reading.density_g_cm3
    light = next((t.density_g_cm3 for t in _terms(layer, tables) if t.density_g_cm3), None)
    if layer.fillers and dense and light and light.typical < _WATER_G_CM3 <= dense:
        yield Reason.of("mark_filled_sinks", density=f"{dense:.2f}")
    if layer.plasticizers:
        names = ", ".join(tables.plasticizers[p] for p in layer.plasticizers)
        yield Reason.of("mark_plasticizer", plasticizers=names)
    if layer.recycled:
        yield Reason.of("mark_recycled")


def _number(reading: MarkReading, tables: MarkTables) -> Iterator[Reason]:
    """What the number adds or leaves open."""
    if reading.kind == NOT_PLASTIC:
        return
    resin = reading.components[0].resin if len(reading.components) == 1 else None
    if resin == OTHER:
        yield Reason.of("mark_rest_class")
    if reading.number is None or resin is None:
        return
    if resin in {"PET", "PETG"} and reading.number == 1:
        yield Reason.of("mark_petg_in_one")
    if resin == "PE-LD":
        yield Reason.of("mark_linear_too")
    if resin == "PS":
        yield Reason.of("mark_foam_and_solid")
    if reading.standard == GB_16288 and any(r.standard == EU_97_129 for r in tables.rows(reading.number)):
        clash = next(r for r in tables.rows(reading.number) if r.standard == EU_97_129)
        if clash.group:
            yield Reason.of("mark_number_clash", material=clash.material)
