"""Event ↔ plain dict. The fields of each kind are read from its class once, when this module loads."""

from collections.abc import Mapping
from dataclasses import fields
from types import MappingProxyType
from typing import Any

from intake.errors import BadInput
from intake.ledger.envelope import Event, canonical_text
from intake.ledger.events import KINDS, SCHEMA, Body, Unknown
from intake.ledger.plain import NotUnderstoodError, Shape, freeze, read, shape_of, to_plain, write

_SHAPES: Mapping[type[Any], Shape] = MappingProxyType({cls: shape_of(cls) for cls in KINDS.values()})
_SLOTS: Mapping[str, Any] = MappingProxyType({f.name: vars(Event)[f.name].__set__ for f in fields(Event)})
_OF_ENVELOPE = tuple((name, put) for name, put in _SLOTS.items() if name != "body")
_PUT_BODY = _SLOTS["body"]
_blank = object.__new__
"""An event that was read is put together slot by slot, as its parts are in `plain.read`; same reason."""


def document(event: Event) -> dict[str, Any]:
    """The event as a plain dict, ready to be written."""
    return {
        "v": event.v,
        "station": event.station,
        "seq": event.seq,
        "hlc": event.hlc,
        "id": event.id,
        "kind": event.kind,
        "body": plain_body(event.body),
        "prev": event.prev,
    }


def written(event: Event) -> bytes:
    """The event as it will be written: `canonical(document(event))`, where only the body needs an encoder."""
    return (
        f'{{"body":{canonical_text(plain_body(event.body))},"hlc":"{event.hlc}","id":"{event.id}",'
        f'"kind":"{event.kind}","prev":"{event.prev}","seq":{event.seq},"station":"{event.station}","v":{event.v}}}'
    ).encode()


def event_of(doc: Mapping[str, Any]) -> Event:
    """The event that a checked document holds; a body that cannot be read becomes `Unknown`."""
    event = _blank(Event)
    for name, put in _OF_ENVELOPE:
        put(event, doc[name])
    _PUT_BODY(event, body_of(doc["v"], doc["kind"], doc["body"]))
    return event


def plain_body(body: Body) -> Any:
    """The body as a plain dict; a field that is None is left out.

    Raises:
        BadInput: a number that is NaN or infinite, or a value of a type that cannot be written.
    """
    if isinstance(body, Unknown):
        return to_plain(body.body)
    try:
        return write(_SHAPES[type(body)], body)
    except NotUnderstoodError as error:
        raise BadInput(
            where=type(body).__name__, got=error, expected="finite numbers, words and lists of them"
        ) from None


def body_of(v: int, kind: str, plain: Any) -> Body:
    """The typed body; `Unknown`, saying why, where the kind, its version or a value is not known here."""
    cls = KINDS.get(kind)
    if v > SCHEMA:
        return Unknown(kind=kind, body=freeze(plain), why=f"written by a newer version (schema {v})")
    if cls is None:
        return Unknown(kind=kind, body=freeze(plain), why=f"kind '{kind}' is not known to this version")
    try:
        found: Body = read(_SHAPES[cls], plain)
    except (NotUnderstoodError, BadInput) as error:
        return Unknown(kind=kind, body=freeze(plain), why=str(error))
    return found
