"""Write off: a bin with all that lies in it, or part of a lot, is gone, by its id alone."""

from intake.desk.bin_life import write_off_bin
from intake.desk.desk import Desk
from intake.desk.draw import write_off_lot
from intake.desk.lots import LotLine
from intake.errors import BadInput, UnknownName


def write_off(
    desk: Desk, name: str, reason: str, *, mass_g: float | None = None, by: str | None = None
) -> LotLine | None:
    """Record that a bin or a lot is gone, and why; gives the lot after that, None for a bin.

    Args:
        desk: the table.
        name: id of a bin or of a lot; letter case is ignored.
        reason: such as spilled.
        mass_g: [g] of a lot; None: all that is left. A bin goes whole.
        by: who says so.

    Raises:
        UnknownName: neither a bin nor a lot is called so.
        BadInput: no reason, a mass for a bin, or more than is left of a lot.
        Refusal: the bin is closed already, or nothing is left of the lot.
    """
    lots, bins = desk.state.lots, desk.state.bins
    wanted = next((n for n in (name, name.strip().upper()) if n in lots or n in bins), None)
    if wanted is None:
        known = (*lots, *(b.id for b in bins.values() if not b.closed))
        raise UnknownName(where="Write-off", got=name, known=known or ("a bin that was opened",))
    if wanted in lots:
        return write_off_lot(desk, wanted, reason, mass_g=mass_g, by=by)
    if mass_g is not None:
        expected = "no mass beside a bin: it goes whole, with all that lies in it"
        raise BadInput(where=f"Write-off of bin {wanted}", got=f"{mass_g:g} g", expected=expected)
    write_off_bin(desk, wanted, reason, by=by)
    return None
