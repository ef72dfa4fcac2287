"""What must be alike for two items to share a bin."""

from dataclasses import dataclass

from intake.table.bins.colour import MIXED, GroupId
from intake.table.kinds import Flow
from intake.table.resins import ResinId

MOSTLY = 0.5
"""[-] from this probability on, a piece counts as filled: the likelier of the two."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BinKey:
    """One kind of bin.

    Attributes:
        resin: the charge's resin that everything in it must melt with.
        colour: colour group.
        flow: melt-flow class.
        filled: True for pieces heavy with mineral or glass.
    """

    resin: ResinId
    colour: GroupId
    flow: Flow
    filled: bool = False


def bin_key(
    host: ResinId, colour: GroupId, flow: Flow, filled_probability: float = 0.0, *, colours_apart: bool = True
) -> BinKey:
    """The key of an item under a campaign's grouping rule.

    Args:
        host: the charge's resin the item melts with.
        colour: the item's colour group; every group becomes `mixed` where colours are not kept apart.
        flow: melt-flow class of its kind.
        filled_probability: [-] 0..1, from the posterior.
        colours_apart: the campaign's colour rule.
    """
    return BinKey(
        resin=host,
        colour=colour if colours_apart else MIXED,
        flow=flow,
        filled=filled_probability > MOSTLY,
    )
