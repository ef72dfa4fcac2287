"""`resources/tolerances.toml` → how much of what stays on a bin may carry."""

from collections.abc import Mapping
from dataclasses import dataclass

from intake.handbook.figures import raw_table


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerances:
    """Tolerated mass shares [-] of a lot.

    Attributes:
        left_on: by what stays on an item: label, adhesive, residue, closure.
        resin_else: least share for a resin that is no hazard, where its pair rule says 0 or nothing.
    """

    left_on: Mapping[str, float]
    resin_else: float


def read_tolerances() -> Tolerances:
    """The tolerances; the typical value of each range is used.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("tolerances.toml")
    left_on = {name: table.figure(raw, name).typical for name, raw in table.data["left_on"].items()}
    resin_else = table.figure(table.data["resin_else"], "resin_else").typical
    table.done()
    return Tolerances(left_on=left_on, resin_else=resin_else)
