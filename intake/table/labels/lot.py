"""What stands on the label of a closed lot: what it is, how much, how pure, how hot, and what to beware of.

Cautions are words. No pictogram is printed: GHS pictograms belong to classified substances, which shred is not;
ISO 7010 signs are for places and machines and lose their meaning at the few millimetres a label has; and the glass
and fork would have to be struck out, which no standard draws.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from intake.errors import BadInput
from intake.spread import Interval
from intake.table.bins.colour import ColourTable, GroupId
from intake.table.bins.key import BinKey
from intake.table.bins.light import Rgb
from intake.table.compat.cautions import CautionId
from intake.table.compat.windows import Window
from intake.table.kinds import Flow
from intake.table.labels.payload import MAX_LINE, MAX_MACHINE, LabelKind, Payload
from intake.table.resins import ResinId, ResinTable

MOST_CAUTIONS = 2
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_MACHINE_REST = len("RI1L") + len(" XXXX")
_KILO = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LotLabel:
    """The label of one lot.

    Attributes:
        lot_id: in the largest type.
        bin_id: the bin it came from.
        resin: ISO 1043-1 abbreviated term.
        code: resin code number of ASTM D7611; None where the resin has none.
        mark: mark in the style of ISO 11469.
        colour: colour group.
        swatch: its colour in print; None where none would be true.
        flow: melt-flow class.
        filled: True where the pieces carry mineral or glass.
        net_g: [g] clean shred as weighed, with 5 % and 95 %.
        purity_share: [-] expected share of the resin itself, with 5 % and 95 %, each 0..1.
        window: oven window at the mould; None where the resin must not be heated or nobody knows.
        cautions: one or two, the most important first.
        edition: edition of the handbook that purity and window were taken by.
        table: name of the collection table, in any script.
        date: day the lot was closed, ISO 8601.
        name: what people call the lot, in any script; empty where it has no name.
        payload: what the symbol says.
    """

    lot_id: str
    bin_id: str
    resin: ResinId
    code: int | None
    mark: str
    colour: GroupId
    swatch: Rgb | None
    flow: Flow
    filled: bool
    net_g: Interval
    purity_share: Interval
    window: Window | None
    cautions: tuple[CautionId, ...]
    edition: str
    table: str
    date: str
    name: str = ""
    payload: Payload


def lot_label(
    lot_id: str,
    bin_id: str,
    key: BinKey,
    *,
    net_g: Interval,
    purity_share: Interval,
    window: Window | None,
    cautions: Sequence[CautionId],
    edition: str,
    resins: ResinTable,
    colours: ColourTable,
    table: str,
    date: str,
    name: str = "",
) -> LotLabel:
    """The label of a lot with this key.

    Args:
        lot_id: capital letters, digits and single hyphens, such as QT-L07.
        bin_id: the bin it came from, such as QT-04.
        key: what the bin collected.
        net_g: [g] clean shred, mean above 0.
        purity_share: [-] expected share of the resin, 0..1.
        window: of `MeltTable.oven_window`.
        cautions: of `CautionTable.for_label`; one or two.
        edition: edition of the handbook.
        resins: for the code number.
        colours: for the swatch.
        table: name of the collection table.
        date: day the lot was closed, ISO 8601.
        name: what people call the lot.

    Raises:
        BadInput: a value is out of its range or not written as it must be.
        UnknownName: the resin is in no table.
    """
    _check(net_g, purity_share, cautions, date)
    resin = resins.get(key.resin).id
    code = resins.code(resin)
    return LotLabel(
        lot_id=lot_id,
        bin_id=bin_id,
        resin=resin,
        code=code,
        mark=f">{resin}<",
        colour=key.colour,
        swatch=colours.swatches.get(key.colour),
        flow=key.flow,
        filled=key.filled,
        net_g=net_g,
        purity_share=purity_share,
        window=window,
        cautions=tuple(cautions),
        edition=edition,
        table=table,
        date=date,
        name=name,
        payload=Payload(
            kind=LabelKind.LOT, ids=_ids(lot_id, bin_id), line=_line(lot_id, resin, code, key, net_g.mean)
        ),
    )


def _check(net_g: Interval, purity_share: Interval, cautions: Sequence[CautionId], date: str) -> None:
    """Refuse what no lot can be."""
    if not (_in_order(net_g) and net_g.mean > 0.0):
        raise BadInput(where="Lot mass", got=net_g.mean, expected="a mass above 0 g inside its interval")
    if not (_in_order(purity_share) and purity_share.low >= 0.0 and purity_share.high <= 1.0):
        expected = "a share from 0 to 1 inside its interval"
        raise BadInput(where="Lot purity", got=purity_share.mean, expected=expected)
    if not 1 <= len(cautions) <= MOST_CAUTIONS:
        raise BadInput(where="Lot cautions", got=tuple(cautions), expected="one or two cautions")
    if not _DATE.fullmatch(date):
        raise BadInput(where="Lot date", got=date, expected="a day such as 2026-11-24")


def _in_order(amount: Interval) -> bool:
    """Three finite numbers, none below 0, low first."""
    values = (0.0, amount.low, amount.mean, amount.high)
    return all(isfinite(v) for v in values) and list(values) == sorted(values)


def _ids(lot_id: str, bin_id: str) -> tuple[str, ...]:
    """The lot and its bin; the lot alone where both would not fit, since the ledger knows the bin."""
    both = len(f" {lot_id} {bin_id}") + _MACHINE_REST <= MAX_MACHINE
    return (lot_id, bin_id) if both else (lot_id,)


def _line(lot_id: str, resin: str, code: int | None, key: BinKey, mass_g: float) -> str:
    """The line for people; the last words go first where it grows too long."""
    mass = f"{mass_g / _KILO:.2f} kg" if mass_g >= _KILO else f"{mass_g:.0f} g"
    words = [f"Lot {lot_id}: {resin}" + (f" ({code})" if code else ""), mass, key.colour, str(key.flow)]
    if key.filled:
        words.insert(1, "filled")
    while len(", ".join(words)) > MAX_LINE and len(words) > 1:
        words.pop()
    return ", ".join(words)[:MAX_LINE]
