"""Reading a mark for a person or a program."""

from typing import Any

from intake.errors import BadInput
from intake.handbook import Handbook
from intake.table.identify.evidence import MarkHow
from intake.table.identify.mark_reading import Layer, MarkReading
from intake.table.identify.marks import read_mark
from intake.words import Words


def read_mark_text(handbook: Handbook, text: str, *, how: MarkHow = MarkHow.MOULDED) -> MarkReading:
    """What a mark says.

    Raises:
        BadInput: nothing was given.
    """
    if not text.strip():
        raise BadInput(
            where="Mark", got=text, expected="what stands on the item, such as 2, HDPE, 5 PP or >PP-TD20<"
        )
    return read_mark(text, handbook.marks, how=how)


def reading_json(reading: MarkReading, words: Words) -> dict[str, Any]:
    """A reading as `shared/mark-reading.schema.json` describes it; shares 0..1, per cents 0..100."""
    density_g_cm3 = reading.density_g_cm3
    return {
        "text": reading.text,
        "valid": reading.valid,
        "standard": reading.standard,
        "also": list(reading.also),
        "kind": reading.kind,
        "number": reading.number,
        **_content(reading),
        "trust": reading.trust,
        "density_g_cm3": None if density_g_cm3 is None else round(density_g_cm3, 3),
        "layers": [
            {"material": x.material, "role": x.role, "principal": x.principal, **_content(x)}
            for x in reading.layers
        ],
        "nearest": list(reading.nearest),
        "fault": None
        if reading.fault is None
        else {"at": reading.fault.at, "code": reading.fault.code, "got": reading.fault.got},
        "reasons": [n.code for n in reading.notes],
        "notes": [words.reason(n) for n in reading.notes],
    }


def _content(part: MarkReading | Layer) -> dict[str, Any]:
    """Polymers and additions of a whole mark or of one layer."""
    plasticizer = part.plasticizer if isinstance(part, MarkReading) else "+".join(part.plasticizers) or None
    return {
        "components": [{"resin": c.resin, "share": c.share} for c in part.components],
        "fillers": [
            {
                "symbol": f.symbol,
                "material": f.material,
                "form": f.form,
                "element": f.element,
                "percent": f.percent,
            }
            for f in part.fillers
        ],
        "plasticizer": plasticizer,
        "flame_retardant": list(part.flame_retardant),
        "recycled_percent": part.recycled_percent,
    }
