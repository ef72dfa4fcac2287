"""What stands on the tag of an open bin. It carries no mass: that changes with every item."""

import re
from dataclasses import dataclass

from intake.errors import BadInput
from intake.table.bins.colour import ColourTable, GroupId
from intake.table.bins.ids import BinId, parse_bin_id
from intake.table.bins.key import BinKey
from intake.table.bins.light import Rgb
from intake.table.kinds import Flow
from intake.table.labels.payload import MAX_LINE, LabelKind, Payload
from intake.table.resins import ResinId, ResinTable

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True, slots=True, kw_only=True)
class BinTag:
    """The tag of one bin.

    Attributes:
        bin_id: in the largest type.
        resin: ISO 1043-1 abbreviated term.
        code: resin code number of ASTM D7611; None where the resin has none.
        mark: mark in the style of ISO 11469, such as >PE-HD<.
        colour: colour group.
        swatch: its colour in print; None where none would be true.
        flow: melt-flow class.
        filled: True where the pieces carry mineral or glass.
        table: name of the collection table, in any script.
        date: day the bin was opened, ISO 8601.
        name: what people call the bin, in any script; empty where it has no name.
        payload: what the symbol says.
    """

    bin_id: BinId
    resin: ResinId
    code: int | None
    mark: str
    colour: GroupId
    swatch: Rgb | None
    flow: Flow
    filled: bool
    table: str
    date: str
    name: str = ""
    payload: Payload


def bin_tag(
    bin_id: str,
    key: BinKey,
    *,
    resins: ResinTable,
    colours: ColourTable,
    table: str,
    date: str,
    name: str = "",
) -> BinTag:
    """The tag of a bin with this key.

    Args:
        bin_id: such as QT-04.
        key: what the bin collects.
        resins: for the code number; ASTM D7611 lets a resin of no number of its own carry none.
        colours: for the swatch.
        table: name of the collection table.
        date: day the bin was opened, ISO 8601.
        name: what people call the bin.

    Raises:
        BadInput: the id or the date is not written as it must be.
        UnknownName: the resin is in no table.
    """
    checked = parse_bin_id(bin_id)
    if not _DATE.fullmatch(date):
        raise BadInput(where="Tag date", got=date, expected="a day such as 2026-11-24")
    resin = resins.get(key.resin).id
    code = resins.code(resin)
    return BinTag(
        bin_id=checked,
        resin=resin,
        code=code,
        mark=f">{resin}<",
        colour=key.colour,
        swatch=colours.swatches.get(key.colour),
        flow=key.flow,
        filled=key.filled,
        table=table,
        date=date,
        name=name,
        payload=Payload(kind=LabelKind.TAG, ids=(checked,), line=_line(checked, resin, code, key)),
    )


def _line(bin_id: str, resin: str, code: int | None, key: BinKey) -> str:
    """The line for people; the last words go first where it grows too long."""
    words = [f"Bin {bin_id}: {resin}" + (f" ({code})" if code else ""), key.colour, str(key.flow)]
    if key.filled:
        words.insert(1, "filled")
    line = ", ".join(words)
    while len(line) > MAX_LINE and len(words) > 1:
        words.pop()
        line = ", ".join(words)
    return line[:MAX_LINE]
