"""`intake worth`: which items of a pile to clean first, and how far the minutes left today get."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.table import Table

from intake.cli.show import console, mind_line, print_json
from intake.spread import Interval, interval, mean_of
from intake.table.yields.footprint import likely_range
from intake.units import number
from intake.words import Words
from intake.words.figures import interval_text
from intake.words.footprint import footprint_lines, footprint_notes

if TYPE_CHECKING:
    from intake.desk.worth import WorthLine, WorthReport
    from intake.desk.worth_charge import ChargeInTime
    from intake.handbook.sources import Work
    from intake.table.yields.footprint import Footprint


@click.command()
@click.argument("sheet", type=click.Path(path_type=Path))
@click.option("--campaign", type=click.Path(path_type=Path), help="Campaign file; else the ledger's own.")
@click.option("--ledger", type=click.Path(path_type=Path), help="Learn from its minutes, count its bins.")
@click.option("--minutes", help="Minutes left today, such as 90.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def worth(
    sheet: Path, *, campaign: Path | None, ledger: Path | None, minutes: str | None, as_json: bool
) -> None:
    """Order an intake SHEET (CSV) best first: clean grams for a minute of work, before anything is touched."""
    from intake.desk.worth import worth_of_sheet
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    book = Handbook()
    expected = "minutes from 0 to 1440, such as 90"
    left = None if minutes is None else number(minutes, where="--minutes", expected=expected)
    made = worth_of_sheet(sheet, book, campaign_path=campaign, ledger=ledger, minutes=left)
    words = catalogue(resources() / "words")
    if as_json:
        print_json(worth_json(made, words))
    else:
        print_worth(made, words, book.sources["S-PMC"])


def worth_json(made: "WorthReport", words: Words) -> dict[str, Any]:
    """The document of `shared/worth.schema.json`."""
    return {
        "minutes": made.minutes,
        "logged_rows": round(made.logged_rows, 3),
        "items": [_line_json(line, words) for line in made.ordered],
        "left_out": [_line_json(line, words) for line in made.left_out],
        "charges": [_charge_json(c, words) for c in made.charges],
        "footprint": [_footprint_json(f) for f in made.footprints],
        "cautions": [c.id for c in made.cautions],
    }


def _line_json(line: "WorthLine", words: Words) -> dict[str, Any]:
    worth, verdict = line.worth, line.verdict
    return {
        "item": worth.key,
        "kind": line.kind,
        "count": line.count,
        "verdict": verdict.verdict.value,
        "resin": verdict.resin,
        "host": verdict.host,
        "chance": round(worth.chance, 6),
        "grams_per_minute": round(worth.g_per_minute, 3),
        "minutes": _span(interval(worth.minutes)),
        "shred_g": _span(interval(worth.shred_g)),
        "tasks": list(worth.tasks),
        "reasons": [words.reason(r) for r in (*verdict.reasons, *worth.reasons)],
    }


def _charge_json(charge: "ChargeInTime", words: Words) -> dict[str, Any]:
    return {
        "id": charge.id,
        "resin": charge.resin,
        "have_g": _span(charge.have),
        "charge_g": _span(charge.charge),
        "minutes_needed": None if charge.minutes_needed is None else round(charge.minutes_needed, 1),
        "reached_g": _span(charge.reached) if charge.reached else None,
        "chance": None if charge.chance is None else round(charge.chance, 4),
        "answer": words.reason(charge.reason),
    }


def _footprint_json(made: "Footprint") -> dict[str, Any]:
    new = made.virgin
    return {
        "resin": made.resin,
        "water_l_kg": _span(likely_range(made.water_l)),
        "wash_kwh_kg": _span(likely_range(made.wash_kwh)),
        "shred_kwh_kg": _span(likely_range(made.shred_kwh)),
        "melt_kwh_kg": _span(likely_range(made.melt_kwh)),
        "oven_kwh_kg": [{"batch_kg": kg, **_span(likely_range(kwh))} for kg, kwh in made.oven_kwh],
        "even_batch_kg": None if made.even_batch_kg is None else round(made.even_batch_kg, 2),
        "minutes_kg": None if made.minutes is None else _span(likely_range(made.minutes)),
        "virgin": None
        if new is None
        else {
            "energy_mj_kg": new.energy_mj_kg.typical,
            "water_l_kg": new.water_l_kg.typical,
            "co2e_kg_kg": new.co2e_kg_kg.typical,
            "source": new.energy_mj_kg.source,
        },
    }


def _span(amount: Interval) -> dict[str, float]:
    return {"mean": round(amount.mean, 4), "low": round(amount.low, 4), "high": round(amount.high, 4)}


def print_worth(made: "WorthReport", words: Words, virgin: "Work") -> None:
    """The pile best first, the answer about today, the cautions and the footprint."""
    out = console()
    for charge in made.charges:
        out.print(words.reason(charge.reason), markup=False)
    if made.ordered:
        out.print(_table(made, words))
    else:
        out.print(words("worth.none"))
    if made.left_out:
        out.print(words("worth.left_out", items=", ".join(x.worth.key for x in made.left_out)), markup=False)
    for line in made.ordered:
        for reason in line.worth.reasons:
            out.print(f"{line.worth.key}: {words.reason(reason)}", markup=False)
    pace = "worth.pace_own" if made.logged_rows else "worth.pace_handbook"
    out.print(words(pace, rows=f"{made.logged_rows:.0f}"))
    out.print(mind_line(made.cautions, words), markup=False)
    for one in made.footprints:
        out.print(words("footprint.title", resin=one.resin), markup=False)
        for text in footprint_lines(one, words):
            out.print(f"  {text}", markup=False)
        for text in footprint_notes(one, words, virgin.cited):
            out.print(text, markup=False)


def _table(made: "WorthReport", words: Words) -> Table:
    """The pile, best first."""
    table = Table(box=None, pad_edge=False)
    for name in ("item", "kind", "verdict"):
        table.add_column(words(f"worth.{name}"))
    for name in ("rate", "minutes", "shred"):
        table.add_column(words(f"worth.{name}"), justify="right")
    for line in made.ordered:
        table.add_row(*_cells(line))
    return table


def _cells(line: "WorthLine") -> tuple[str, ...]:
    worth = line.worth
    kind = f"{line.count} × {line.kind}" if line.count > 1 else line.kind
    minutes = f"{mean_of(worth.minutes):.1f}"
    shred = interval_text(interval(worth.shred_g))
    return worth.key, kind, line.verdict.verdict.value, f"{worth.g_per_minute:.0f}", minutes, shred
