"""Float a lot: its shred goes through a bath, and what does not belong is taken out, dried and weighed."""

from intake.desk.desk import Desk
from intake.desk.lots import LotLine, lot_float_advice, lot_line, the_lot
from intake.errors import BadInput
from intake.ledger.events import Floated
from intake.table.bins.lots import WATER_G_CM3, FloatAdvice
from intake.table.bins.sink_float import Side
from intake.words.figures import mass_text

WATER = "water"
_LIGHTEST_G_CM3, _DENSEST_G_CM3 = 0.7, 1.5


def float_outlook(desk: Desk, lot_id: str, bath_g_cm3: float = WATER_G_CM3) -> FloatAdvice:
    """Whether a bath of that density pays, which part to take out, and what it would leave; nothing is recorded.

    Raises:
        BadInput: no such lot, or no bath has that density.
    """
    _check_bath(bath_g_cm3)
    return lot_float_advice(desk, the_lot(desk, lot_id), bath_g_cm3)


def float_shred(
    desk: Desk, lot_id: str, out_g: float, *, out: Side = Side.SINKERS, bath: str = WATER,
    bath_g_cm3: float = WATER_G_CM3, by: str | None = None,
) -> LotLine:  # fmt: skip
    """Record a bath and what it took out; gives the lot as it is after that.

    Args:
        desk: the table.
        lot_id: which lot.
        out_g: [g] what was taken out, dried; 0 where nothing was.
        out: which part that is: what sank or what floated.
        bath: words for the bath.
        bath_g_cm3: [g/cm3] its density.
        by: who did it.

    Raises:
        BadInput: no such lot, a density that no bath has, or more mass than there is.
    """
    _check_bath(bath_g_cm3)
    with desk.one_at_a_time():
        lot = the_lot(desk, lot_id)
        if not 0.0 <= out_g <= lot.left_g:
            expected = f"a mass from 0 g to the {mass_text(lot.left_g)} that are left"
            raise BadInput(
                where=f"{out.value.capitalize()} of {lot.id}", got=f"{out_g:g} g", expected=expected
            )
        desk.record(
            [
                Floated(
                    lot=lot.id, bath=bath, bath_g_cm3=bath_g_cm3,
                    sinkers_g=out_g if out is Side.SINKERS else None,
                    floaters_g=out_g if out is Side.FLOATERS else None,
                    resolution_g=desk.campaign.scale, by=by,
                )
            ]
        )  # fmt: skip
        return lot_line(desk, the_lot(desk, lot.id))


def _check_bath(bath_g_cm3: float) -> None:
    if not _LIGHTEST_G_CM3 <= bath_g_cm3 <= _DENSEST_G_CM3:
        expected = f"a density from {_LIGHTEST_G_CM3} to {_DENSEST_G_CM3} g/cm3, such as 0.998 for water"
        raise BadInput(where="Bath", got=f"{bath_g_cm3:g} g/cm3", expected=expected)
