"""The columns of an intake sheet: one table for the reader, the JSON Schema and the documentation."""

from dataclasses import dataclass
from enum import StrEnum

from intake.table.item import Adhesive, Closure, Label, LabelOff, Residue, Weighing


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: its name, what stands in it, an example, and the words allowed where the list is closed."""

    name: str
    meaning: str
    example: str
    words: tuple[str, ...] = ()
    required: bool = False


def _words(choice: type[StrEnum]) -> tuple[str, ...]:
    return tuple(str(c.value) for c in choice)


COLUMNS = (
    Column(name="item", meaning="id of the item; empty: the row number", example="a17"),
    Column(
        name="kind",
        meaning="kind of item, id or plain name of the kinds table, without regard to case; "
        "other text counts as 'other'",
        example="milk bottle",
        required=True,
    ),
    Column(name="count", meaning="how many like ones, 1 or more; empty: 1", example="12"),
    Column(name="mark", meaning="mark as read on the item", example="2 HDPE"),
    Column(
        name="tests",
        meaning="name=result, parted by ';': float:BATH=floats|sinks|hovers, CUE=what was seen, spot=odd/tested",
        example="float:water=floats;crease=no_mark",
    ),
    Column(
        name="density", meaning="measured density [g/cm3], with its doubt if known", example="0.955±0.004"
    ),
    Column(name="colour", meaning="colour in plain words", example="natural"),
    Column(
        name="label", meaning="label worn; empty: the kind's usual one", example="film", words=_words(Label)
    ),
    Column(
        name="label_removed", meaning="whether it is off; empty: no", example="no", words=_words(LabelOff)
    ),
    Column(name="adhesive", meaning="glue left on; empty: none", example="residue", words=_words(Adhesive)),
    Column(
        name="closure",
        meaning="where the closure is; empty: on where the kind has one",
        example="off",
        words=_words(Closure),
    ),
    Column(
        name="residue",
        meaning="what is left of the content; empty: rinsed",
        example="food",
        words=_words(Residue),
    ),
    Column(
        name="gross", meaning="mass of all pieces with unit, or grams; empty: estimated", example="1.2 kg"
    ),
    Column(name="tare", meaning="mass of the crate or bowl under them; empty: 0", example="310 g"),
    Column(
        name="weighed",
        meaning="state on the scale; needed where gross is given",
        example="as-received",
        words=_words(Weighing),
    ),
    Column(name="parent", meaning="id of the item it was split off from", example="a16"),
    Column(name="minutes", meaning="minutes of prep spent on the row", example="2.5"),
    Column(name="note", meaning="free text", example="from the rowing club"),
)
"""All columns, in the order of the documentation."""

BY_NAME = {c.name: c for c in COLUMNS}


def json_schema() -> dict[str, object]:
    """The JSON Schema of one row (draft 2020-12), every value as text the way a CSV holds it."""
    properties: dict[str, object] = {}
    for column in COLUMNS:
        entry: dict[str, object] = {
            "type": "string",
            "description": column.meaning,
            "examples": [column.example],
        }
        if column.words:
            entry["enum"] = [*column.words, ""]
        properties[column.name] = entry
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "intake-sheet.schema.json",
        "title": "Intake sheet",
        "description": "One row of an intake sheet: CSV, UTF-8 with or without BOM, comma or semicolon.",
        "type": "object",
        "properties": properties,
        "required": [c.name for c in COLUMNS if c.required],
        "additionalProperties": False,
    }
