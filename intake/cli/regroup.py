"""`intake regroup`: a better way for everything to lie in its bins."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from intake.cli.show import console, print_json

if TYPE_CHECKING:
    from intake.desk.regroup import Plan

_SHOWN = 20
"""Moves printed for people; `--json` has all of them."""


@click.command()
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--accept", is_flag=True, help="Move everything as proposed; without it nothing moves.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def regroup(*, ledger: Path, accept: bool, as_json: bool) -> None:
    """Propose how everything could lie in fewer bins of more even colour, with no limit broken."""
    from intake.desk.desk import Desk
    from intake.desk.regroup import regroup as regroup_now
    from intake.desk.regroup import regroup_plan
    from intake.handbook import Handbook

    if accept:
        with Desk.open(ledger, Handbook()) as desk:
            plan = regroup_now(desk)
    else:
        with Desk.read(ledger, Handbook()) as desk:
            plan = regroup_plan(desk)
    if as_json:
        print_json(regroup_json(plan, accepted=accept))
    else:
        print_regroup(plan, accepted=accept)


def regroup_json(plan: "Plan", *, accepted: bool) -> dict[str, Any]:
    """What moves or would move, and what that gains."""
    found = plan.proposal
    return {
        "moves": [{"item": item, "from": old, "to": new} for item, old, new in plan.moves],
        "new_bins": [name for _, name in plan.new_bins],
        "bins_before": found.bins_before,
        "bins_after": found.bins_after,
        "colour_spread_before": round(found.spread_before, 3),
        "colour_spread_after": round(found.spread_after, 3),
        "fewest_proved": found.proved,
        "accepted": accepted and bool(plan.moves),
    }


def print_regroup(plan: "Plan", *, accepted: bool) -> None:
    """What would move, in a few sentences."""
    out, found = console(), plan.proposal
    if not plan.moves:
        proved = " Fewer bins are not possible." if found.proved else ""
        out.print(f"Everything lies well: {found.bins_before} bins.{proved}", markup=False)
        return
    for item, old, new in plan.moves[:_SHOWN]:
        out.print(f"{item}: from {old} to {new}", markup=False)
    if len(plan.moves) > _SHOWN:
        out.print(f"And {len(plan.moves) - _SHOWN} more; --json lists all.", markup=False)
    out.print(
        f"Bins: {found.bins_before} before, {found.bins_after} after. Colour spread (ΔE00): "
        f"{found.spread_before:.1f} before, {found.spread_after:.1f} after.",
        markup=False,
    )
    out.print("Moved." if accepted else "Nothing has moved yet; --accept moves it.", markup=False)
