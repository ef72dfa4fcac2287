"""`intake float`: the shred of a lot went through a bath, and what did not belong was taken out."""

from pathlib import Path

import click

from intake.errors import BadInput
from intake.units import parse_mass_g


@click.command(name="float")
@click.argument("lot")
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--bath", default="water", help="water, or the density of the bath in g/cm3, such as 1.08.")
@click.option("--sinkers", help="What sank and was taken out, dried and weighed; 0 g where nothing did.")
@click.option("--floaters", help="What floated and was taken out, dried and weighed.")
@click.option("--by", help="Initials of who did it.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def float_(
    lot: str, *, ledger: Path, bath: str, sinkers: str | None, floaters: str | None, by: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Record that the shred of LOT went through a bath, and how much was taken out of it."""
    from intake.cli.bath import parse_density
    from intake.cli.lot_act import answer
    from intake.desk.cautions import COMMANDS, cautions_shown
    from intake.desk.desk import Desk
    from intake.desk.float_shred import WATER, float_outlook, float_shred
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.table.bins.lots import WATER_G_CM3
    from intake.table.bins.sink_float import Side
    from intake.words import catalogue

    if (sinkers is None) == (floaters is None):
        got = "neither" if sinkers is None else "both"
        raise BadInput(
            where="--sinkers, --floaters", got=got, expected="one of them: the part that left the lot"
        )
    out = Side.SINKERS if sinkers is not None else Side.FLOATERS
    out_g = parse_mass_g(sinkers or floaters or "", where=f"--{out.value}", zero_ok=True)
    water = bath.strip().casefold() == WATER
    bath_g_cm3 = WATER_G_CM3 if water else parse_density(bath)
    name = WATER if water else f"{bath_g_cm3:g} g/cm3"
    words = catalogue(resources() / "words")
    with Desk.open(ledger, Handbook()) as desk:
        line = float_shred(desk, lot, out_g, out=out, bath=name, bath_g_cm3=bath_g_cm3, by=by)
        advice = float_outlook(desk, line.id, bath_g_cm3)
        mind = cautions_shown(desk.handbook, COMMANDS["float"], desk.campaign.hosts)
    says = [*(words.reason(r) for r in advice.reasons), words("lots.dry")]
    answer("float", line, says, mind, words, as_json=as_json)
