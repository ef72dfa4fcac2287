"""`intake melt-test`: a spoonful of a lot was melted before kilograms are risked."""

from pathlib import Path

import click

from intake.table.bins.melt_test import Bend, MeltTest, Peel, Smell, Specks


@click.command(name="melt-test")
@click.argument("lot")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--smell", required=True, type=click.Choice([s.value for s in Smell]), help="Of the melt.")
@click.option("--specks", required=True, type=click.Choice([s.value for s in Specks]), help="Unmelted bits.")
@click.option(
    "--peel", required=True, type=click.Choice([p.value for p in Peel]), help="Do layers come apart?"
)
@click.option(
    "--bend", required=True, type=click.Choice([b.value for b in Bend]), help="The cold strip, doubled."
)
@click.option("--note", default="", help="Anything else that was seen.")
@click.option("--by", help="Initials of who did it.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def melt_test(
    lot: str, *, ledger: Path, smell: str, specks: str, peel: str, bend: str, note: str, by: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Record what a molten spoonful of LOT showed, and say whether the lot may go into a mould.

    Exit code 1 where it may not.
    """
    from intake.cli.lot_act import answer
    from intake.desk.cautions import COMMANDS, cautions_shown
    from intake.desk.desk import Desk
    from intake.desk.draw import melt_tested
    from intake.desk.lots import lot_line, the_lot
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.table.compat.decision import Verdict
    from intake.table.resins import ResinId
    from intake.words import catalogue

    seen = MeltTest(smell=Smell(smell), specks=Specks(specks), peel=Peel(peel), bend=Bend(bend))
    words = catalogue(resources() / "words")
    with Desk.open(ledger, Handbook()) as desk:
        verdict, reasons = melt_tested(desk, lot, seen, note=note, by=by)
        line = lot_line(desk, the_lot(desk, lot))
        mind = cautions_shown(desk.handbook, COMMANDS["melt-test"], [ResinId(line.resin)])
    answer("melt-test", line, [words.reason(r) for r in reasons], mind, words, as_json=as_json)
    if verdict is not Verdict.ACCEPT:
        raise SystemExit(1)
