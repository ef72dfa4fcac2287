"""What a prep step changes about an item's facts."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from intake.ledger.events import PrepDone, Received
from intake.table.item import Adhesive, Closure, LabelOff, Residue

Change = Callable[[Received, str | None], Received]

_CHANGES: Mapping[str, Change] = MappingProxyType(
    {
        "closure": lambda facts, left: replace(facts, closure=Closure(left or "off")),
        "label": lambda facts, left: replace(facts, label_off=LabelOff(left or "yes")),
        "adhesive": lambda facts, left: replace(facts, adhesive=Adhesive(left or "none")),
        "residue": lambda facts, left: replace(facts, residue=Residue(left or "clean")),
    }
)


def after_prep(facts: Received, done: PrepDone) -> Received:
    """The facts after a prep step; a step that changes none, or whose word is not known, leaves them."""
    change = _CHANGES.get(done.step)
    if change is None:
        return facts
    try:
        return change(facts, done.left_on)
    except ValueError:
        return facts
