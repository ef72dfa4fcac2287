"""`intake sort`: the main job from a file."""

from pathlib import Path

import click

from intake.cli.show import print_json


@click.command()
@click.argument("sheet", type=click.Path(path_type=Path))
@click.option(
    "--campaign",
    required=True,
    type=click.Path(path_type=Path),
    help="Campaign file (TOML): charges, limits.",
)
@click.option(
    "--out", required=True, type=click.Path(path_type=Path), help="Folder for the files; made if missing."
)
@click.option(
    "--ledger", type=click.Path(path_type=Path), help="Append to this ledger; the same sheet adds nothing."
)
@click.option("--skip-bad", is_flag=True, help="Process the good rows; list the others in rejected.csv.")
@click.option("--json", "as_json", is_flag=True, help="Print the summary alone, as JSON.")
def sort(
    sheet: Path, campaign: Path, out: Path, ledger: Path | None, *, skip_bad: bool, as_json: bool
) -> None:
    """Sort an intake SHEET (CSV) into bins, with labels and a count toward each charge."""
    run_sort(sheet, campaign, out, ledger=ledger, skip_bad=skip_bad, as_json=as_json)


def run_sort(
    sheet: Path, campaign: Path, out: Path, *, ledger: Path | None, skip_bad: bool, as_json: bool
) -> None:
    """Sort and say what came of it; the demo does the same with its own files."""
    from intake.cli.sort_table import progress_of, show_sorted
    from intake.desk.outputs import summary
    from intake.desk.sort_file import sort_file
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    words = catalogue(resources() / "words", "en")
    with progress_of(quiet=as_json) as begin:
        done = sort_file(
            sheet, campaign, out, Handbook(), words, ledger=ledger, skip_bad=skip_bad, begin=begin
        )
    if as_json:
        print_json(summary(done.report))
    else:
        show_sorted(done, out, words)
