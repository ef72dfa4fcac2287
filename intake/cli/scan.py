"""`intake scan`: the labels in a picture."""

from pathlib import Path

import click

from intake.cli.show import console, print_json


@click.command()
@click.argument("image", type=click.Path(path_type=Path))
@click.option("--ledger", type=click.Path(path_type=Path), help="Say what this table knows of the bins.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def scan(image: Path, *, ledger: Path | None, as_json: bool) -> None:
    """Find all labels in IMAGE and say what each is of.

    Exit code 1 where there is no label, or none that can be opened here.
    """
    from intake.desk.desk import Desk
    from intake.desk.scan import scan_file, scan_json, sentence
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    words = catalogue(resources() / "words")
    if ledger is None:
        found = scan_file(image)
    else:
        with Desk.read(ledger, Handbook()) as desk:
            found = scan_file(image, desk)
    if as_json:
        print_json(scan_json(image, found, words))
    else:
        for scanned in found:
            console().print(sentence(scanned, words), markup=False)
        if not found:
            console().print(words("scan.nothing"), markup=False)
    if not any(s.opens for s in found):
        raise SystemExit(1)
