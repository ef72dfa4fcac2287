"""Draw: part of a lot goes into a charge; and the other ways in which a lot gets less or is judged."""

from intake.desk.desk import Desk
from intake.desk.lots import LotLine, lot_line, the_lot
from intake.errors import BadInput, Refusal, UnknownName
from intake.ledger.events import Body, Drawn, LotAdjusted, MeltTested, WrittenOff
from intake.ledger.state import LotState
from intake.table.bins.melt_test import MeltTest, melt_verdict
from intake.table.compat.decision import Verdict
from intake.table.resins import Reason
from intake.units import MAX_MASS_G
from intake.words.figures import mass_text


def draw(desk: Desk, lot_id: str, charge_id: str, mass_g: float, *, by: str | None = None) -> LotLine:
    """Record that part of a lot went into a charge; gives the lot as it is after that.

    A scale's step more than is left is taken as all of it.

    Raises:
        BadInput: no such lot or charge, or more mass than there is.
        Refusal: the lot is of another resin than the charge, is filled, or its test melt said no.
    """
    with desk.one_at_a_time():
        lot = the_lot(desk, lot_id)
        charge = next((c for c in desk.campaign.charge if c.id == charge_id), None)
        if charge is None:
            raise UnknownName(where="Charge", got=charge_id, known=[c.id for c in desk.campaign.charge])
        if lot.opened.resin != charge.resin or lot.opened.filled:
            what = f"{lot.opened.resin}, filled" if lot.opened.filled else lot.opened.resin
            raise Refusal(f"Lot {lot.id} is {what}; charge {charge.id} takes {charge.resin} without filler.")
        if lot.verdict is Verdict.REFUSE:
            raise Refusal(f"The test melt of lot {lot.id} said no, so nothing is drawn from it.")
        return _done(desk, lot, Drawn(lot=lot.id, charge=charge.id, mass_g=_there(desk, lot, mass_g), by=by))


def weigh_again(
    desk: Desk, lot_id: str, mass_g: float, *, reason: str = "", by: str | None = None
) -> LotLine:
    """Record what a lot weighs now; the difference to the sums is kept as its adjustment.

    Raises:
        BadInput: no such lot, or a mass that cannot be: below 0 or above what was ever shredded into it.
    """
    with desk.one_at_a_time():
        lot = the_lot(desk, lot_id)
        step_g = desk.campaign.scale
        most_g = lot.mass_g - lot.drawn_g - lot.floated_g - lot.written_off_g + 2 * step_g
        if not 0.0 <= mass_g <= max(most_g, 0.0):
            expected = f"a mass from 0 g to the {mass_text(max(most_g, 0.0))} that can be left"
            raise BadInput(where=f"Mass of {lot.id}", got=f"{mass_g:g} g", expected=expected)
        body = LotAdjusted(lot=lot.id, mass_g=mass_g, reason=reason, resolution_g=step_g, by=by)
        return _done(desk, lot, body)


def write_off_lot(
    desk: Desk, lot_id: str, reason: str, *, mass_g: float | None = None, by: str | None = None
) -> LotLine:
    """Record that part of a lot, or all that is left of it, is gone, and why.

    Raises:
        BadInput: no such lot, no reason, or more mass than there is.
    """
    with desk.one_at_a_time():
        lot = the_lot(desk, lot_id)
        gone_g = lot.left_g if mass_g is None else _there(desk, lot, mass_g)
        if gone_g <= 0.0:
            raise Refusal(f"Nothing is left of lot {lot.id}.")
        return _done(desk, lot, WrittenOff(lot=lot.id, reason=reason_given(reason), mass_g=gone_g, by=by))


def melt_tested(
    desk: Desk, lot_id: str, seen: MeltTest, *, note: str = "", by: str | None = None
) -> tuple[Verdict, tuple[Reason, ...]]:
    """Record what a molten spoonful of a lot showed; gives what it means for the lot, and why.

    Raises:
        BadInput: no such lot.
    """
    verdict, reasons = melt_verdict(seen)
    with desk.one_at_a_time():
        lot = the_lot(desk, lot_id)
        body = MeltTested(
            lot=lot.id, smell=seen.smell, specks=seen.specks, peel=seen.peel, bend=seen.bend,
            verdict=verdict, note=note, by=by,
        )  # fmt: skip
        _done(desk, lot, body)
    return verdict, reasons


def reason_given(reason: str) -> str:
    """The reason without outer spaces.

    Raises:
        BadInput: there is none.
    """
    if not reason.strip():
        raise BadInput(where="Write-off", got=reason, expected="a reason, such as spilled or got wet")
    return reason.strip()


def _there(desk: Desk, lot: LotState, mass_g: float) -> float:
    """[g] The mass, where there is so much; up to a scale's step more counts as all that is left.

    Raises:
        BadInput: not above 0, or more than there is.
    """
    if not 0.0 < mass_g <= min(lot.left_g + desk.campaign.scale, MAX_MASS_G) or lot.left_g <= 0.0:
        expected = f"a mass above 0 g and up to the {mass_text(lot.left_g)} that are left"
        raise BadInput(where=f"Lot {lot.id}", got=f"{mass_g:g} g", expected=expected)
    return min(mass_g, lot.left_g)


def _done(desk: Desk, lot: LotState, body: Body) -> LotLine:
    """Record one act on a lot; the lot after it."""
    desk.record([body])
    return lot_line(desk, the_lot(desk, lot.id))
