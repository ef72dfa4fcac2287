"""`datapackage.json`: what an export holds, in the words of the Data Package standard, version 2."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from intake.desk.exchange.columns import EVENT_SCHEMA, TABLES, Table, table_schema
from intake.desk.exchange.formats import Format, json_of
from intake.errors import BadInput, nearest_names

DESCRIPTOR = "datapackage.json"
EVENTS = "events.jsonl"
WORKBOOK = "tables.xlsx"
VERSION = 1
"""Version of our exports; a reader refuses a newer one."""

_PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
_MEDIA: Mapping[str, str] = MappingProxyType(
    {
        "csv": "text/csv",
        "json": "application/json",
        "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        "jsonl": "application/x-ndjson",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Package:
    """What a read descriptor says: the format and, by file name, how many bytes of which SHA-256."""

    format: Format
    sizes: Mapping[str, tuple[int, str]]


def path_of(table: Table, form: Format) -> str:
    """Name of the file that holds the table."""
    return WORKBOOK if form is Format.XLSX else f"{table.name}.{form}"


def descriptor(
    files: Mapping[str, bytes], form: Format, *, title: str, created: str, edition: str, events: int
) -> dict[str, Any]:
    """The descriptor of an export.

    Args:
        files: content by file name, the events among them.
        form: of the tables.
        title: name of the campaign; may be empty.
        created: ISO 8601.
        edition: of the handbook that made the estimates.
        events: how many there are.
    """
    return {
        "$schema": _PROFILE,
        "name": "resin-intake-export",
        "title": title or "Collection table",
        "description": (
            "Everything told at a collection table. events.jsonl is the record, one event a line as it was "
            "written; the tables are made from it, and columns called estimates follow the handbook's edition."
        ),
        "created": created,
        "intake": {"export": VERSION, "format": str(form), "edition": edition, "events": events},
        "resources": [*(_table(t, form, files) for t in TABLES), _events(files)],
    }


def read_descriptor(content: bytes) -> Package:
    """The package that a descriptor describes, once every table of ours is in it as we write it.

    Raises:
        BadInput: it is not the descriptor of an export of ours, or one of a newer version.
    """
    found = json_of(content, DESCRIPTOR)
    about = found.get("intake") if isinstance(found, dict) else None
    if not isinstance(about, dict) or about.get("export") is None:
        raise BadInput(
            where=DESCRIPTOR, got="another data package", expected="one that `intake export` wrote"
        )
    if about["export"] != VERSION:
        got = f"an export of version {about['export']}"
        raise BadInput(
            where=DESCRIPTOR, got=got, expected=f"version {VERSION}; a newer Resin Intake reads it"
        )
    if about.get("format") not in list(Format):
        raise BadInput(where=f"{DESCRIPTOR}, format", got=about.get("format"), expected=" or ".join(Format))
    form = Format(about["format"])
    resources = found.get("resources")
    listed = [r for r in resources if isinstance(r, dict)] if isinstance(resources, list) else []
    by_name = {str(r.get("name")): r for r in listed}
    for table in TABLES:
        _check_columns(table, _resource(by_name, table.name, path_of(table, form)))
    _resource(by_name, "events", EVENTS)
    return Package(format=form, sizes={str(r.get("path")): _size(r) for r in listed})


def sha256(content: bytes) -> str:
    """The hash as the standard writes it."""
    return "sha256:" + hashlib.sha256(content).hexdigest()


def _file(name: str, content: bytes) -> dict[str, Any]:
    kind = name.rsplit(".", 1)[-1]
    about: dict[str, Any] = {"path": name, "format": kind, "mediatype": _MEDIA[kind]}
    if kind != "xlsx":
        about["encoding"] = "utf-8"
    return about | {"bytes": len(content), "hash": sha256(content)}


def _table(table: Table, form: Format, files: Mapping[str, bytes]) -> dict[str, Any]:
    path = path_of(table, form)
    sheet = {"dialect": {"sheetName": table.name}} if form is Format.XLSX else {}
    estimates = [c.name for c in table.columns if c.estimated]
    return {
        "name": table.name, "type": "table", "title": table.about, **_file(path, files[path]), **sheet,
        **({"estimates": estimates} if estimates else {}), "schema": table_schema(table),
    }  # fmt: skip


def _events(files: Mapping[str, bytes]) -> dict[str, Any]:
    about = {"name": "events", "type": "table", "title": "The record: one event a line"}
    return about | _file(EVENTS, files[EVENTS]) | {"schema": dict(EVENT_SCHEMA)}


def _resource(by_name: Mapping[str, dict[str, Any]], name: str, path: str) -> dict[str, Any]:
    found = by_name.get(name)
    if found is None:
        raise BadInput(where=DESCRIPTOR, got="no resource of that name", expected=f"a resource '{name}'")
    if found.get("path") != path:
        raise BadInput(where=f"{DESCRIPTOR}, {name}, path", got=found.get("path"), expected=path)
    return found


def _check_columns(table: Table, resource: Mapping[str, Any]) -> None:
    """Every column of ours stands in the schema with its type, and no other."""
    schema = resource.get("schema")
    fields = schema.get("fields") if isinstance(schema, dict) else None
    listed = [f for f in fields if isinstance(f, dict)] if isinstance(fields, list) else []
    check_names(f"{DESCRIPTOR}, {table.name}", [str(f.get("name")) for f in listed], table)
    for field in listed:
        column = table.by_name[str(field["name"])]
        if field.get("type") != column.type:
            where = f"{DESCRIPTOR}, {table.name}, column {column.name}, type"
            raise BadInput(where=where, got=field.get("type"), expected=str(column.type))


def check_names(where: str, names: list[str], table: Table) -> None:
    """Refuse a column that is not one of the table's, one that stands twice, and one that is missing.

    Raises:
        BadInput: the first of these.
    """
    for name in names:
        if name not in table.by_name:
            near = nearest_names(name, [c for c in table.by_name if c not in names])
            expected = f"the column name {near[0]}" if near else "only the columns that were exported"
            raise BadInput(where=where, got=name, expected=expected)
        if names.count(name) > 1:
            raise BadInput(where=where, got=name, expected="each column once")
    missing = next((c for c in table.by_name if c not in names), None)
    if missing is not None:
        raise BadInput(where=where, got=", ".join(names)[:80], expected=f"also a column named '{missing}'")


def _size(resource: Mapping[str, Any]) -> tuple[int, str]:
    size, digest = resource.get("bytes"), resource.get("hash")
    return (size if isinstance(size, int) else -1), str(digest)
