"""The facts of an item that came to the table, and how they are corrected later."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from math import isfinite
from types import MappingProxyType
from typing import Any

from intake.errors import BadInput
from intake.table.item import Adhesive, Closure, Label, LabelOff, Residue, Weighing


def not_negative(who: str, what: str, value: float | None) -> None:
    """Refuses a negative, infinite or NaN amount."""
    if value is not None and not (isfinite(value) and value >= 0.0):
        raise BadInput(where=f"{who}, {what}", got=value, expected="0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """The sheet row an item came from, so that the same sheet run twice adds nothing.

    Attributes:
        sheet: hash of the sheet's content.
        row: row of the sheet, the first below the header is 1.
    """

    sheet: str
    row: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """An item, or `count` like ones, came to the table; the fields are those of `intake.table.item.Item`.

    Attributes:
        item: id of the item, for ever.
        kind: id in the kinds table.
        gross_g: [g] reading of the scale for all pieces, tare included; None: not weighed yet.
        tare_g: [g] crate or bowl under the items.
        resolution_g: [g] smallest step of the scale.
        minutes: [min] spent on prep before it was entered.
        by: who entered it; None where nobody said.
    """

    item: str
    kind: str
    count: int = 1
    colour: str = ""
    label: Label = Label.NONE
    label_off: LabelOff = LabelOff.NO
    adhesive: Adhesive = Adhesive.NONE
    closure: Closure = Closure.NONE
    residue: Residue = Residue.CLEAN
    gross_g: float | None = None
    tare_g: float = 0.0
    resolution_g: float = 1.0
    weighed: Weighing | None = None
    minutes: float | None = None
    note: str = ""
    source: Source | None = None
    by: str | None = None

    def __post_init__(self) -> None:
        if not self.item:
            raise BadInput(where="Received item", got=self.item, expected="an id, such as a1")
        if self.count < 1:
            raise BadInput(where=f"{self.item}, count", got=self.count, expected="1 or more pieces")
        not_negative(self.item, "gross", self.gross_g)
        not_negative(self.item, "tare", self.tare_g)
        not_negative(self.item, "minutes", self.minutes)
        if not (isfinite(self.resolution_g) and self.resolution_g > 0.0):
            raise BadInput(
                where=f"{self.item}, scale step",
                got=self.resolution_g,
                expected="above 0 g, such as 1 g",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Revised:
    """Facts of a received item that were corrected or added later: field of `Received` → new value."""

    item: str
    changes: Mapping[str, Any]

    def __post_init__(self) -> None:
        typed = {name: _typed(self.item, name, value) for name, value in self.changes.items()}
        replace(_BLANK, **typed)
        object.__setattr__(self, "changes", MappingProxyType(typed))


_FIXED = ("item", "source", "by")
_BLANK = Received(item="x", kind="x")
_WORDS = MappingProxyType(
    {
        "label": Label,
        "label_off": LabelOff,
        "adhesive": Adhesive,
        "closure": Closure,
        "residue": Residue,
        "weighed": Weighing,
    }
)
REVISABLE = tuple(f.name for f in fields(Received) if f.name not in _FIXED)
"""Facts of an item that can be corrected or added after it was received."""


def _typed(item: str, name: str, value: Any) -> Any:
    """`value` as the type that the fact `name` has.

    Raises:
        BadInput: no such fact, or it cannot have that value.
    """
    where = f"{item}, {name}"
    if name not in REVISABLE:
        raise BadInput(where=where, got=name, expected="one of " + ", ".join(REVISABLE))
    if value is None and name in ("gross_g", "weighed", "minutes"):
        return None
    words = _WORDS.get(name)
    try:
        if words is not None:
            return words(value)
        old = getattr(_BLANK, name)
        wanted = float if old is None else type(old)
        if isinstance(value, bool) or (wanted is not str and isinstance(value, str)):
            raise BadInput(where=where, got=value, expected="a number")
        return wanted(value)
    except (TypeError, ValueError):
        expected = "a number" if words is None else "one of " + ", ".join(words)
        raise BadInput(where=where, got=value, expected=expected) from None
