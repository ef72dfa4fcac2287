"""`intake lots`: what is left of every lot, how pure it is, and what would make it better."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.table import Table

from intake.cli.show import console, mind_line, print_json
from intake.words import Words
from intake.words.figures import mass_text, share_span_text

if TYPE_CHECKING:
    from intake.desk.lots import LotLine
    from intake.table.bins.lots import FloatAdvice
    from intake.table.compat.cautions import Caution


@click.command()
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def lots(*, ledger: Path, as_json: bool) -> None:
    """List the lots: mass left, purity with its doubt, whether a water bath pays, what the test melt said."""
    from intake.desk.cautions import COMMANDS, cautions_shown
    from intake.desk.desk import Desk
    from intake.desk.float_shred import float_outlook
    from intake.desk.lots import lot_lines
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    with Desk.read(ledger, Handbook()) as desk:
        told = tuple((line, float_outlook(desk, line.id)) for line in lot_lines(desk))
        mind = cautions_shown(desk.handbook, COMMANDS["lots"], desk.campaign.hosts)
    words = catalogue(resources() / "words")
    if as_json:
        print_json(lots_json(told, mind, words))
    else:
        print_lots(told, mind, words)


def lots_json(
    told: "tuple[tuple[LotLine, FloatAdvice], ...]", mind: "tuple[Caution, ...]", words: Words
) -> dict[str, Any]:
    """The document of `shared/lots.schema.json`."""
    from intake.desk.lots_plain import lot_plain

    return {
        "lots": [
            {
                **lot_plain(line),
                "water_bath": {
                    "pays": advice.pays,
                    "take_out": str(advice.out) if advice.pays else None,
                    "says": [words.reason(r) for r in advice.reasons],
                },
            }
            for line, advice in told
        ],
        "cautions": [c.id for c in mind],
    }


def print_lots(
    told: "tuple[tuple[LotLine, FloatAdvice], ...]", mind: "tuple[Caution, ...]", words: Words
) -> None:
    """A table, and a line for each lot that a bath would make better."""
    out = console()
    if told:
        out.print(_table(told, words))
    else:
        out.print(words("lots.none"), markup=False)
    for line, advice in told:
        if advice.pays:
            says = " ".join(words.reason(r) for r in advice.reasons)
            out.print(f"{line.id}: {says}", markup=False)
    out.print(mind_line(mind, words), markup=False)


def _table(told: "tuple[tuple[LotLine, FloatAdvice], ...]", words: Words) -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in ("Lot", "Bin", "Resin", "Colour", "Flow"):
        table.add_column(heading)
    for heading in ("Left", "Purity"):
        table.add_column(heading, justify="right")
    table.add_column("Water bath")
    table.add_column("Test melt")
    for line, advice in told:
        table.add_row(
            line.id, line.bin, line.resin, line.colour, f"{line.flow}, filled" if line.filled else line.flow,
            mass_text(line.left_g), share_span_text(line.content.purity),
            words("lots.bath_pays" if advice.pays else "lots.bath_not"),
            words(f"melt.{line.verdict}") if line.verdict else words("melt.none"),
        )  # fmt: skip
    return table


def lot_sentence(line: "LotLine", words: Words) -> str:
    """One lot as it stands, in one sentence."""
    return words(
        "lots.stands", lot=line.id, left=mass_text(line.left_g), mass=mass_text(line.mass_g),
        purity=share_span_text(line.content.purity),
    )  # fmt: skip
