"""The number of a mark, alone or beside letters: which list it is from, and whether both say the same."""

from collections.abc import Sequence
from dataclasses import replace

from intake.table.identify.mark_letters import (
    Body,
    Found,
    not_plastic_note,
    other_material,
    read_letters,
    read_list,
    told,
)
from intake.table.identify.mark_reading import CODED, NOT_PLASTIC, PLASTIC, Component, Layer, MarkReading
from intake.table.identify.mark_tables import (
    ASTM_D7611,
    COMPOSITE,
    GB_16288,
    ISO_11469,
    MarkTables,
    NumberRow,
)
from intake.table.identify.mark_tokens import NUMBER, SYMBOL, Token, key
from intake.table.resins import OTHER, Reason, ResinId

_REST = 7
_SETTLED = frozenset({"mark_composite", "mark_not_plastic", "mark_letters_clash", "mark_single_letter"})
"""Notes of letters alone that a number beside them settles."""


def number_alone(text: str, tokens: Sequence[Token], tables: MarkTables) -> Found | None:
    """A number and nothing else, in parentheses or not."""
    bare = [t for t in tokens if t.kind not in {"(", ")", " "}]
    if len(bare) != 1 or not _is_number(bare[0]):
        return None
    number = int(bare[0].text)
    rows = _preferred(tables.rows(number), bare[0])
    if not rows:
        return _unassigned(text, number, tables), ""
    reading = _by_number(text, rows[0], rows)
    notes = [] if bare[0].kind == SYMBOL else [Reason.of("mark_number_alone")]
    if number > _REST:
        notes.append(Reason.of("mark_long_number"))
    trust = "number" if number in CODED else "rest_class" if number == _REST else "long_number"
    return replace(reading, notes=reading.notes + tuple(notes)), trust


def _is_number(token: Token) -> bool:
    return token.kind == SYMBOL or (token.kind == NUMBER and len(token.text) <= 3)  # noqa: PLR2004


def _preferred(rows: tuple[NumberRow, ...], token: Token) -> tuple[NumberRow, ...]:
    """The lists in the order to try: two digits (05) are how the Chinese list prints a number."""
    if token.kind == NUMBER and token.text.startswith("0"):
        return tuple(sorted(rows, key=lambda r: r.standard != GB_16288))
    return rows


def _by_number(text: str, row: NumberRow, rows: Sequence[NumberRow]) -> MarkReading:
    """What a row says by itself."""
    also = tuple(r.standard for r in rows if r.standard != row.standard and r.term == row.term and r.term)
    kind = PLASTIC if row.term else NOT_PLASTIC
    return MarkReading(
        text=text,
        valid=True,
        standard=row.standard,
        also=also,
        kind=kind,
        number=row.number,
        layers=(_row_layer(row),),
        notes=() if row.term else (not_plastic_note(row.group, row.material),),
    )


def _row_layer(row: NumberRow) -> Layer:
    if row.term is None:
        return Layer(material=row.material, principal=True)
    return Layer(components=(Component(resin=row.term, listed=row.term, share=1.0),), principal=True)


def _unassigned(text: str, number: int, tables: MarkTables) -> MarkReading:
    """A number that no list gives a meaning to."""
    group = tables.group_of(number)
    note = Reason.of("mark_number_kept", group=group) if group else Reason.of("mark_number_unknown")
    return MarkReading(text=text, valid=False, number=number, notes=(note,))


def number_and_letters(text: str, tokens: Sequence[Token], tables: MarkTables) -> Found | None:
    """A number before or behind letters, or a list; a number that no list knows is told and left out."""
    for number, rest in _split_number(tokens):
        body = read_letters(rest, len(text), tables, text) or read_list(rest, len(text), tables)
        if body is None:
            continue
        if body.fault:
            return told(text, body)
        numbered = other_material(key(rest), tables, numbered=True)
        if numbered and any(_agrees(r, numbered, tables) for r in tables.rows(int(number.text))):
            body = numbered
        return _agreed(text, number, body, tables)
    return None


def _split_number(tokens: Sequence[Token]) -> list[tuple[Token, Sequence[Token]]]:
    """(number, rest) where the number stands first or last; a hyphen or slash between them is dropped."""
    splits: list[tuple[Token, Sequence[Token]]] = []
    between = {" ", "-", "/"}
    if _is_number(tokens[0]):
        rest = tokens[1:]
        splits.append((tokens[0], rest[1:] if rest and rest[0].kind in between else rest))
    if _is_number(tokens[-1]):
        rest = tokens[:-1]
        splits.append((tokens[-1], rest[:-1] if rest and rest[-1].kind in between else rest))
    return [(number, rest) for number, rest in splits if rest]


def _agreed(text: str, token: Token, body: Body, tables: MarkTables) -> Found:
    """Number and letters together: the list in which they agree, or the contradiction."""
    number = int(token.text)
    rows = _preferred(tables.rows(number), token)
    agreeing = [r for r in rows if _agrees(r, body, tables)]
    if not rows:
        reading, trust = told(text, body)
        note = Reason.of("mark_number_ignored", number=str(number))
        return replace(reading, notes=(*reading.notes, note)), trust
    if not agreeing:
        return _contradiction(text, number, rows[0], body), ""
    row = agreeing[0]
    reading = replace(_by_number(text, row, agreeing), layers=_joined(row, body, tables))
    trust = "not_plastic" if row.group else "iso_11469" if body.standard == ISO_11469 else "number_letters"
    rest = not row.group and len(reading.components) == 1 and reading.components[0].resin == OTHER
    notes = reading.notes + tuple(n for n in body.notes if n.code not in _SETTLED)
    return replace(reading, notes=notes), "rest_class" if rest else trust


def _joined(row: NumberRow, body: Body, tables: MarkTables) -> tuple[Layer, ...]:
    """The layers of agreeing number and letters: whichever says more, part by part."""
    first = body.layers[0]
    if body.composite:
        return (replace(first, material=row.material),)
    if row.term is None:
        return (_row_layer(row),)
    if body.term and body.term.id != row.term and tables.is_a(row.term, body.term.id):
        return (replace(first, components=_row_layer(row).components),)
    return body.layers


def _agrees(row: NumberRow, body: Body, tables: MarkTables) -> bool:
    """True when the list's number and the letters name the same thing."""
    if body.composite:
        return row.group == COMPOSITE
    if body.other:
        return row.group == body.other.group
    if row.term is None:
        return False
    if row.number == _REST:
        return row.standard == ASTM_D7611 and (body.term is None or not _is_coded(body.term.id, tables))
    if body.term is None:
        return False
    term = body.term.id
    return term in row.also_terms or tables.is_a(term, row.term) or tables.is_a(row.term, term)


def _is_coded(term: ResinId, tables: MarkTables) -> bool:
    """True when a number from 1 to 6 names the term, a wider or a narrower one."""
    coded = [r.term for r in tables.numbers if r.number in CODED and r.term]
    return any(tables.is_a(term, c) or tables.is_a(c, term) for c in coded)


def _contradiction(text: str, number: int, row: NumberRow, body: Body) -> MarkReading:
    """Number and letters name different things; both are told, none is chosen."""
    letters = "+".join(c.resin for x in body.layers for c in x.components) or body.layers[0].material
    says = row.term or row.material
    return MarkReading(
        text=text,
        valid=False,
        number=number,
        notes=(Reason.of("mark_disagree", number=str(number), number_says=says, letters_say=letters),),
        nearest=(f"{number} {says}", letters),
    )
