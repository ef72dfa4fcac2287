"""`intake forecast`: how likely a charge is met, and what the next arrivals will do."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from intake.cli.show import console, print_json
from intake.errors import BadInput
from intake.units import number
from intake.words import Words
from intake.words.figures import interval_text, share_text

if TYPE_CHECKING:
    from intake.desk.forecast import Forecast
    from intake.handbook import Handbook
    from intake.table.charge.forecast import FanPoint

_WIDTH = 50
"""Letters of the fan that stand for the whole charge."""
_BEYOND = 1.2
"""[-] the fan is drawn up to this much of the charge."""


@click.command()
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--campaign", type=click.Path(path_type=Path), help="Another campaign file than the ledger's.")
@click.option("--charge", "charge_id", help="Id of the charge, where the campaign has several.")
@click.option("--arrivals", type=click.IntRange(1, 100_000), help="How many pieces to look ahead.")
@click.option("--mix", "mix", multiple=True, help="What will come, such as jug=3; once for each kind.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def forecast(
    *, ledger: Path, campaign: Path | None, charge_id: str | None, arrivals: int | None,
    mix: tuple[str, ...], as_json: bool,
) -> None:  # fmt: skip
    """Say how likely today's shred is enough for a charge, and how that changes with what comes next."""
    from intake.desk.campaign import read_campaign
    from intake.desk.charge import charge_of
    from intake.desk.compose import reading_desk
    from intake.desk.forecast import forecast_charge
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    book, words = Handbook(), catalogue(resources() / "words")
    other = None if campaign is None else read_campaign(campaign, book)
    weights = parse_mix(mix)
    with reading_desk(ledger, book, other) as desk:
        made = forecast_charge(desk, charge_of(desk.campaign, charge_id), arrivals=arrivals, mix=weights)
    if as_json:
        print_json(forecast_json(made))
    else:
        print_forecast(made, book, words)


def parse_mix(texts: tuple[str, ...]) -> dict[str, float] | None:
    """Kind and weight of each "jug=3"; None where nothing is said.

    Raises:
        BadInput: no equals sign, no kind, or a weight that is no number of 0 or more.
    """
    expected = "a kind and a number, such as jug=3"
    weights = {}
    for text in texts:
        name, sign, weight = text.rpartition("=")
        if not sign or not name.strip():
            raise BadInput(where="--mix", got=text, expected=expected)
        weights[name.strip()] = number(weight, where="--mix", expected=expected)
        if weights[name.strip()] < 0.0:
            raise BadInput(where="--mix", got=text, expected=expected)
    return weights or None


def forecast_json(made: "Forecast") -> dict[str, Any]:
    """The document of `shared/forecast.schema.json`."""
    names = ("mean", "low", "high")
    return {
        "charge": made.charge,
        "resin": made.resin,
        "charge_g": {n: round(getattr(made.charge_g, n), 1) for n in names},
        "shred_g": {n: round(getattr(made.shred_g, n), 1) for n in names},
        "share": round(made.share, 4),
        "probability_met": round(made.probability_met, 4),
        "more_for_90_percent": dict(made.more),
        "mix": [{"kind": m.kind.id, "share": round(m.share, 4)} for m in made.mix],
        "mix_from_log": made.from_log,
        "arrivals_for_90_percent": made.until,
        "fan": [_point_json(p) for p in made.fan],
    }


def _point_json(point: "FanPoint") -> dict[str, Any]:
    shares = {n: round(getattr(point, n), 4) for n in ("p5", "p25", "p50", "p75", "p95", "probability_met")}
    return {"arrivals": point.arrivals, **shares}


def print_forecast(made: "Forecast", book: "Handbook", words: Words) -> None:
    """Sentences, and the fan drawn with letters."""
    out = console()
    out.print(
        words(
            "forecast.now", id=made.charge, resin=made.resin, have=interval_text(made.shred_g),
            need=interval_text(made.charge_g), chance=share_text(made.probability_met),
        ),
        markup=False,
    )  # fmt: skip
    if made.probability_met < 0.9:  # noqa: PLR2004  the certainty that the sentence is about
        for kind, count in made.more.items():
            name = book.kinds.rows[kind].names[0]
            key = "forecast.more" if count is not None else "forecast.more_never"
            out.print(words(key, kind=name, count=count), markup=False)
    out.print(words("forecast.mix_log" if made.from_log else "forecast.mix_common"), markup=False)
    key = "forecast.until" if made.until is not None else "forecast.until_never"
    out.print(words(key, count=made.until), markup=False)
    out.print(words("forecast.fan"), markup=False)
    for point in made.fan[:: max(1, len(made.fan) // 10)]:
        out.print(
            f"{point.arrivals:>6}  {_fan_line(point)}  {share_text(point.probability_met)}", markup=False
        )


def _fan_line(point: "FanPoint") -> str:
    """One line of the fan: · from 5 to 95 %, ━ from 25 to 75 %, ● the middle, │ the charge."""
    line = [" "] * (round(_WIDTH * _BEYOND) + 1)

    def at(share: float) -> int:
        return min(round(_WIDTH * share), len(line) - 1)

    for low, high, letter in ((point.p5, point.p95, "·"), (point.p25, point.p75, "━")):
        for column in range(at(low), at(high) + 1):
            line[column] = letter
    line[_WIDTH] = "│"
    line[at(point.p50)] = "●"
    return "".join(line)
