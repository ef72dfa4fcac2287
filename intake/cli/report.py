"""`intake report`: the day as one page of pictures."""

from pathlib import Path

import click


@click.command()
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="Folder of the ledger.")
@click.option("--day", help="Such as 2026-11-25; the last day on which something happened where not given.")
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The PDF.")
@click.option("--paper", default="a4", show_default=True, help="a4 or letter.")
def report(ledger: Path, day: str | None, out: Path, paper: str) -> None:
    """Draw the day: where the mass went, how far each charge is, the minutes, and what to bring next time."""
    from intake.desk.day_report import write_day_report
    from intake.drawing.ink import Paper
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue
    from intake.words.figures import interval_text

    words = catalogue(resources() / "words")
    told = write_day_report(ledger, out, Handbook(), words, day=day, paper=Paper.named(paper))
    click.echo(
        words("report.written", out=out, day=told.day, items=told.items, mass=interval_text(told.received))
    )
