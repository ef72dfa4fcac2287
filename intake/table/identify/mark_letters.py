"""The letters of a mark, before any number beside them is looked at."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from intake.table.identify.mark_additions import BrokenMark
from intake.table.identify.mark_reading import (
    NOT_PLASTIC,
    PLASTIC,
    Component,
    Fault,
    Layer,
    MarkReading,
    iso_11469_text,
)
from intake.table.identify.mark_tables import (
    COMPOSITE,
    EU_97_129,
    ISO_1043,
    ISO_11469,
    MarkTables,
    NotPlastic,
    Term,
)
from intake.table.identify.mark_tokens import NUMBER, SYMBOL, Token, key
from intake.table.identify.marks_11469 import read_body, read_enclosed
from intake.table.resins import OTHER, Reason

Found: TypeAlias = tuple[MarkReading, str]
"""A reading without its consequences, and the row of the trust table that it falls under."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """What the letters beside a number say, before the number is looked at."""

    layers: tuple[Layer, ...]
    term: Term | None = None
    other: NotPlastic | None = None
    composite: bool = False
    standard: str = ISO_1043
    trust: str = "letters"
    notes: tuple[Reason, ...] = ()
    fault: Fault | None = None

    @property
    def kind(self) -> str:
        """A bonded mixture is no plastic to a melt, whatever it holds."""
        return NOT_PLASTIC if self.other or self.composite else PLASTIC


def read_letters(tokens: Sequence[Token], end: int, tables: MarkTables, text: str) -> Body | None:
    """Enclosed, composite, name or letters of another material; None where it is none of them."""
    rules: tuple[Callable[[], Body | None], ...] = (
        lambda: _enclosed(tokens, end, tables, text),
        lambda: _composite(tokens, tables),
        lambda: _name(key(tokens), tables),
        lambda: other_material(key(tokens), tables),
    )
    return next((body for rule in rules if (body := rule()) is not None), None)


def _enclosed(tokens: Sequence[Token], end: int, tables: MarkTables, text: str) -> Body | None:
    """An ISO 11469 mark, broken or whole."""
    if not any(t.kind in "><" for t in (tokens[0], tokens[-1])):
        return None
    if _number_outside(tokens):
        return None
    try:
        layers = read_enclosed(tokens, end, tables)
    except BrokenMark as broken:
        fault = broken.fault
        note = Reason.of(f"mark_fault_{fault.code}", got=fault.got)
        return Body(layers=(), standard=ISO_11469, fault=fault, notes=(note,))
    standard_form = iso_11469_text(layers)
    as_written = standard_form in text or iso_11469_text(layers, digits=1) in text
    odd = not as_written and not any(x.material for x in layers)
    notes = (Reason.of("mark_spelled_oddly", standard_form=standard_form),) if odd else ()
    term = _only_term(layers, tables)
    return Body(layers=layers, term=term, standard=ISO_11469, trust="iso_11469", notes=notes)


def _number_outside(tokens: Sequence[Token]) -> bool:
    """True when a number stands before or behind a whole mark, to be taken off first."""
    if len(tokens) < 3:  # noqa: PLR2004
        return False
    digits = {NUMBER, SYMBOL}
    pairs = ((tokens[0], tokens[1], tokens[-1]), (tokens[-1], tokens[-2], tokens[0]))
    return any(n.kind in digits and near.kind + far.kind in {"><", "<>"} for n, near, far in pairs)


def _only_term(layers: tuple[Layer, ...], tables: MarkTables) -> Term | None:
    """The term of a mark that names a single polymer."""
    components = layers[0].components if len(layers) == 1 else ()
    return tables.terms.get(components[0].resin.upper()) if len(components) == 1 else None


def _composite(tokens: Sequence[Token], tables: MarkTables) -> Body | None:
    """C/ and the material that prevails by mass."""
    if len(tokens) < 3 or tokens[0].text != "C" or tokens[1].kind != "/":  # noqa: PLR2004
        return None
    prevails = _name(key(tokens[2:]), tables) or other_material(key(tokens[2:]), tables)
    if prevails is None:
        return None
    layer = prevails.layers[0]
    name = layer.material or layer.components[0].resin
    note = Reason.of("mark_composite", group=COMPOSITE, material=name)
    return Body(layers=(layer,), composite=True, standard=EU_97_129, trust="not_plastic", notes=(note,))


def _name(spelled: str, tables: MarkTables) -> Body | None:
    """A term or another spelling of one."""
    term, alias = tables.term(spelled), tables.aliases.get(spelled)
    if term is None:
        return None
    notes: list[Reason] = []
    if alias and alias.form:
        notes.append(Reason.of("mark_form", form=alias.form))
    if len(spelled) == 1:
        notes.append(Reason.of("mark_single_letter"))
    elif term.clashes and spelled == term.id:
        notes.append(Reason.of("mark_letters_clash", means=term.clashes))
    weak = alias.weak if alias else term.weak
    trust = "rest_class" if term.id == OTHER else "weak_letters" if weak else "letters"
    layer = Layer(
        components=(Component(resin=term.id, listed=term.listed, share=1.0),),
        recycled=bool(alias and alias.form == "recycled"),
        principal=True,
    )
    return Body(layers=(layer,), term=term, trust=trust, notes=tuple(notes))


def other_material(spelled: str, tables: MarkTables, *, numbered: bool = False) -> Body | None:
    """Letters that name paper, metal, wood, textile or glass; some need a number beside them to mean it."""
    row = tables.not_plastic.get(spelled)
    if row is None or not (row.alone or numbered):
        return None
    return Body(
        layers=(Layer(material=row.material, principal=True),),
        other=row,
        standard=EU_97_129,
        trust="not_plastic",
        notes=(not_plastic_note(row.group, row.material),),
    )


def read_list(tokens: Sequence[Token], end: int, tables: MarkTables) -> Body | None:
    """Polymers with additions, or several materials, without the brackets of the standard."""
    try:
        layers = read_body(tokens, end, tables, enclosed=False)
    except BrokenMark:
        return None
    return Body(layers=layers, term=_only_term(layers, tables))


def not_plastic_note(group: str, material: str) -> Reason:
    """The note for paper, metal, glass and the rest, or for materials bonded together."""
    code = "mark_composite" if group == COMPOSITE else "mark_not_plastic"
    return Reason.of(code, group=group, material=material)


def told(text: str, body: Body) -> Found:
    """The reading of a body that stands alone."""
    reading = MarkReading(
        text=text,
        valid=body.fault is None,
        standard=body.standard,
        kind=body.kind,
        layers=body.layers,
        notes=body.notes,
        fault=body.fault,
    )
    return reading, body.trust
