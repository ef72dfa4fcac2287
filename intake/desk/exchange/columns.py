"""The tables that leave the house, column by column; the Table Schemas in `shared/export/` are made from these.

Units are the last part of a column's name: `g`, `l` (litre), `min`, `g_cm3`. Times are ISO 8601 in UTC.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Any


class Type(StrEnum):
    """What a column holds, in the words of the Table Schema standard."""

    STRING = "string"
    INTEGER = "integer"
    NUMBER = "number"
    BOOLEAN = "boolean"
    DATETIME = "datetime"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column.

    Attributes:
        estimated: True where the handbook worked the value out: it may differ with another edition.
        needed: True where every row has a value.
        refers: table and column in which the value stands, `("bins", "bin")`.
    """

    name: str
    type: Type
    about: str
    estimated: bool = False
    needed: bool = False
    refers: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table; `key` is the column that no two rows share, empty where there is none."""

    name: str
    about: str
    key: str
    columns: tuple[Column, ...]
    estimated: bool = False

    @property
    def by_name(self) -> Mapping[str, Column]:
        """Column by its name."""
        return MappingProxyType({c.name: c for c in self.columns})


def _text(name: str, about: str, **more: Any) -> Column:
    return Column(name=name, type=Type.STRING, about=about, **more)


def _number(name: str, about: str, **more: Any) -> Column:
    return Column(name=name, type=Type.NUMBER, about=about, **more)


def _count(name: str, about: str, **more: Any) -> Column:
    return Column(name=name, type=Type.INTEGER, about=about, **more)


def _time(name: str, about: str) -> Column:
    return Column(name=name, type=Type.DATETIME, about=about, needed=True)


_EVENT = _text("event", "id of the event in events.jsonl", needed=True)
_TOLD_AT = _time("told_at", "when it was told, UTC")
_ITEM = _text("item", "id of the item", needed=True, refers=("items", "item"))
_BIN_KEY = (
    _text("resin", "resin family it takes, ISO 1043-1"),
    _text("colour", "colour group it takes"),
    _text("flow", "flow class it takes: blow, injection or film"),
    Column(name="filled", type=Type.BOOLEAN, about="whether it takes plastic with filler"),
)

ITEMS = Table(
    name="items", about="One row an item, or like ones entered together, as it stands now", key="item",
    columns=(
        _text("item", "id of the item", needed=True),
        _time("received_at", "when it came, UTC"),
        _text("kind", "kind of item, our own word"),
        _count("count", "pieces", needed=True),
        _text("colour", "colour as a person said it"),
        _text("label", "label it came with"),
        _text("label_off", "how far the label is off"),
        _text("adhesive", "glue that is left"),
        _text("closure", "closure on, off or none"),
        _text("residue", "what is left of the content"),
        _number("gross_g", "reading of the scale for all pieces, tare included"),
        _number("tare_g", "crate or bowl under the pieces"),
        _number("scale_step_g", "smallest step of the scale"),
        _text("weighed", "as-received or prepared"),
        _number("before_min", "minutes spent on it before it was entered"),
        _text("note", "what somebody wrote down"),
        _text("by", "who entered it, where somebody said"),
        _text("sheet", "hash of the sheet it came from"),
        _count("sheet_row", "row of that sheet"),
        _text("verdict", "accept, hold or refuse, as it holds now"),
        _text("resin", "resin it was judged to be, ISO 1043-1"),
        _number("probability", "probability of that resin, 0 to 1"),
        _text("host", "resin of the charge it melts with"),
        _text("edition", "handbook edition of the verdict"),
        _text("bin", "bin it lies in", refers=("bins", "bin")),
        _text("lot", "lot it was shredded into", refers=("lots", "lot")),
        _text("written_off", "why it is gone"),
        _text("parent", "item it was taken off", refers=("items", "item")),
        _number("parts_g", "mass that was taken off it and entered on its own"),
        _number("net_g", "clean plastic, expected", estimated=True),
        _number("net_low_g", "clean plastic, 5th percentile", estimated=True),
        _number("net_high_g", "clean plastic, 95th percentile", estimated=True),
        _number("shred_g", "clean shred, expected", estimated=True),
        _number("shred_low_g", "clean shred, 5th percentile", estimated=True),
        _number("shred_high_g", "clean shred, 95th percentile", estimated=True),
    ),
)  # fmt: skip
BINS = Table(
    name="bins", about="One row a bin", key="bin",
    columns=(
        _text("bin", "id of the bin", needed=True),
        _time("opened_at", "when it was opened, UTC"),
        *_BIN_KEY,
        _number("capacity_l", "how much it holds, litres"),
        _number("capacity_g", "how much it may weigh"),
        _count("items", "items that lie in it now", needed=True),
        _count("labels", "labels printed for it", needed=True),
        _text("lot", "lot its content was shredded into", refers=("lots", "lot")),
        _text("written_off", "why its content is gone"),
    ),
)  # fmt: skip
LOTS = Table(
    name="lots", about="One row a lot of shred; mass = floated + drawn + written off + adjusted + left", key="lot",
    columns=(
        _text("lot", "id of the lot", needed=True),
        _text("bin", "bin it was", needed=True, refers=("bins", "bin")),
        _time("shredded_at", "when it was weighed after shredding, UTC"),
        *_BIN_KEY,
        _count("items", "items that were shredded into it", needed=True),
        _text("shredder", "machine, where it is not the campaign's"),
        _number("scale_step_g", "smallest step of the scale"),
        _number("mass_g", "weighed after shredding", needed=True),
        _number("floated_g", "taken out by baths"),
        _number("drawn_g", "gone into charges"),
        _number("written_off_g", "written off"),
        _number("adjusted_g", "missing when it was weighed again; below 0 where there was more"),
        _number("left_g", "what there is now", needed=True),
        _text("melt_verdict", "what the last test melt said"),
    ),
)  # fmt: skip
EVIDENCE = Table(
    name="evidence", about="One row an observation of an item", key="event",
    columns=(
        _EVENT, _TOLD_AT, _ITEM,
        _text("what", "mark, float, density, cue or spot", needed=True),
        _text("mark", "text of the mark"),
        _text("how", "moulded, printed, sticker or unclear"),
        _text("bath", "name of the bath"),
        _number("bath_g_cm3", "density of the bath"),
        _number("bath_sd_g_cm3", "standard deviation of mixing and reading it"),
        _text("outcome", "floats, sinks or hovers"),
        _number("density_g_cm3", "density as measured"),
        _number("density_sd_g_cm3", "its standard uncertainty"),
        _count("tested", "pieces of the crate that were tested"),
        _count("odd", "how many of them were something else"),
        _text("cue", "id of the cue"),
        _text("level", "level of the cue that was seen"),
    ),
)  # fmt: skip
PREP = Table(
    name="prep", about="One row a step of cleaning that was done", key="event",
    columns=(
        _EVENT, _TOLD_AT, _ITEM,
        _text("step", "what was done", needed=True),
        _number("time_min", "minutes it took, where somebody looked"),
        _text("left_on", "what stayed on"),
        _text("how", "id of the method"),
        _text("covers", "how much of the wall a label covered: spot, band or most"),
    ),
)  # fmt: skip
MOVES = Table(
    name="moves", about="One row each time an item went somewhere else, or shred of a lot into a charge", key="",
    columns=(
        _EVENT, _TOLD_AT,
        _text("act", "kind of the event", needed=True),
        _text("item", "item that moved", refers=("items", "item")),
        _text("from_bin", "bin it lay in", refers=("bins", "bin")),
        _text("to_bin", "bin it lies in", refers=("bins", "bin")),
        _text("from_lot", "lot that was drawn from", refers=("lots", "lot")),
        _text("to_lot", "lot it was shredded into", refers=("lots", "lot")),
        _text("charge", "charge the shred went into"),
        _number("mass_g", "shred that went into the charge"),
        _text("written_off", "why it is gone"),
    ),
)  # fmt: skip
LOSSES = Table(
    name="losses", about="Where received mass went that is no shred", key="", estimated=True,
    columns=(
        _text("item", "item that lost it", refers=("items", "item")),
        _text("lot", "lot that lost it", refers=("lots", "lot")),
        _text("event", "id of the event that told it; empty for an estimate"),
        _text("what", "closure, label, adhesive, residue, moisture, process, floated, adjusted, written-off",
              needed=True),
        _number("mass_g", "mass lost; below 0 where a second weighing found more", needed=True),
        _text("mass_is", "weighed or estimated", needed=True),
        _text("reason", "what somebody wrote down"),
    ),
)  # fmt: skip

TABLES: tuple[Table, ...] = (ITEMS, BINS, LOTS, EVIDENCE, PREP, MOVES, LOSSES)
"""In the order they are written; what a table refers to may stand behind it."""


EVENT_SCHEMA: Mapping[str, Any] = MappingProxyType(
    {
        "fields": [
            {"name": "body", "type": "object", "description": "the fact, as in ledger-event.schema.json"},
            {"name": "hlc", "type": "string", "description": "milliseconds since 1970 UTC, and a counter"},
            {"name": "id", "type": "string", "description": "station and number, unique for ever"},
            {"name": "kind", "type": "string", "description": "kind of fact"},
            {"name": "prev", "type": "string", "description": "SHA-256 of the station's event before"},
            {"name": "seq", "type": "integer", "description": "1, 2, 3 … at that station"},
            {"name": "station", "type": "string", "description": "collection table that wrote it"},
            {"name": "v", "type": "integer", "description": "version of the event schema"},
        ],
        "primaryKey": ["id"],
    }
)
"""The events as a table: the envelope of each, with the fact inside."""


def table_schema(table: Table) -> dict[str, Any]:
    """The table as a Table Schema (Data Package standard, version 2); a copy stands in `shared/export/`."""
    schema: dict[str, Any] = {"fields": [_field(c) for c in table.columns], "missingValues": [""]}
    if table.key:
        schema["primaryKey"] = [table.key]
    keys = [_foreign_key(c.name, *c.refers, table.name) for c in table.columns if c.refers]
    if keys:
        schema["foreignKeys"] = keys
    return schema


def _field(column: Column) -> dict[str, Any]:
    field: dict[str, Any] = {"name": column.name, "type": column.type.value, "description": column.about}
    if column.needed:
        field["constraints"] = {"required": True}
    return field


def _foreign_key(column: str, of: str, name: str, table: str) -> dict[str, Any]:
    """A reference; a table that refers to itself names itself with an empty text, as the standard has it."""
    resource = "" if of == table else of
    return {"fields": [column], "reference": {"resource": resource, "fields": [name]}}
