"""`intake history`: everything that was ever told of an item, a bin or a lot, what was undone included."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from intake.desk import clock
from intake.desk.names import Named, named
from intake.ledger import Event, Ledger
from intake.ledger.codec import plain_body
from intake.ledger.envelope import wall_ms
from intake.ledger.events import EvidenceAdded, Judged, PrepDone, Undone, Unknown, WrittenOff
from intake.ledger.state import TableState
from intake.table.prep.steps import CLOCK, CLOCK_STARTS, HiddenPart
from intake.words import Words
from intake.words.figures import mass_text, share_text

_NAMES = ("item", "parent", "bin", "into", "lot")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One event of a history.

    Attributes:
        counts: False where it was undone.
        event: the event.
    """

    counts: bool
    event: Event


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """One thing and everything that was told of it, oldest first."""

    of: Named
    lines: tuple[Line, ...]


def histories(ledger: Ledger, name: str) -> tuple[History, ...]:
    """The history of everything that goes by `name`: more than one where two tables had given it out.

    Raises:
        UnknownName: nothing is called so, also not in an event that was undone.
    """
    state = ledger.state
    events = sorted(ledger.events(), key=lambda event: event.order)
    if not _is_known(state, name) and any(name in _mentioned(event) for event in events):
        return (_history(Named(what="undone", id=name), state, events),)
    return tuple(_history(of, state, events) for of in named(state, name))


def _is_known(state: TableState, name: str) -> bool:
    return name in state.items or name in state.bins or name in state.lots


def _history(of: Named, state: TableState, events: list[Event]) -> History:
    """Its lines, with those that undid some of them."""
    about = {event.id for event in events if _is_about(event, of, state)}
    found: dict[str, Event] = {}
    for event in events:
        target = event.body.event if isinstance(event.body, Undone) else None
        if event.id in about or target in about or target in found:
            found[event.id] = event
    return History(of=of, lines=tuple(Line(counts=e.id not in state.undone, event=e) for e in found.values()))


def _is_about(event: Event, of: Named, state: TableState) -> bool:
    """True where the event changed it, or would have if it had not been undone."""
    shelf: Mapping[str, Any] = {"item": state.items, "bin": state.bins, "lot": state.lots}.get(of.what, {})
    if of.id in shelf and event.id in shelf[of.id].history:
        return True
    if event.id not in state.undone:
        return of.what == "undone" and of.id in _mentioned(event)
    base, mark, station = of.id.partition("~")
    said = _mentioned(event)
    if mark:
        return of.id in said or (base in said and event.station == station)
    return of.id in said and f"{of.id}~{event.station}" not in shelf


def _mentioned(event: Event) -> set[str]:
    """The ids that the event names, as its own table calls them."""
    body = event.body
    if isinstance(body, Unknown):
        return set()
    said = {value for name in _NAMES if isinstance(value := getattr(body, name, None), str)}
    said |= set(getattr(body, "items", ()))
    return said | {name for move in getattr(body, "moves", ()) for name in (move.item, move.bin)}


def line_text(line: Line, words: Words) -> str:
    """The event as a person reads it: when, what, by whom, and whether it still counts."""
    event = line.event
    when = clock.local_minute(wall_ms(event.hlc))
    said = words(_key(event), **_values(event, words))
    by = getattr(event.body, "by", None)
    parts = [words("history.line", when=when, table=event.station, says=said)]
    if by:
        parts.append(words("history.by", by=by))
    if not line.counts:
        parts.append(words("history.undone"))
    return " ".join(parts)


def _key(event: Event) -> str:
    """The sentence for the event."""
    match event.body:
        case EvidenceAdded(evidence=evidence):
            return f"history.EvidenceAdded.{type(evidence).__name__}"
        case Judged(stage=stage):
            return f"history.Judged.{stage.value}"
        case PrepDone() as done:
            return _prep_key(done)
        case WrittenOff(lot=lot):
            return "history.WrittenOff.bin" if lot is None else "history.WrittenOff.lot"
        case Unknown():
            return "history.Unknown"
        case _:
            return f"history.{event.kind}"


def _prep_key(done: PrepDone) -> str:
    """The sentence for a step of cleaning, a part that came off, or time."""
    if done.step in (CLOCK, CLOCK_STARTS):
        return f"history.PrepDone.{done.step}"
    if done.step in set(HiddenPart):
        return "history.PrepDone.part" if done.left_on is None else "history.PrepDone.part_on"
    if done.left_on is None:
        return "history.PrepDone" if done.how is None else "history.PrepDone.how"
    return "history.PrepDone.left"


def _values(event: Event, words: Words) -> dict[str, object]:
    """What the sentence may name."""
    plain = {} if isinstance(event.body, Unknown) else plain_body(event.body)
    values: dict[str, object] = {"kind": event.kind}
    for name, value in [*plain.items(), *plain.get("evidence", {}).items()]:
        values[name] = _text(name, value)
    body = event.body
    if hasattr(body, "out_g"):
        values["out_g"] = mass_text(body.out_g)
    if isinstance(body, WrittenOff) and body.mass_g is None:
        values["mass_g"] = words("history.all")
    if isinstance(body, Judged):
        values["reasons"] = words.reasons(body.reasons)
    return values


def _text(name: str, value: Any) -> str:
    """One value of an event, as people write it."""
    if isinstance(value, float) and name.endswith("_g"):
        return mass_text(value)
    if isinstance(value, float) and name == "probability":
        return share_text(value)
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, dict):
        return ", ".join(f"{key} {_text(key, part)}" for key, part in value.items())
    if isinstance(value, list):
        return ", ".join(_text(name, part) for part in value)
    return str(value)


def history_json(found: tuple[History, ...], words: Words) -> list[dict[str, Any]]:
    """The document of `shared/history.schema.json`."""
    return [{"what": one.of.what, "id": one.of.id, "events": list(_lines_json(one, words))} for one in found]


def _lines_json(history: History, words: Words) -> Iterator[dict[str, Any]]:
    for line in history.lines:
        event = line.event
        yield {
            "id": event.id,
            "at_ms": wall_ms(event.hlc),
            "station": event.station,
            "kind": event.kind,
            "counts": line.counts,
            "says": words(_key(event), **_values(event, words)),
        }
