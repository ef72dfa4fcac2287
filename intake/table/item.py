"""What one item is and wears, as seen at the table; no judgement yet."""

from dataclasses import dataclass
from enum import StrEnum

from intake.table.kinds import Kind


class Label(StrEnum):
    """What kind of label the item wears."""

    NONE = "none"
    PAPER = "paper"
    FILM = "film"
    SLEEVE = "sleeve"
    IN_MOULD = "in-mould"
    PRINTED = "printed"


class LabelOff(StrEnum):
    """Whether the label has come off."""

    YES = "yes"
    NO = "no"
    PARTLY = "partly"


class Adhesive(StrEnum):
    """What glue is left on the item."""

    NONE = "none"
    RESIDUE = "residue"
    HEAVY = "heavy"


class Closure(StrEnum):
    """Where the closure is: on the item, taken off, or there never was one."""

    ON = "on"
    OFF = "off"
    NONE = "none"


class Residue(StrEnum):
    """What is left of the content."""

    CLEAN = "clean"
    RINSED = "rinsed"
    FOOD = "food"
    EDIBLE_OIL = "edible-oil"
    MOTOR_OIL = "motor-oil"
    HAZARDOUS = "hazardous"


class Weighing(StrEnum):
    """In which state the item lay on the scale."""

    AS_RECEIVED = "as-received"
    PREPARED = "prepared"


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One container, or `count` like ones entered together.

    Attributes:
        kind: row of the kinds table.
        count: pieces, >= 1.
        colour: colour as a person says it ("natural", "light blue").
        label: what label it wears; the kind's usual one where nobody looked.
        label_off: whether it has come off.
        adhesive: glue still on.
        closure: where the closure is now.
        residue: what is left of the content.
        gross_g: [g] reading of the scale for all pieces together, tare included; None: not weighed.
        tare_g: [g] crate or bowl under the items, >= 0.
        resolution_g: [g] smallest step of the scale, > 0.
        weighed: the state in which it was weighed; None where it was not.
        split_g: [g] parts of it entered as items of their own (its caps), >= 0.
    """

    kind: Kind
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
    split_g: float = 0.0
