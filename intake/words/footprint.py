"""What a kilogram of shred takes, as lines for people: each figure with its spread, beside theory and new resin."""

from collections.abc import Iterator

from intake.spread import Interval
from intake.table.yields.footprint import Footprint, likely_range
from intake.words import Words


def footprint_lines(made: Footprint, words: Words) -> Iterator[str]:
    """Water, electricity and minutes of one kilogram, one a line."""
    if made.minutes is not None:
        yield _line(words("footprint.minutes"), likely_range(made.minutes), "min", 0)
    yield _line(words("footprint.water"), likely_range(made.water_l), "L", 0)
    yield _line(words("footprint.wash"), likely_range(made.wash_kwh), "kWh", 2)
    yield _line(words("footprint.shred"), likely_range(made.shred_kwh), "kWh", 2)
    yield _line(words("footprint.melt"), likely_range(made.melt_kwh), "kWh", 2)
    for batch_kg, kwh in made.oven_kwh:
        yield _line(words("footprint.oven", batch=f"{batch_kg:g}"), likely_range(kwh), "kWh", 2)
    if made.virgin is not None:
        energy, water, co2e = (
            f"{f.typical:g}"
            for f in (made.virgin.energy_mj_kg, made.virgin.water_l_kg, made.virgin.co2e_kg_kg)
        )
        value = words("footprint.virgin_value", energy=energy, water=water, co2e=co2e)
        yield f"{words('footprint.virgin')}: {value}"


def footprint_notes(made: Footprint, words: Words, source: str) -> Iterator[str]:
    """What that means, and where the figures come from; `source` is the work behind those of new resin."""
    if made.even_batch_kg is not None:
        yield words("footprint.even", batch=f"{made.even_batch_kg:.1f}")
    yield words("footprint.basis", source=source)


def _line(name: str, amount: Interval, unit: str, digits: int) -> str:
    return f"{name}: {amount.mean:.{digits}f} {unit} ({amount.low:.{digits}f}–{amount.high:.{digits}f})"
