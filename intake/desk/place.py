"""Place: the placing verdict after prep and weighing, and the item goes into a bin or comes back out of it."""

from intake.desk.desk import Desk
from intake.desk.observe import gone, in_hand
from intake.desk.walk import place_item
from intake.errors import Refusal
from intake.ledger.events import TakenBack
from intake.table.bins.placing import Placing
from intake.table.compat.decision import Verdict
from intake.table.resins import ResinId


def preview_place(desk: Desk, item_id: str) -> Placing:
    """The placing verdict as it would be now; nothing is recorded.

    Raises:
        Refusal: the item was not accepted.
    """
    known = desk.numbers(item_id)
    host = _host(desk, item_id)
    return desk.bench().choose(desk.tools.candidate(host, known.item, known.odds, known.yields))


def place_in_bin(desk: Desk, item_id: str, *, by: str | None = None) -> Placing:
    """Record the placing verdict, and put the item into its bin where it is accepted: one act, all or nothing.

    The same "not into a bin" told twice is recorded once.

    Raises:
        BadInput: no such item.
        Refusal: the item was not accepted, or somebody put it in a bin already.
    """
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        _host(desk, item_id)
        known = desk.numbers(item_id)
        judged, told = known.state.resin_verdict, known.state.placing_verdict
        assert judged is not None  # noqa: S101  `_host` made sure of it
        placing, bodies = place_item(
            item_id, known.item, known.odds, known.yields, judged, desk.bench(), desk.tools, by=by
        )
        if placing.verdict is Verdict.ACCEPT or told is None or told.reasons != placing.reasons:
            desk.record(bodies)
    return placing


def take_back(desk: Desk, item_id: str) -> None:
    """Take the item out of its bin again; it is in hand after that.

    Raises:
        BadInput: no such item.
        Refusal: it lies in no bin, or it is shredded or written off.
    """
    with desk.one_at_a_time():
        state = desk.numbers(item_id).state
        gone(state)
        if state.bin is None:
            raise Refusal("This item lies in no bin, so it cannot be taken back.")
        desk.record([TakenBack(item=item_id, bin=state.bin)])


def _host(desk: Desk, item_id: str) -> ResinId:
    """The charge's resin that the item was accepted for."""
    judged = desk.numbers(item_id).state.resin_verdict
    if judged is None or judged.verdict is not Verdict.ACCEPT or judged.host is None:
        raise Refusal("This item is not accepted, so it goes into no bin. Settle what it is made of first.")
    return desk.handbook.resins.get(judged.host).id
