"""The rows of every table of an export, from the events alone; estimates are added where the handbook can."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from intake.desk.exchange.cells import Value, iso_time
from intake.desk.facts import item_of
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.ledger.bin_life import Drawn
from intake.ledger.envelope import Event, wall_ms
from intake.ledger.events import BinOpened, EvidenceAdded, PrepDone
from intake.ledger.state import ItemState, TableState
from intake.ledger.told import History, ItemTold, LotTold, history_of
from intake.spread import interval, mean_of
from intake.table.compat.decision import Verdict
from intake.table.identify.evidence import Cue, Density, Evidence, FloatTest, Mark, SpotTest
from intake.table.yields.shred import ItemYield, YieldModel

Row = Mapping[str, Value]
_USUAL_SHREDDER = "granulator"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the rows are made from."""

    state: TableState
    history: History
    yields: Mapping[str, ItemYield]


def told_of(events: Sequence[Event], state: TableState, handbook: Handbook) -> Told:
    """Everything the tables say, worked out once."""
    return Told(state=state, history=history_of(events), yields=_yields(state, handbook))


def rows_of(table: str, told: Told) -> Iterator[Row]:
    """The rows of the table of that name."""
    return _ROWS[table](told)


def _yields(state: TableState, handbook: Handbook) -> Mapping[str, ItemYield]:
    """What each item gives; an item whose facts cannot be, such as parts heavier than it, has no estimate."""
    said = state.campaign.campaign.get("shredder") if state.campaign else None
    shredder = said if isinstance(said, str) and said in handbook.losses.fines else _USUAL_SHREDDER
    model, found = YieldModel(handbook.kinds, handbook.losses, shredder), {}
    for item in state.items.values():
        try:
            found[item.id] = model.item_yield(item_of(item.facts, handbook, split_g=item.split_g))
        except BadInput:
            continue
    return MappingProxyType(found)


def _items(told: Told) -> Iterator[Row]:
    for item in told.state.items.values():
        yield _item_facts(item) | _judged(item) | _estimates(told.yields.get(item.id))


def _item_facts(item: ItemState) -> dict[str, Value]:
    facts, source = item.facts, item.facts.source
    same = (
        "kind",
        "count",
        "colour",
        "label",
        "label_off",
        "adhesive",
        "closure",
        "residue",
        "gross_g",
        "tare_g",
    )
    return {
        "item": item.id, "received_at": iso_time(wall_ms(item.since)), **{n: getattr(facts, n) for n in same},
        "scale_step_g": facts.resolution_g, "weighed": facts.weighed, "before_min": facts.minutes,
        "note": facts.note, "by": facts.by,
        "sheet": source.sheet if source else None, "sheet_row": source.row if source else None,
        "bin": item.bin, "lot": item.lot, "written_off": item.written_off, "parent": item.parent,
        "parts_g": item.split_g if item.parts else None,
    }  # fmt: skip


def _judged(item: ItemState) -> dict[str, Value]:
    last = item.placing_verdict or item.resin_verdict
    if last is None:
        return {}
    names = ("verdict", "resin", "probability", "host", "edition")
    return {name: getattr(last, name) for name in names}


def _estimates(yields: ItemYield | None) -> dict[str, Value]:
    if yields is None:
        return {}
    net, shred = interval(yields.net_g), interval(yields.shred_g)
    return {
        "net_g": round(net.mean, 3), "net_low_g": round(net.low, 3), "net_high_g": round(net.high, 3),
        "shred_g": round(shred.mean, 3), "shred_low_g": round(shred.low, 3),
        "shred_high_g": round(shred.high, 3),
    }  # fmt: skip


def _key(opened: BinOpened) -> dict[str, Value]:
    return {"resin": opened.resin, "colour": opened.colour, "flow": opened.flow, "filled": opened.filled}


def _bins(told: Told) -> Iterator[Row]:
    for of in told.state.bins.values():
        yield {
            "bin": of.id, "opened_at": iso_time(wall_ms(of.since)), **_key(of.opened),
            "capacity_l": of.opened.capacity_l, "capacity_g": of.opened.capacity_g,
            "items": len(of.items), "labels": len(of.labels), "lot": of.lot, "written_off": of.written_off,
        }  # fmt: skip


def _lots(told: Told) -> Iterator[Row]:
    for lot in told.state.lots.values():
        yield {
            "lot": lot.id, "bin": lot.bin, "shredded_at": iso_time(wall_ms(lot.since)), **_key(lot.opened),
            "items": len(lot.items), "shredder": lot.shredded.shredder,
            "scale_step_g": lot.shredded.resolution_g, "mass_g": lot.mass_g, "floated_g": float(lot.floated_g),
            "drawn_g": float(lot.drawn_g), "written_off_g": lot.written_off_g, "adjusted_g": lot.adjusted_g,
            "left_g": lot.left_g, "melt_verdict": lot.verdict,
        }  # fmt: skip


