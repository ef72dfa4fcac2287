"""`intake demo`: the main job on the made-up afternoon of `resources/demo/`."""

from pathlib import Path

import click

from intake.cli.sort import run_sort


@click.command()
@click.option(
    "--out", required=True, type=click.Path(path_type=Path), help="Folder for the files; made if missing."
)
@click.option("--json", "as_json", is_flag=True, help="Print the summary alone, as JSON.")
def demo(out: Path, *, as_json: bool) -> None:
    """Sort the demo: an afternoon at the quayside table of an invented town."""
    from intake.handbook.locate import resources

    folder = resources() / "demo"
    run_sort(
        folder / "sheet.csv", folder / "campaign.toml", out, ledger=None, skip_bad=False, as_json=as_json
    )
