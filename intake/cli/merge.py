"""`intake merge`: two tables that were apart become one."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from intake.cli.show import print_json
from intake.words import Words

if TYPE_CHECKING:
    from intake.ledger.merge import Merged


@click.command()
@click.argument("ledger", type=click.Path(path_type=Path))
@click.argument("other", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def merge(ledger: Path, other: Path, *, as_json: bool) -> None:
    """Bring everything that OTHER knows, a ledger or a backup, into LEDGER.

    OTHER is only read. Done twice it changes nothing, and it does not matter which of the two takes in the other.
    Where both told of the same thing, the later word holds; what was shredded first stays shredded.
    """
    from intake.desk.copies import merge_into
    from intake.handbook.locate import resources
    from intake.words import catalogue

    done = merge_into(ledger, other)
    if as_json:
        print_json(_plain(done))
    else:
        for line in _lines(done, catalogue(resources() / "words")):
            click.echo(line)


def _plain(done: "Merged") -> dict[str, Any]:
    """The document of `shared/merge.schema.json`."""
    return {
        "added": len(done.added),
        "stations": list(done.stations),
        "renamed": list(done.renamed),
        "conflicts": [
            {"about": c.about, "what": c.what, "holds": c.holds, "passed": c.passed} for c in done.conflicts
        ],
        "troubles": [{"where": t.where, "got": t.got, "expected": t.expected} for t in done.troubles],
    }


def _lines(done: "Merged", words: Words) -> list[str]:
    """The same as sentences."""
    if not done.added:
        return [words("merge.nothing")]
    lines = [words("merge.done", events=len(done.added), tables=len(done.stations))]
    lines += [words("merge.renamed", name=name, was=name.partition("~")[0]) for name in done.renamed]
    lines += [
        words("merge.conflict", about=c.about, what=c.what, holds=c.holds, passed=c.passed)
        for c in done.conflicts
    ]
    return lines + [str(trouble) for trouble in done.troubles]
