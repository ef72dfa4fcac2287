"""What a mark says once it is read, and which resins it allows."""

from dataclasses import dataclass

from intake.table.resins import OTHER, Reason, ResinId, ResinTable

PLASTIC, NOT_PLASTIC, UNKNOWN = "plastic", "not-plastic", "unknown"
CODED = range(1, 7)
"""Numbers that name one resin; 7 is what is left over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One polymer of a mark.

    Attributes:
        resin: the term as the standard writes it (ASA, PA66), also where the resin table has no such row.
        share: [-] 0..1 of the polymer part; None where the mark does not tell (it rarely does).
        listed: the resin of the resin table that stands for it; `other` where none does.
    """

    resin: ResinId
    share: float | None = None
    listed: ResinId = OTHER


@dataclass(frozen=True, slots=True, kw_only=True)
class Filler:
    """A filler or reinforcement: `percent` [%] by mass of the whole, None where the mark does not tell."""

    symbol: str
    material: str
    form: str = ""
    element: str = ""
    percent: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One material of a mark; marks of a single material have one layer.

    Attributes:
        material: what it is where it is no plastic ("metal layer"); then nothing else is filled.
        role: the part it belongs to where the mark says so ("cap").
        recycled: True where the mark says that it holds recyclate; `recycled_percent` [%] is the least of it.
        principal: True where it is underlined as the largest by mass, or the only one.
    """

    components: tuple[Component, ...] = ()
    fillers: tuple[Filler, ...] = ()
    plasticizers: tuple[str, ...] = ()
    flame_retardant: tuple[int, ...] = ()
    flame_retarded: bool = False
    recycled: bool = False
    recycled_percent: float | None = None
    material: str = ""
    role: str = ""
    principal: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Where a mark stops following the standard.

    Attributes:
        at: index of the first wrong character in the text as given, 0 at its start, its length at its end.
        code: which rule is broken (`unknown_filler`, `parentheses`).
        got: the wrong piece.
    """

    at: int
    code: str
    got: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkReading:
    """Everything a mark says; a mark is never proof.

    Attributes:
        valid: True when the text is a mark that names a material and does not contradict itself.
        standard: the list it was read by; `also` are others that say the same.
        kind: plastic, not-plastic or unknown.
        trust: [-] 0..1, chance that the mark names what the body is made of; 0 where it is not valid.
        density_g_cm3: [g/cm3] what the piece should weigh, fillers included; None where the mark cannot tell.
        notes: what follows for sorting, melting and testing.
        nearest: known marks that look most like an unknown one; never taken as read.
    """

    text: str
    valid: bool
    standard: str | None = None
    also: tuple[str, ...] = ()
    kind: str = UNKNOWN
    number: int | None = None
    layers: tuple[Layer, ...] = ()
    trust: float = 0.0
    density_g_cm3: float | None = None
    notes: tuple[Reason, ...] = ()
    nearest: tuple[str, ...] = ()
    fault: Fault | None = None

    @property
    def components(self) -> tuple[Component, ...]:
        """The polymers of all layers, in the order of the mark."""
        return tuple(c for layer in self.layers for c in layer.components)

    @property
    def fillers(self) -> tuple[Filler, ...]:
        """The fillers of all layers."""
        return tuple(f for layer in self.layers for f in layer.fillers)

    @property
    def plasticizer(self) -> str | None:
        """The plasticizers, joined with + as the standard does."""
        return "+".join(p for layer in self.layers for p in layer.plasticizers) or None

    @property
    def flame_retardant(self) -> tuple[int, ...]:
        """The flame retardant codes of all layers."""
        return tuple(f for layer in self.layers for f in layer.flame_retardant)

    @property
    def recycled_percent(self) -> float | None:
        """[%] The least share of recyclate; None where the mark does not tell."""
        return next((x.recycled_percent for x in self.layers if x.recycled_percent is not None), None)


def judged_components(reading: MarkReading, resins: ResinTable) -> tuple[ResinId, ...]:
    """The classes of the posterior that a mark allows.

    A wide term allows all its kinds (PE: PE-HD, PE-LD, PE-LLD), a number all that share it (4: PE-LD and
    PE-LLD), 7 everything that no number from 1 to 6 names. Blends, several materials and what is no plastic
    are `other`. A filler does not change the class.

    Returns:
        Judged resins in the order of the table; empty where the mark says nothing of one piece (not valid, no
        material, or a list of parts that each need their own entry).
    """
    if not reading.valid or not reading.layers:
        return ()
    if any(layer.role for layer in reading.layers):
        return ()
    if reading.kind != PLASTIC or len(reading.layers) > 1 or len(reading.components) != 1:
        return (OTHER,)
    component = reading.components[0]
    if component.resin == OTHER:
        return tuple(r for r in resins.judged if resins.code(r) not in CODED)
    if reading.number is not None and component.resin == component.listed:
        coded = tuple(r for r in resins.judged if r != OTHER and resins.code(r) == reading.number)
        plain = next((r for r in resins.rows.values() if r.code == reading.number), None)
        if reading.number in CODED and plain is not None and plain.id == component.resin:
            return coded
    kinds = tuple(r for r in resins.judged if r != OTHER and resins.is_a(r, component.listed))
    return kinds or (resins.rows[component.listed].judged_as,)


def iso_11469_text(layers: tuple[Layer, ...], *, digits: int = 2) -> str:
    """The mark as ISO 11469 writes it; a single layer is not underlined, a per cent has at least `digits`."""
    several = len(layers) > 1
    body = ",".join(
        f"_{_layer_text(x, digits)}_" if several and x.principal else _layer_text(x, digits) for x in layers
    )
    return f">{body}<"


def _layer_text(layer: Layer, digits: int) -> str:
    """One layer: polymers, plasticizers, fillers, flame retardants, recyclate."""
    text = "+".join(c.resin for c in layer.components)
    if layer.plasticizers:
        text += f"({'+'.join(layer.plasticizers)})"
    fillers = [_filler_text(f, digits) for f in layer.fillers]
    if fillers:
        text += f"-({'+'.join(fillers)})" if len(fillers) > 1 else f"-{fillers[0]}"
    if layer.flame_retardant:
        text += f"-FR({'+'.join(f'{c:02d}' for c in layer.flame_retardant)})"
    elif layer.flame_retarded:
        text += "-FR"
    if layer.recycled:
        percent = "" if layer.recycled_percent is None else f"{layer.recycled_percent:0{digits}.0f}"
        text += f"(REC{percent})"
    return text


def _filler_text(filler: Filler, digits: int) -> str:
    element = f"({filler.element})" if filler.element else ""
    percent = "" if filler.percent is None else f"{filler.percent:0{digits}.0f}"
    return f"{filler.symbol}{element}{percent}"
