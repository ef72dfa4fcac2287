"""`intake shred`: a bin was shredded and weighed; it is a lot now."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from intake.cli.show import console, mind_line, print_json
from intake.units import parse_mass_g
from intake.words import Words
from intake.words.figures import interval_text, mass_text, share_text

if TYPE_CHECKING:
    from intake.desk.lots import LotLine
    from intake.desk.shred import ShredDone
    from intake.table.bins.lots import FloatAdvice
    from intake.table.compat.cautions import Caution


@click.command()
@click.argument("bin_id", metavar="BIN")
@click.argument("mass")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--tare", default="0 g", help="The tub under the shred, such as 210 g.")
@click.option("--shredder", help="Cutting machine, where it was not the campaign's.")
@click.option("--by", help="Initials of who weighed it.")
@click.option("--sure", is_flag=True, help="The weight is right although it is far from what was expected.")
@click.option("--label", type=click.Path(path_type=Path), help="Write the lot's label here: .pdf or .png.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def shred(
    bin_id: str, mass: str, *, ledger: Path, tare: str, shredder: str | None, by: str | None, sure: bool,
    label: Path | None, as_json: bool,
) -> None:  # fmt: skip
    """Record that BIN was shredded and that its shred weighs MASS (such as 1240 g or 2.7 lb)."""
    from intake.desk.cautions import COMMANDS, cautions_shown
    from intake.desk.desk import Desk
    from intake.desk.float_shred import float_outlook
    from intake.desk.labels import label_form
    from intake.desk.lot_labels import write_lot_label
    from intake.desk.lots import lot_line, the_lot
    from intake.desk.shred import shred as shred_bin
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    mass_g = parse_mass_g(mass, where="MASS")
    tare_g = parse_mass_g(tare, where="--tare", zero_ok=True)
    if label is not None:
        label_form(label)
    words = catalogue(resources() / "words")
    with Desk.open(ledger, Handbook()) as desk:
        done = shred_bin(desk, bin_id, mass_g, tare_g=tare_g, shredder=shredder, sure=sure, by=by)
        line = lot_line(desk, the_lot(desk, done.lot))
        advice = float_outlook(desk, done.lot)
        mind = cautions_shown(desk.handbook, COMMANDS["shred"], desk.campaign.hosts)
        if as_json:
            print_json(shred_json(done, line, advice, mind, words))
        else:
            print_shred(done, line, advice, mind, words)
        if (
            label is not None
        ):  # after it was said that the lot is there: a full disk takes nothing of that back
            write_lot_label(desk, done.lot, label, words)
    if not as_json:
        about = words("lots.label_written", file=label) if label else words("lots.label_ready", lot=done.lot)
        console().print(about, markup=False)


def shred_json(
    done: "ShredDone", line: "LotLine", advice: "FloatAdvice", mind: "tuple[Caution, ...]", words: Words
) -> dict[str, Any]:
    """The new lot, what had been expected, and whether a bath pays."""
    from intake.desk.lots_plain import lot_plain

    return {
        "lot": lot_plain(line),
        "expected_g": {n: round(getattr(done.expected, n), 3) for n in ("mean", "low", "high")},
        "sigmas": round(done.sigmas, 3),
        "taught": list(done.taught),
        "float_pays": advice.pays,
        "float_reasons": [words.reason(r) for r in advice.reasons],
        "cautions": [c.id for c in mind],
    }


def print_shred(
    done: "ShredDone", line: "LotLine", advice: "FloatAdvice", mind: "tuple[Caution, ...]", words: Words
) -> None:
    """A few sentences for a person."""
    out = console()
    out.print(
        f"Bin {done.bin} is lot {done.lot} now: {mass_text(done.mass_g)} of shred, where "
        f"{interval_text(done.expected)} was expected.",
        markup=False,
    )
    out.print(f"Purity: {share_text(line.content.purity.mean)}.", markup=False)
    for reason in advice.reasons:
        out.print(words.reason(reason), markup=False)
    out.print(mind_line(mind, words), markup=False)
