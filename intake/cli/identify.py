"""`intake identify`: what an item is made of, how sure that is, and the next test worth its minutes."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click
from rich.table import Table

from intake.cli.show import console, mind_line, print_json
from intake.table.identify.evidence import Evidence, Mark, MarkHow
from intake.words import Words
from intake.words.figures import share_text

if TYPE_CHECKING:
    from intake.desk.identify import Identified
    from intake.handbook import Handbook

_SHOWN = 5
_TESTS_SHOWN = 3
_WORTH_SHOWING = 0.001


@click.command()
@click.option("--kind", default="other", show_default=True, help="What it is: jug, tub, bottle cap ...")
@click.option("--mark", "marks", multiple=True, help="What stands on it, such as 2, HDPE or '>PP-TD20<'.")
@click.option(
    "--mark-how",
    type=click.Choice([h.value for h in MarkHow]),
    default=MarkHow.MOULDED.value,
    show_default=True,
    help="How the mark stands on it.",
)
@click.option(
    "--float", "floats", multiple=True, help="BATH=floats|sinks|hovers; BATH: water, 0.93, salt-1.08."
)
@click.option("--density", "densities", multiple=True, help="Measured, in g/cm3, such as 0.955±0.004.")
@click.option(
    "--weighed", multiple=True, help="dry=62.1g,hanging=-2.6g,bath=water,temperature=20°C,resolution=0.1g"
)
@click.option("--cue", "cues", multiple=True, help="NAME=VALUE, such as nail_scratch=faint_mark.")
@click.option(
    "--kit", multiple=True, help="What the table has: water, salt-bath, alcohol-bath, kitchen-scale ..."
)
@click.option(
    "--hot-tests", is_flag=True, help="Also think of flame and hot needle, where it is safe enough."
)
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def identify(*, as_json: bool, kind: str, kit: tuple[str, ...], hot_tests: bool, **given: Any) -> None:
    """Say what an item is made of, from its kind, marks, float tests, density and simple looks."""
    from intake.desk import identify as act
    from intake.desk.cautions import COMMANDS, cautions_shown
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    book = Handbook()
    found = act.identify(
        book,
        book.kinds.get(kind, where="--kind"),
        list(_evidence(book, given)),
        kit=act.read_kit(book, kit),
        hot=hot_tests,
    )
    words = catalogue(resources() / "words")
    suspects = [r for r, p in found.posterior.probabilities.items() if p >= _WORTH_SHOWING]
    mind = cautions_shown(book, COMMANDS["identify"], suspects)
    if as_json:
        print_json(act.identified_json(found, words) | {"cautions": [c.id for c in mind]})
    else:
        _show(found, words)
        console().print(mind_line(mind, words), markup=False)


def _evidence(book: "Handbook", given: dict[str, Any]) -> Iterator[Evidence]:
    """Every option as a piece of evidence."""
    from intake.desk.identify import read_float_in, read_weighed
    from intake.desk.marks import read_mark_text
    from intake.desk.tests_column import read_cue, read_density

    how = MarkHow(given["mark_how"])
    for text in given["marks"]:
        read_mark_text(book, text, how=how)
        yield Mark(text=text, how=how)
    for text in given["floats"]:
        yield read_float_in(book, text, where="--float")
    for text in given["densities"]:
        yield read_density(text, where="--density")
    for text in given["weighed"]:
        yield read_weighed(book, text, where="--weighed")
    for text in given["cues"]:
        name, _, value = (part.strip() for part in text.partition("="))
        yield read_cue(name, value, book, where="--cue")


def _show(found: "Identified", words: Words) -> None:
    """A short table, what does not fit, and the next test."""
    odds, out = found.posterior, console()
    table = Table(words("identify.resin"), words("identify.share"), box=None)
    ranked = sorted(odds.probabilities.items(), key=lambda pair: -pair[1])
    for resin, share in [pair for pair in ranked if pair[1] >= _WORTH_SHOWING][:_SHOWN]:
        table.add_row(resin, share_text(share))
    out.print(table)
    for reason in (*odds.conflict, *((odds.second_look,) if odds.second_look else ())):
        out.print(words.reason(reason), markup=False)
    shown = [t for t in found.next_tests if t.bits >= _WORTH_SHOWING][:_TESTS_SHOWN]
    if not shown:
        out.print(words("identify.no_test"), markup=False)
        return
    for caution in shown[0].cautions:
        out.print(words(f"caution.{caution}.text"), markup=False)
    out.print(words("identify.next", how=words(f"test.{shown[0].test}")), markup=False)
    for test in shown:
        out.print(
            words("identify.worth", test=test.test, bits=f"{test.bits:.2f}", minutes=f"{test.minutes:g}"),
            markup=False,
        )
