"""One row of an intake sheet, as text → an item with its evidence."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from intake.desk.tests_column import check_spots, read_density, read_tests
from intake.errors import BadInput, Finding
from intake.handbook import Handbook
from intake.table.identify.evidence import Evidence, Mark
from intake.table.item import Adhesive, Closure, Item, Label, LabelOff, Residue, Weighing
from intake.table.kinds import OTHER_KIND, Kind
from intake.units import number, parse_mass_g

MAX_COUNT = 100_000
MAX_TEXT = 400
MAX_MINUTES = 24 * 60

_Choice = TypeVar("_Choice", bound=StrEnum)
_Value = TypeVar("_Value")
_Read = TypeVar("_Read")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row that can be used: the item, its evidence and what else was written.

    `named` is False where the id was made from the row's number.
    """

    id: str
    named: bool
    number: int
    item: Item
    evidence: tuple[Evidence, ...]
    parent: str | None
    minutes: float | None
    note: str


class _Reader:
    """Reads cells of one row; a cell that cannot be used becomes a finding, and reading goes on."""

    def __init__(self, text: Mapping[str, str], at: str) -> None:
        self.text, self.at, self.findings = text, at, list[Finding]()

    def cell(self, column: str) -> str:
        return self.text.get(column, "")

    def where(self, column: str) -> str:
        return f"{self.at}, column {column}"

    def read(self, column: str, parse: Callable[[str, str], _Read], empty: _Value) -> _Read | _Value:
        """The parsed cell, or `empty` where it is empty or cannot be used."""
        raw = self.cell(column)
        if not raw:
            return empty
        try:
            return parse(raw, self.where(column))
        except BadInput as error:
            self.findings.append(Finding.of(error))
            return empty

    def word(self, column: str, choice: type[_Choice], empty: _Value) -> _Choice | _Value:
        """One of a closed list of words; case and spaces do not matter."""

        def parse(raw: str, where: str) -> _Choice:
            key = raw.casefold().replace(" ", "-").replace("_", "-")
            if key not in {c.value for c in choice}:
                raise BadInput(where=where, got=raw, expected="one of " + ", ".join(c.value for c in choice))
            return choice(key)

        return self.read(column, parse, empty)


def read_row(
    text: Mapping[str, str], row_number: int, handbook: Handbook, *, sheet: str, scale_g: float
) -> Row | list[Finding]:
    """The row as an item with evidence, or everything that is wrong with it.

    Args:
        text: cells by column name; a cell outside the columns stands under "".
        row_number: as a spreadsheet counts, the header being row 1.
        handbook: for kinds, cues and baths.
        sheet: file name, for the sentences.
        scale_g: [g] smallest step of the scale.
    """
    reader = _Reader(text, f"Sheet {sheet}, row {row_number}")
    kind = _kind(reader, handbook)
    item = _item(reader, kind, scale_g)
    row = Row(
        id=reader.read("item", _short_text, f"row-{row_number}"),
        named=bool(reader.cell("item")),
        number=row_number,
        item=item,
        evidence=_evidence(reader, handbook),
        parent=reader.read("parent", _short_text, None),
        minutes=reader.read("minutes", _minutes, None),
        note=reader.read("note", _short_text, ""),
    )
    if reader.cell(""):
        got, expected = reader.cell(""), "nothing beyond the last column; put quotes around text with commas"
        reader.findings.append(Finding(where=reader.at, got=got, expected=expected))
    _check_masses(reader, item)
    try:
        check_spots(row.evidence, item.count, where=reader.where("tests"))
    except BadInput as error:
        reader.findings.append(Finding.of(error))
    return reader.findings or row


def _kind(reader: _Reader, handbook: Handbook) -> Kind:
    """The kind that is named; a name nobody knows is 'other', an empty cell is a fault."""
    raw = reader.cell("kind")
    if not raw:
        expected = "a kind such as jug, bottle cap or tub; write 'other' where it is none of them"
        reader.findings.append(Finding(where=reader.where("kind"), got="", expected=expected))
    return handbook.kinds.find(raw) or handbook.kinds.rows[OTHER_KIND]


def _item(reader: _Reader, kind: Kind, scale_g: float) -> Item:
    gross_g = reader.read("gross", lambda raw, where: parse_mass_g(raw, where=where), None)
    return Item(
        kind=kind,
        count=reader.read("count", _count, 1),
        colour=reader.read("colour", _short_text, ""),
        label=reader.word("label", Label, Label(kind.label)),
        label_off=reader.word("label_removed", LabelOff, LabelOff.NO),
        adhesive=reader.word("adhesive", Adhesive, Adhesive.NONE),
        closure=reader.word("closure", Closure, Closure.ON if kind.closure_g else Closure.NONE),
        residue=reader.word("residue", Residue, Residue.RINSED),
        gross_g=gross_g,
        tare_g=reader.read("tare", lambda raw, where: parse_mass_g(raw, where=where, zero_ok=True), 0.0),
        resolution_g=scale_g,
        weighed=None if gross_g is None else reader.word("weighed", Weighing, None),
    )


def _check_masses(reader: _Reader, item: Item) -> None:
    """A mass needs the state it was weighed in, and a crate is lighter than what stands in it."""
    if item.gross_g is None:
        return
    if item.weighed is None and not reader.cell("weighed"):
        expected = "as-received or prepared, because a mass is given"
        reader.findings.append(Finding(where=reader.where("weighed"), got="", expected=expected))
    if item.tare_g >= item.gross_g:
        expected = f"less than the gross mass {reader.cell('gross')}"
        reader.findings.append(
            Finding(where=reader.where("tare"), got=reader.cell("tare"), expected=expected)
        )


def _evidence(reader: _Reader, handbook: Handbook) -> tuple[Evidence, ...]:
    mark = reader.read("mark", _short_text, "")
    marks: tuple[Evidence, ...] = (Mark(text=mark),) if mark else ()
    tests = reader.read("tests", lambda raw, where: read_tests(raw, handbook, where=where), ())
    density = reader.read("density", lambda raw, where: (read_density(raw, where=where),), ())
    return (*marks, *tests, *density)


def _short_text(raw: str, where: str) -> str:
    if len(raw) > MAX_TEXT:
        raise BadInput(where=where, got=raw[:40] + "…", expected=f"at most {MAX_TEXT} characters")
    return raw


def _count(raw: str, where: str) -> int:
    expected = f"a whole number from 1 to {MAX_COUNT}"
    value = number(raw, where=where, expected=expected)
    if value != int(value) or not 1 <= value <= MAX_COUNT:
        raise BadInput(where=where, got=raw, expected=expected)
    return int(value)


def _minutes(raw: str, where: str) -> float:
    expected = "minutes from 0 to 1440, such as 2.5"
    value = number(raw, where=where, expected=expected)
    if not 0 <= value <= MAX_MINUTES:
        raise BadInput(where=where, got=raw, expected=expected)
    return value
