"""`intake mark`: what a moulded or printed mark says, and how far to trust it."""

from collections.abc import Iterator

import click

from intake.cli.show import console, print_json
from intake.table.identify.evidence import MarkHow
from intake.table.identify.mark_reading import MarkReading
from intake.table.identify.mark_tables import MarkTables
from intake.words import Words
from intake.words.figures import share_text

_HIGH, _MIDDLE = 0.85, 0.5


@click.command()
@click.argument("text")
@click.option(
    "--how",
    type=click.Choice([h.value for h in MarkHow]),
    default=MarkHow.MOULDED.value,
    show_default=True,
    help="How it stands on the item.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def mark(text: str, *, how: str, as_json: bool) -> None:
    """Read a mark: TEXT as it stands on the item, such as 2, HDPE, "5 PP" or ">PP-TD20<" (in quotes).

    Exit code 1 where nobody knows the mark or it contradicts itself.
    """
    from intake.desk.marks import read_mark_text, reading_json
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    book = Handbook()
    words = catalogue(resources() / "words")
    reading = read_mark_text(book, text, how=MarkHow(how))
    if as_json:
        print_json(reading_json(reading, words))
    else:
        for line in mark_lines(reading, words, book.marks):
            console().print(line, markup=False, no_wrap=line.startswith("  "))
    if not reading.valid:
        raise SystemExit(1)


def mark_lines(reading: MarkReading, words: Words, tables: MarkTables) -> Iterator[str]:
    """The answer in plain sentences; a caret stands under the fault of a broken mark."""
    if reading.valid:
        yield words("mark.is", what=_what(reading, words, tables))
        level = "high" if reading.trust >= _HIGH else "middle" if reading.trust >= _MIDDLE else "low"
        yield words(f"mark.trust.{level}", trust=share_text(reading.trust))
        if reading.density_g_cm3 is not None:
            yield words("mark.density", density=f"{reading.density_g_cm3:.2f}")
    else:
        shown = "".join(c if c.isprintable() else " " for c in reading.text)
        yield words("mark.unread", text="" if reading.fault else shown).rstrip()
        if reading.fault:
            yield f"  {shown}"
            yield f"  {' ' * reading.fault.at}^"
    for note in reading.notes:
        yield words.reason(note)
    if reading.nearest:
        yield words("mark.nearest", nearest=", ".join(reading.nearest))


def _what(reading: MarkReading, words: Words, tables: MarkTables) -> str:
    """Materials with their names, and the list they were read by."""
    named = []
    for layer in reading.layers:
        terms = [tables.terms[c.resin.upper()] for c in layer.components]
        names = " + ".join(words("mark.names", resin=t.id, name=t.name) for t in terms)
        material = " / ".join(x for x in (names, layer.material) if x)
        named.append(f"{layer.role}: {material}" if layer.role else material)
    by = words("mark.number", number=reading.number, standard=reading.standard)
    return ", ".join(named) + f" [{by if reading.number is not None else reading.standard}]"
