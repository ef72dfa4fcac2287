"""`intake colour`: the colour group of an item in a photo."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from intake.cli.show import console, print_json
from intake.errors import BadInput
from intake.units import parse_mass_g
from intake.words import Words
from intake.words.figures import mass_text

if TYPE_CHECKING:
    from intake.desk.colour import BinMix, ReadColour

_SEVERAL = 2


@click.command()
@click.argument("image", type=click.Path(path_type=Path))
@click.option("--paper/--no-paper", default=True, help="Whether white paper may lie at the picture's edge.")
@click.option(
    "--ledger", type=click.Path(path_type=Path), help="Show what a bin would look like; needs --bin."
)
@click.option("--bin", "bin_id", metavar="ID", help="The bin the item would go into; needs --mass.")
@click.option("--mass", help="Mass of the item, such as 40 g.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def colour(
    image: Path, *, paper: bool, ledger: Path | None, bin_id: str | None, mass: str | None, as_json: bool
) -> None:
    """Propose a colour group for the item in IMAGE; nothing is recorded.

    Lay the item on something of another colour, away from the edge of the picture, with a sheet of white paper
    under it or beside it that reaches the edge.
    """
    from intake.desk.colour import colour_json, mix_with, read_colour
    from intake.desk.desk import Desk
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    wanted = _wanted(ledger, bin_id, mass)
    book, words, mix = Handbook(), catalogue(resources() / "words"), None
    read = read_colour(image, book, paper=paper)
    if wanted is not None:
        folder, name, mass_g = wanted
        with Desk.read(folder, book) as desk:
            mix = mix_with(desk, name, read.seen.body, mass_g)
    if as_json:
        print_json(colour_json(image, read, words, mix))
    else:
        _say(read, words, mix)


def _wanted(ledger: Path | None, bin_id: str | None, mass: str | None) -> tuple[Path, str, float] | None:
    """Ledger, bin and [g] mass of a preview: all or none."""
    if ledger is None and bin_id is None and mass is None:
        return None
    if ledger is None or bin_id is None or mass is None:
        raise BadInput(where="Preview of a bin", got="a part", expected="--ledger, --bin and --mass together")
    return ledger, bin_id, parse_mass_g(mass, where="--mass")


def _say(read: "ReadColour", words: Words, mix: "BinMix | None") -> None:
    """The answer in sentences, each colour with a patch of it."""
    from intake.desk.colour import hex_of
    from intake.table.bins.light import rgb_of

    out, proposal, seen = console(), read.proposal, read.seen

    def patch(value: str) -> str:
        return f"[on {value}]    [/] {value}"

    group = words(f"colour.{proposal.group}")
    body = patch(hex_of(rgb_of(seen.body)))
    out.print(
        words("colour_photo.is", group=group, word=proposal.word, away=f"{proposal.delta_e:.1f}", body=body)
    )
    if len(seen.patches) >= _SEVERAL:
        out.print(words("colour_photo.mix", mix=patch(hex_of(rgb_of(seen.mix)))))
    for note in read.notes:
        out.print(words.reason(note), markup=False)
    if mix is None:
        return
    after = patch(hex_of(mix.after))
    if mix.before is None or mix.delta_e is None:
        out.print(words("colour_photo.first", bin=mix.bin, after=after))
    else:
        before, moved = patch(hex_of(mix.before)), f"{mix.delta_e:.1f}"
        out.print(words("colour_photo.bin", bin=mix.bin, before=before, after=after, moved=moved))
    if mix.unknown_g > 0.0:
        out.print(words("colour_photo.unknown", mass=mass_text(mix.unknown_g)))
