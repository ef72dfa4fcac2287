"""Regroup: a better way for everything to lie in its bins; nothing moves until somebody accepts it."""

from dataclasses import dataclass

from intake.desk.desk import Desk, key_of
from intake.desk.walk import opened_bin
from intake.ledger.events import Body, Move, Regrouped
from intake.table.bins.colour import NATURAL, ColourTable, GroupId, Lab, lab_of
from intake.table.bins.ids import next_bin_id
from intake.table.bins.regroup import Piece, Proposal, propose


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What to move: a proposal with the ids that new bins would get, by their number in it."""

    proposal: Proposal
    new_bins: tuple[tuple[int, str], ...]

    @property
    def moves(self) -> tuple[tuple[str, str, str], ...]:
        """Item, the bin it lies in, the bin it would go to."""
        named = dict(self.new_bins)
        return tuple((s.item, s.bin, s.to or named[s.new]) for s in self.proposal.shifts)


def regroup_plan(desk: Desk) -> Plan:
    """What would move; nothing is recorded."""
    pieces = []
    for state in desk.state.bins.values():
        key = key_of(state)  # a bin that somebody relabelled keeps what is in it
        for item in state.items:
            one = desk.numbers(item)
            candidate = desk.tools.candidate(key.resin, one.item, one.odds, one.yields)
            pieces.append(
                Piece(
                    item=item, bin=state.id, key=key, entry=candidate.entry,
                    volume_l=candidate.volume_l,
                    colour=colour_of(one.item.colour, key.colour, desk.handbook.colours),
                )
            )  # fmt: skip
    hosts = {p.key.resin for p in pieces}
    proposal = propose(
        pieces,
        {h: desk.tools.limits_for(h) for h in hosts},
        {b.id: key_of(b) for b in desk.state.bins.values() if not b.closed},
    )
    taken = list(desk.state.bins)
    named = []
    for number in proposal.new_keys:
        name = next_bin_id(desk.campaign.letters, taken)
        taken.append(name)
        named.append((number, str(name)))
    return Plan(proposal=proposal, new_bins=tuple(named))


def regroup(desk: Desk, *, by: str | None = None) -> Plan:
    """Move everything as the plan of this moment says, as one act; nothing where nothing is gained."""
    with desk.one_at_a_time():
        plan = regroup_plan(desk)
        named = dict(plan.new_bins)
        bodies: list[Body] = [
            opened_bin(named[number], key, desk.tools) for number, key in plan.proposal.new_keys.items()
        ]
        if plan.moves:
            moves = tuple(Move(item=item, bin=to) for item, _, to in plan.moves)
            desk.record([*bodies, Regrouped(moves=moves, by=by)])
    return plan


def colour_of(text: str, group: GroupId, table: ColourTable) -> Lab | None:
    """The colour that a person's word names, else the swatch of its group; None where there is none to show."""
    if group == NATURAL:
        return None
    words = text.casefold().split()
    named = [table.words[w] for w in (" ".join(words), *words) if w in table.words]
    if named:
        return named[0]
    swatch = table.swatches.get(group)
    return lab_of(swatch) if swatch is not None else None
