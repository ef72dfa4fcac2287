"""`intake cautions`: the caution table by act, each with where it comes from; and the stop cards."""

from typing import TYPE_CHECKING, Any

import click

from intake.cli.show import console, print_json
from intake.errors import BadInput
from intake.words import Words

if TYPE_CHECKING:
    from intake.desk.cautions import Card


@click.command()
@click.argument("act", required=False)
@click.option("--resin", "resins", multiple=True, help="Only what holds for this plastic; may be repeated.")
@click.option("--stop", is_flag=True, help="The stop cards: what ends the work when it turns up in a bag.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def cautions(act: str | None, *, resins: tuple[str, ...], stop: bool, as_json: bool) -> None:
    """List the cautions of an ACT: receive, identify, cut, shred, wash, solvent, heat, store or use."""
    from intake.desk.cautions import act_named, caution_list, stop_cards
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    if stop and (act is not None or resins):
        raise BadInput(
            where="--stop", got=act or ", ".join(resins), expected="no act and no resin beside --stop"
        )
    book, words = Handbook(), catalogue(resources() / "words")
    wanted = None if act is None else act_named(act)
    cards = stop_cards(book) if stop else caution_list(book, wanted, resins)
    if as_json:
        print_json(
            {
                "act": None if wanted is None else wanted.value,
                "cautions": [card_json(c, words) for c in cards],
            }
        )
        return
    for card in cards:
        for line in card_lines(card, words):
            console().print(line, markup=False)


def card_json(card: "Card", words: Words) -> dict[str, Any]:
    """One caution of `shared/cautions.schema.json`."""
    return {
        "id": card.id,
        "acts": [a.value for a in card.acts],
        "level": card.level.value,
        "applies_to": list(card.applies_to),
        "title": words(f"caution.{card.id}.title"),
        "text": words(f"caution.{card.id}.text"),
        "basis": card.basis.value,
        "why": card.why or None,
        "sources": [
            {"key": w.key, "title": w.title, "by": w.by or None, "year": w.year or None} for w in card.works
        ],
    }


def card_lines(card: "Card", words: Words) -> list[str]:
    """A caution for a person: how strong, what, why, and from where."""
    of = f" ({', '.join(card.applies_to)})" if card.applies_to else ""
    lines = [f"{words(f'caution.level.{card.level}')}: {words(f'caution.{card.id}.title')}{of}"]
    lines.append(f"  {words(f'caution.{card.id}.text')}")
    lines += [f"  {w.cited}" for w in card.works]
    lines.append(
        "  "
        + words("cautions.basis", basis=words(f"basis.{card.basis}"))
        + (f" {card.why}" if card.why else "")
    )
    return lines
