"""`intake compose`: which lots go into a charge, and how much of each."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from intake.cli.show import console, print_json
from intake.errors import BadInput
from intake.table.charge.compose import Composition
from intake.table.charge.misfit import FLOW_HIGH, FLOW_LOW, Loosened, Misfit
from intake.units import number, parse_mass_g
from intake.words import Words
from intake.words.figures import interval_text, mass_text

if TYPE_CHECKING:
    from intake.desk.compose import ComposeAnswer

_WINDOW = re.compile(r"^\s*([\d.,]*)\s*(?:-|–|\.\.)\s*([\d.,]*)\s*(?:g/10 ?min)?\s*$")


@click.command()
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option(
    "--campaign", type=click.Path(path_type=Path), help="Campaign file; the ledger's where not given."
)
@click.option("--charge", "charge_id", help="Id of the charge, where the campaign has several.")
@click.option("--mass", help="How much to mix; what the charge still needs where not given.")
@click.option("--flow", help="Melt flow window of the mix in g/10 min: 0.3-2, or 0.3- for no upper end.")
@click.option("--plan-ahead", is_flag=True, help="Count bins that are not shredded yet, with their doubt.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def compose(
    *, ledger: Path, campaign: Path | None, charge_id: str | None, mass: str | None, flow: str | None,
    plan_ahead: bool, as_json: bool,
) -> None:  # fmt: skip
    """Choose how much of which lot goes into a charge; nothing is recorded."""
    from intake.desk.campaign import read_campaign
    from intake.desk.charge import charge_of
    from intake.desk.compose import compose_charge, reading_desk
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    book, words = Handbook(), catalogue(resources() / "words")
    other = None if campaign is None else read_campaign(campaign, book)
    window = None if flow is None else parse_window(flow)
    mass_g = None if mass is None else parse_mass_g(mass, where="--mass")
    with reading_desk(ledger, book, other) as desk:
        spec = charge_of(desk.campaign, charge_id)
        answer = compose_charge(desk, spec, ahead=plan_ahead, mass_g=mass_g, flow=window)
    if as_json:
        print_json(compose_json(answer))
        return
    for line in compose_lines(answer, words):
        console().print(line, markup=False)


def parse_window(text: str) -> tuple[float | None, float | None]:
    """[g/10 min] A window such as "0.3-2"; an end may be left open.

    Raises:
        BadInput: it does not read, or both ends are open.
    """
    expected = "a window in g/10 min, such as 0.3-2, 0.3- or -2"
    match = _WINDOW.match(text)
    if match is None or not (match[1] or match[2]):
        raise BadInput(where="--flow", got=text, expected=expected)
    low, high = (
        number(end, where="--flow", expected=expected) if end else None for end in (match[1], match[2])
    )
    return low, high


def compose_json(answer: "ComposeAnswer") -> dict[str, Any]:
    """The document of `shared/composition.schema.json`."""
    result, wish = answer.result, answer.wish
    made = isinstance(result, Composition)
    return {
        "charge": answer.charge,
        "resin": answer.resin,
        "need_g": {n: round(getattr(answer.need_g, n), 1) for n in ("mean", "low", "high")},
        "mass_g": round(wish.mass_g, 1),
        "flow_window_g_10min": [wish.flow_low, wish.flow_high],
        "feasible": made,
        "mix": _mix_json(answer, result) if isinstance(result, Composition) else None,
        "misfit": _misfit_json(result) if isinstance(result, Misfit) else None,
        "lots_considered": len(answer.stocks),
    }


def _mix_json(answer: "ComposeAnswer", mix: Composition) -> dict[str, Any]:
    span = answer.flow_range
    return {
        "taken": [
            {
                "id": i,
                "mass_g": round(g, 1),
                "of_g": round(answer.stocks[i].mass_g, 1),
                "weighed": answer.stocks[i].weighed,
                "colour": answer.colours[i],
            }
            for i, g in mix.taken_g.items()
        ],
        "flow_g_10min": None if mix.flow_g_10min is None else round(mix.flow_g_10min, 4),
        "flow_range_g_10min": [round(v, 4) for v in span] if span else None,
        "foreign": {m: round(share, 6) for m, share in mix.foreign.items()},
        "mixing_de00": round(mix.mixing_de00, 2),
        "cost": round(mix.cost, 4),
    }


def _misfit_json(misfit: Misfit) -> dict[str, Any]:
    def plain(rows: tuple[Loosened, ...]) -> list[dict[str, Any]]:
        return [{"limit": r.limit, "wanted": round(r.wanted, 6), "needed": round(r.needed, 6)} for r in rows]

    return {
        "available_g": round(misfit.available_g, 1),
        "reachable_g": round(misfit.reachable_g, 1),
        "short_g": round(misfit.short_g, 1),
        "one_limit_alone": plain(misfit.alone),
        "limits_together": plain(misfit.together),
    }


def compose_lines(answer: "ComposeAnswer", words: Words) -> Iterator[str]:
    """The mix as a weighing list, or why there is none."""
    yield words(
        "compose.need", id=answer.charge, resin=answer.resin, need=interval_text(answer.need_g),
        mass=mass_text(answer.wish.mass_g),
    )  # fmt: skip
    if isinstance(answer.result, Misfit):
        yield from _misfit_lines(answer.result, words, ahead=answer.ahead)
        return
    mix = answer.result
    for stock_id, mass_g in mix.taken_g.items():
        stock = answer.stocks[stock_id]
        key = "compose.take" if stock.weighed else "compose.take_bin"
        yield words(
            key, id=stock_id, colour=answer.colours[stock_id], mass=mass_text(mass_g),
            there=mass_text(stock.mass_g),
        )  # fmt: skip
    if mix.flow_g_10min is not None and answer.flow_range is not None:
        low, high = answer.flow_range
        yield words("compose.flow", flow=f"{mix.flow_g_10min:.2g}", low=f"{low:.2g}", high=f"{high:.2g}")
    else:
        yield words("compose.flow_unknown")
    foreign = [(m, s) for m, s in mix.foreign.items() if s >= 1e-5]  # noqa: PLR2004  a hundredth of a gram in a kilo
    if foreign:
        told = ", ".join(f"{m} {100 * s:.2g} %" for m, s in sorted(foreign, key=lambda row: -row[1]))
        yield words("compose.foreign", told=told)
    yield words("compose.colour", gap=f"{mix.mixing_de00:.1f}")


def _misfit_lines(misfit: Misfit, words: Words, *, ahead: bool) -> Iterator[str]:
    """What stands against every mix, by how much."""
    yield words(
        "compose.misfit", reachable=mass_text(misfit.reachable_g), short=mass_text(misfit.short_g),
        available=mass_text(misfit.available_g),
    )  # fmt: skip
    if misfit.available_g < misfit.wanted_g:
        yield words("compose.too_little", missing=mass_text(misfit.wanted_g - misfit.available_g))
    if misfit.available_g == 0.0 and not ahead:
        yield words("compose.no_lots")
    for row in misfit.alone:
        yield words("compose.alone", **_loosened(row, words))
    for row in misfit.together:
        yield words("compose.together", **_loosened(row, words))


def _loosened(row: Loosened, words: Words) -> dict[str, str]:
    """Name and figures of a limit as a person reads them."""
    if row.limit in (FLOW_LOW, FLOW_HIGH):
        name = words(f"compose.{row.limit}")
        return {"limit": name, "wanted": f"{row.wanted:.3g} g/10 min", "needed": f"{row.needed:.3g} g/10 min"}
    return {
        "limit": words("compose.share_of", material=row.limit),
        "wanted": f"{100.0 * row.wanted:.3g} %",
        "needed": f"{100.0 * row.needed:.3g} %",
    }
