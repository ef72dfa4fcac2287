"""What must hold of every ledger, as functions that return all that does not."""

from collections.abc import Callable, Iterable, Iterator
from types import MappingProxyType

from intake.errors import Finding
from intake.ledger.envelope import Event
from intake.ledger.events import Undone, Unknown
from intake.ledger.state import ItemState, TableState
from intake.table.compat.decision import Verdict

_ROUNDING_G = 1e-6

Check = Callable[[TableState], Iterable[Finding]]


def state_findings(state: TableState) -> tuple[Finding, ...]:
    """Everything about the table as it stands that cannot be true, in the order of the checks."""
    return tuple(finding for check in _CHECKS for finding in check(state))


def event_findings(events: Iterable[Event]) -> tuple[Finding, ...]:
    """What is wrong with single events: a body that this version cannot read, an undo without its target."""
    known = set()
    wanted = []
    findings = []
    for event in events:
        known.add(event.id)
        if isinstance(event.body, Undone):
            wanted.append((event.id, event.body.event))
        elif isinstance(event.body, Unknown):
            expected = f"an event of this version ({event.body.why}); it is kept but not counted"
            findings.append(Finding(where=f"Event {event.id}", got=event.kind, expected=expected))
    missing = ((by, target) for by, target in wanted if target not in known)
    findings += [
        Finding(where=f"Event {by}", got=t, expected="an event that is in the ledger") for by, t in missing
    ]
    return tuple(findings)


def misplaced(state: TableState) -> Iterator[Finding]:
    """An item lies in at most one bin, and the item and the bin agree on it."""
    lies_in: dict[str, str] = {}
    for name, of in state.bins.items():
        for item in of.items:
            if item in lies_in:
                yield Finding(where=f"Item {item}", got=f"in {lies_in[item]} and {name}", expected="one bin")
            lies_in[item] = name
    for name, item_state in state.items.items():
        if item_state.bin != lies_in.get(name):
            got = f"{item_state.bin} at the item, {lies_in.get(name)} at the bins"
            yield Finding(where=f"Item {name}", got=got, expected="the same bin on both sides")


def lost_lots(state: TableState) -> Iterator[Finding]:
    """A shredded item lies in no bin and in one lot; a lot's mass went somewhere or is still there."""
    in_lot: dict[str, str] = {}
    for name, lot in state.lots.items():
        for item in lot.items:
            if item in in_lot:
                yield Finding(where=f"Item {item}", got=f"in {in_lot[item]} and {name}", expected="one lot")
            in_lot[item] = name
        gone_g = lot.floated_g + lot.drawn_g + lot.written_off_g + lot.adjusted_g
        if lot.left_g < 0.0 or abs(lot.mass_g - gone_g - lot.left_g) > _ROUNDING_G:
            got = f"{lot.left_g:g} g left of {lot.mass_g:g} g, {gone_g:g} g gone"
            yield Finding(
                where=f"Lot {name}", got=got, expected="what was weighed = what is gone + what is left"
            )
    for name, item_state in state.items.items():
        if item_state.lot != in_lot.get(name) or (item_state.lot and item_state.bin):
            got = f"{item_state.lot} at the item, {in_lot.get(name)} at the lots, bin {item_state.bin}"
            yield Finding(where=f"Item {name}", got=got, expected="one lot and no bin")


def placed_without_leave(state: TableState) -> Iterator[Finding]:
    """Whatever lies in a bin was accepted."""
    for name, item in state.items.items():
        if item.bin is not None and item.verdict is not Verdict.ACCEPT:
            got = "no verdict" if item.verdict is None else item.verdict.value
            yield Finding(where=f"Item {name} in bin {item.bin}", got=got, expected="accept")


def negative_mass(state: TableState) -> Iterator[Finding]:
    """No item weighs less than nothing: not after the tare, not after its parts moved out."""
    for name, item in state.items.items():
        gross_g = item.facts.gross_g
        if gross_g is None:
            continue
        left_g = gross_g - item.facts.tare_g
        if left_g < -_ROUNDING_G:
            yield Finding(
                where=f"Item {name}, net", got=f"{left_g:g} g", expected="0 g or more after the tare"
            )
        elif _weighed_with_parts(item) and left_g - item.split_g < -item.facts.resolution_g:
            got = f"{item.split_g:g} g of {left_g:g} g"
            yield Finding(
                where=f"Item {name}, parts", got=got, expected="parts that weigh no more than the item"
            )


def _weighed_with_parts(item: ItemState) -> bool:
    """True where the parts lay on the scale too."""
    return item.facts.weighed is None or item.facts.weighed.value == "as-received"


def circular_parts(state: TableState) -> Iterator[Finding]:
    """Nothing was taken off itself, by whatever way round."""
    for name, item in state.items.items():
        seen, at = {name}, item.parent
        while at is not None and at not in seen:
            seen.add(at)
            above = state.items.get(at)
            at = above.parent if above else None
        if at == name:
            yield Finding(where=f"Item {name}", got="a part of itself", expected="a part of another item")


def told_in_folding(state: TableState) -> Iterator[Finding]:
    """Events that did not fit when they happened."""
    yield from state.troubles


_CHECKS: tuple[Check, ...] = (
    told_in_folding, misplaced, lost_lots, placed_without_leave, negative_mass, circular_parts,
)  # fmt: skip
CHECKS = MappingProxyType({check.__name__: check for check in _CHECKS})
"""All checks of the state by name."""