def _stamp(event: Event) -> dict[str, Value]:
    return {"event": event.id, "told_at": iso_time(wall_ms(event.hlc))}


def _evidence(told: Told) -> Iterator[Row]:
    for one in told.history.items:
        if isinstance(one.event.body, EvidenceAdded):
            yield _stamp(one.event) | {"item": one.after.id} | _seen(one.event.body.evidence)


def _seen(seen: Evidence) -> dict[str, Value]:
    if isinstance(seen, Mark):
        return {"what": "mark", "mark": seen.text, "how": seen.how}
    if isinstance(seen, FloatTest):
        return {
            "what": "float", "bath": seen.bath, "bath_g_cm3": seen.bath_g_cm3,
            "bath_sd_g_cm3": seen.bath_sd_g_cm3, "outcome": seen.outcome,
        }  # fmt: skip
    if isinstance(seen, Density):
        return {"what": "density", "density_g_cm3": seen.density_g_cm3, "density_sd_g_cm3": seen.sd_g_cm3}
    if isinstance(seen, SpotTest):
        return {"what": "spot", "tested": seen.tested, "odd": seen.odd}
    return _cue(seen)


def _cue(seen: Cue) -> dict[str, Value]:
    return {"what": "cue", "cue": seen.name, "level": seen.value}


def _prep(told: Told) -> Iterator[Row]:
    for one in told.history.items:
        body = one.event.body
        if isinstance(body, PrepDone):
            row = {
                "item": one.after.id,
                "step": body.step,
                "time_min": body.minutes,
                "left_on": body.left_on,
                "how": body.how,
                "covers": body.covers,
            }
            yield _stamp(one.event) | row


def _moves(told: Told) -> Iterator[Row]:
    """Items and shred that went somewhere, in the order it happened."""
    happened = [(one.event.order, _move(one)) for one in told.history.items if one.moved]
    happened += [(one.event.order, _draw(one, one.event.body)) for one in told.history.lots
                 if isinstance(one.event.body, Drawn)]  # fmt: skip
    for _, row in sorted(happened, key=lambda pair: pair[0]):
        yield row


def _move(one: ItemTold) -> Row:
    return _stamp(one.event) | {
        "act": one.event.kind, "item": one.after.id, "from_bin": one.before.bin, "to_bin": one.after.bin,
        "to_lot": one.after.lot, "written_off": one.after.written_off,
    }  # fmt: skip


def _draw(one: LotTold, body: Drawn) -> Row:
    return _stamp(one.event) | {
        "act": one.event.kind, "from_lot": one.after.id, "charge": body.charge, "mass_g": body.mass_g,
    }  # fmt: skip


def _losses(told: Told) -> Iterator[Row]:
    for item in told.state.items.values():
        yields = told.yields.get(item.id)
        if item.verdict is Verdict.ACCEPT and yields is not None:
            yield from _item_losses(item.id, yields)
    for one in told.history.lots:
        yield from _lot_losses(one)


def _item_losses(item: str, yields: ItemYield) -> Iterator[Row]:
    """What comes off an accepted item, and what washing and cutting are expected to take."""
    lost = {what: mean_of(mass_g) for what, mass_g in yields.removed.items()}
    lost["process"] = mean_of(yields.net_g) - mean_of(yields.shred_g)
    for what, mass_g in lost.items():
        if round(mass_g, 3):
            yield {"item": item, "what": what, "mass_g": round(mass_g, 3), "mass_is": "estimated"}


def _lot_losses(one: LotTold) -> Iterator[Row]:
    """What a bath took, what a second weighing missed and what was written off."""
    now, before = one.after, one.before
    gone = {
        "floated": now.floated_g - before.floated_g,
        "adjusted": now.adjusted_g - before.adjusted_g,
        "written-off": now.written_off_g - before.written_off_g,
    }
    for what, mass_g in gone.items():
        if mass_g:
            yield {
                "lot": now.id, "event": one.event.id, "what": what, "mass_g": float(mass_g), "mass_is": "weighed",
                "reason": getattr(one.event.body, "reason", None),
            }  # fmt: skip


_ROWS: Mapping[str, Callable[[Told], Iterator[Row]]] = MappingProxyType(
    {
        "items": _items, "bins": _bins, "lots": _lots, "evidence": _evidence, "prep": _prep, "moves": _moves,
        "losses": _losses,
    }
)  # fmt: skip
