"""What a mark says: number, letters or ISO 11469 mark → `MarkReading`.

The whole text follows this grammar; the alternatives are tried from left to right::

    text      = claim | body | number | number body | body number | parts
    body      = enclosed | composite | name | other | list
    enclosed  = ISO 11469 mark, see `marks_11469`
    composite = "C" "/" ( name | other )                  97/129/EC, bonded materials
    name      = a term of ISO 1043-1 or another spelling of one
    other     = letters of 97/129/EC that name no plastic (PAP, ALU, GL)
    parts     = role ":" body { ( "/" | "," ) role ":" body }      "cap: PE / bottle: PET"
    list      = what may stand inside an enclosed mark, spelled in any way the tables know
    number    = one to three digits, or a resin triangle such as U+2674

A number is looked up in ASTM D7611, 97/129/EC and GB/T 16288, in that order; letters beside
it choose the list, and a number and letters that contradict each other are told, not decided.
"""

from collections.abc import Sequence
from dataclasses import replace

from intake.errors import nearest_names
from intake.table.identify.evidence import MarkHow
from intake.table.identify.mark_letters import Found, read_letters, read_list, told
from intake.table.identify.mark_notes import consequences, filled_density_g_cm3
from intake.table.identify.mark_numbers import number_alone, number_and_letters
from intake.table.identify.mark_reading import PLASTIC, Fault, Layer, MarkReading
from intake.table.identify.mark_tables import ISO_1043, MarkTables
from intake.table.identify.mark_tokens import WORD, Token, key, tokenize
from intake.table.resins import Reason

MAX_LENGTH = 200
"""Characters; no mark is longer, and a text that is was pasted by mistake."""
_LOOK_ALIKES = str.maketrans("АВЕКМНОРСТХУ", "ABEKMHOPCTXY")
"""Cyrillic → Latin by shape; for proposals only, never for reading."""


def read_mark(text: str, tables: MarkTables, *, how: MarkHow = MarkHow.MOULDED) -> MarkReading:
    """What a mark says, how far to trust it and what follows; never raises.

    Args:
        text: as typed or scanned: "2", "02", "HDPE", "PE-HD 2", U+2674, ">PP-TD20<", "C/PAP 84".
        tables: the tables of `marks.toml`.
        how: how it stands on the item; only the trust depends on it.

    Returns:
        A reading; `valid` is False for an unknown text (with the nearest known marks), for a mark that
        contradicts itself, and for an ISO 11469 mark that breaks the grammar (with the place of the fault).

    Source: the lists and terms of `marks.toml`, each row with its own basis.
    """
    if len(text) > MAX_LENGTH:
        return MarkReading(text=text, valid=False, notes=(Reason.of("mark_too_long"),))
    tokens = tokenize(text)
    if not tokens:
        return MarkReading(text=text, valid=False, notes=(Reason.of("mark_empty"),))
    for attempt in (_claim, _single, number_alone, _listed, number_and_letters, _parts):
        found = attempt(text, tokens, tables)
        if found is not None:
            reading, trust = found
            return _finished(reading, trust, tables, how)
    return _unknown(text, tokens, tables)


def _finished(reading: MarkReading, trust: str, tables: MarkTables, how: MarkHow) -> MarkReading:
    """The reading with trust, density and consequences."""
    if reading.fault:
        return replace(reading, nearest=_meant(reading.fault, tables))
    if not reading.valid:
        return reading
    share = tables.trust[trust].typical * tables.trust_how[how].typical
    one = reading.layers[0] if len(reading.layers) == 1 else None
    density_g_cm3 = filled_density_g_cm3(one, tables) if one and reading.kind == PLASTIC else None
    reading = replace(reading, trust=round(share, 3), density_g_cm3=density_g_cm3)
    return replace(reading, notes=tuple(dict.fromkeys(consequences(reading, tables) + reading.notes)))


def _meant(fault: Fault, tables: MarkTables) -> tuple[str, ...]:
    """Terms of the standard that the wrong piece of a mark may stand for, as a question."""
    known = tables.term(fault.got)
    if fault.code == "not_iso_term" and known:
        return (known.id,)
    return tuple(nearest_names(fault.got, (t.id for t in tables.terms.values())))


def _unknown(text: str, tokens: Sequence[Token], tables: MarkTables) -> MarkReading:
    """Nobody knows it: the nearest known marks, as a question."""
    spelled = key(tokens)
    names = nearest_names(spelled, tables.spellings()) or nearest_names(
        spelled.translate(_LOOK_ALIKES), tables.spellings()
    )
    return MarkReading(text=text, valid=False, nearest=tuple(names), notes=(Reason.of("mark_unknown"),))


def _claim(text: str, tokens: Sequence[Token], tables: MarkTables) -> Found | None:
    """A word or symbol that people take for a resin mark."""
    claim = tables.claims.get(key(tokens).replace("-", ""))
    if claim is None:
        return None
    return MarkReading(text=text, valid=False, kind=claim.kind, notes=(Reason.of(claim.code),)), ""


def _single(text: str, tokens: Sequence[Token], tables: MarkTables) -> Found | None:
    """A mark without a number beside it."""
    body = read_letters(tokens, len(text), tables, text)
    return None if body is None else told(text, body)


def _listed(text: str, tokens: Sequence[Token], tables: MarkTables) -> Found | None:
    """A list that stands alone."""
    body = read_list(tokens, len(text), tables)
    return None if body is None else told(text, body)


def _parts(text: str, tokens: Sequence[Token], tables: MarkTables) -> Found | None:
    """Roles with their materials; all of them must be known."""
    layers: list[Layer] = []
    at = 0
    while at < len(tokens):
        colon = next((i for i in range(at, len(tokens)) if tokens[i].kind == ":"), None)
        if colon is None or not all(t.kind in {WORD, " "} for t in tokens[at:colon]):
            return None
        after = next((i for i in range(colon, len(tokens)) if _ends_part(tokens, i)), len(tokens))
        body = read_list(tokens[colon + 1 : after], len(text), tables)
        if body is None or len(body.layers) != 1:
            return None
        role = " ".join(t.text.lower() for t in tokens[at:colon] if t.kind == WORD)
        layers.append(replace(body.layers[0], role=role))
        at = after + 1
    reading = MarkReading(text=text, valid=True, standard=ISO_1043, kind=PLASTIC, layers=tuple(layers))
    return reading, "letters"


def _ends_part(tokens: Sequence[Token], at: int) -> bool:
    """True at a slash or comma behind which a new role begins."""
    if tokens[at].kind not in {"/", ","}:
        return False
    rest = [t.kind for t in tokens[at + 1 :] if t.kind not in {WORD, " "}]
    return bool(rest) and rest[0] == ":"
