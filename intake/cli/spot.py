"""`intake spot`: how many pieces of a crate of like ones to test, and what a spot test shows."""

from typing import Any

import click

from intake.cli.show import console, print_json
from intake.errors import BadInput
from intake.units import parse_share


@click.command()
@click.argument("count", type=int)
@click.option("--sure", default="95%", show_default=True, help="How certain it has to be.")
@click.option("--share", default="5%", show_default=True, help="Foreign share of pieces that does no harm.")
@click.option("--tested", type=int, help="The other way round: so many were tested.")
@click.option("--odd", type=int, help="So many of the tested ones were something else; 0, if left out.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def spot(count: int, *, sure: str, share: str, tested: int | None, odd: int | None, as_json: bool) -> None:
    """Say how many of COUNT like pieces to test before the whole crate is entered as one row."""
    from intake.handbook.locate import resources
    from intake.table.identify.spot_test import most_foreign, pieces_to_test
    from intake.words import catalogue

    if odd is not None and tested is None:
        raise BadInput(where="--odd", got=str(odd), expected="--tested beside it")
    certainty, harmless = parse_share(sure, where="--sure"), parse_share(share, where="--share")
    needed = pieces_to_test(count, certainty, harmless)
    most = None if tested is None else most_foreign(count, tested, odd or 0, certainty)
    if as_json:
        print_json(_document(count, certainty, harmless, needed, tested, odd, most))
        return
    words = catalogue(resources() / "words")
    values: dict[str, Any] = {"count": count, "needed": needed, "sure": _percent(certainty)}
    if most is None:
        console().print(words("spot.test", share=_percent(harmless), **values), markup=False)
        console().print(words("spot.random"), markup=False)
    else:
        of = {"tested": tested, "odd": odd or 0, "most": most, "share": _percent(most / count)}
        console().print(words("spot.shows", **values, **of), markup=False)


def _document(
    count: int, sure: float, share: float, needed: int, tested: int | None, odd: int | None, most: int | None
) -> dict[str, Any]:
    """The document of `shared/spot.schema.json`."""
    return {
        "count": count,
        "sure": sure,
        "harmless_share": share,
        "pieces_to_test": needed,
        "tested": tested,
        "odd": None if tested is None else odd or 0,
        "most_foreign": most,
    }


def _percent(share: float) -> str:
    return f"{100.0 * share:.3g} %"
