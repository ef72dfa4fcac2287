"""`intake card`: one page to hang at the table."""

from pathlib import Path

import click


@click.command()
@click.option("--campaign", required=True, type=click.Path(path_type=Path), help="Campaign file (TOML).")
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The PDF.")
@click.option("--paper", default="a4", show_default=True, help="a4 or letter.")
@click.option("--url", default="", help="Address at which a phone joins the table, for the symbol.")
@click.option("--bath-volume", help="Of the float bath, such as 2L; the usual batch where not given.")
def card(campaign: Path, out: Path, paper: str, url: str, bath_volume: str | None) -> None:
    """Draw the card that hangs at the table: what we take, what we refuse and why, two tests, the bath."""
    from intake.desk.card import write_card
    from intake.drawing.ink import Paper
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.units import parse_volume_cm3
    from intake.words import catalogue

    words = catalogue(resources() / "words")
    bath_cm3 = parse_volume_cm3(bath_volume, where="--bath-volume") if bath_volume is not None else None
    write_card(
        campaign, out, Handbook(), words, paper=Paper.named(paper), address=url, bath_cm3=bath_cm3
    )  # fmt: skip
    click.echo(words("card.written", out=out))
