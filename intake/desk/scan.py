"""Scan: which of our labels are in a picture, and what this table knows of their bins and lots."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from intake.desk.desk import Desk
from intake.desk.lots import lot_facts
from intake.desk.names import wearing
from intake.drawing.decode import Point, Seen, read_symbols
from intake.drawing.picture import open_picture
from intake.errors import BadInput
from intake.ledger.state import BinState, LotState
from intake.spread import Interval
from intake.table.compat.decision import Verdict
from intake.table.labels.payload import Found, LabelKind, Payload, read_payload
from intake.table.resins import Reason
from intake.words import Words
from intake.words.figures import mass_text, share_span_text

_MOST = 48


@dataclass(frozen=True, slots=True, kw_only=True)
class ScannedBin:
    """What this table knows of a scanned bin."""

    id: str
    resin: str
    colour: str
    flow: str
    filled: bool
    items: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ScannedLot:
    """What this table knows of a scanned lot.

    Attributes:
        left_g: [g] what is there now.
        purity: [-] expected share of the resin itself, with 5 % and 95 %.
        verdict: of the last test melt; None where none was made.
    """

    id: str
    bin: str
    resin: str
    colour: str
    flow: str
    filled: bool
    left_g: float
    purity: Interval
    verdict: Verdict | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Scanned:
    """One symbol of a picture.

    Attributes:
        found: ours, newer, damaged or foreign.
        payload: what it says, where it is ours and whole.
        line: the line for people, also of a newer label; empty where there is none that can be trusted.
        corners: [px] where it is in the picture, top left corner first.
        bin: the bin as this table knows it; None where no ledger was given or the bin is of another table.
        lot: the same for the label of a lot.
        reason: why it cannot be opened; None where nothing is in the way.
    """

    found: Found
    payload: Payload | None = None
    line: str = ""
    corners: tuple[Point, ...] = ()
    bin: ScannedBin | None = None
    lot: ScannedLot | None = None
    reason: Reason | None = None

    @property
    def opens(self) -> bool:
        """True where it is ours and nothing is in the way."""
        return self.found is Found.OURS and self.reason is None


def scan_file(path: Path, desk: Desk | None = None) -> tuple[Scanned, ...]:
    """All symbols of a picture, from top to bottom.

    Raises:
        BadInput: the file is no picture that can be read.
    """
    return tuple(_scanned(seen, desk) for seen in read_symbols(open_picture(path)))


def scan_photo(path: Path, name: str, desk: Desk) -> tuple[Scanned, ...]:
    """All symbols of a photo that lies under another name than the person gave it.

    Raises:
        BadInput: the file is no picture that can be read; the sentence has the person's name for it.
    """
    try:
        return scan_file(path, desk)
    except BadInput as fault:
        raise BadInput(
            where="Picture", got=name, expected=fault.expected, kept="Nothing was changed."
        ) from None


def _scanned(seen: Seen, desk: Desk | None) -> Scanned:
    """What a symbol says; one that was found and not read counts as damaged."""
    if seen.text is None:
        return Scanned(found=Found.DAMAGED, corners=seen.corners, reason=Reason.of("scan_unread"))
    scanned = replace(read_text(seen.text), corners=seen.corners)
    return scanned if desk is None else _looked_up(scanned, desk)


def read_text(text: str) -> Scanned:
    """What the text of a symbol says, before any table is asked; a foreign text is not repeated."""
    scan = read_payload(text)
    line = scan.payload.line if scan.payload else ""
    if scan.found is Found.NEWER:
        line = "".join(c for c in text.partition("\n")[0][:_MOST] if " " <= c <= "~")
    return Scanned(found=scan.found, payload=scan.payload, line=line, reason=scan.reason)


def _looked_up(scanned: Scanned, desk: Desk) -> Scanned:
    """With the bin or lot as the table knows it, or the reason why it does not."""
    if scanned.payload is None:
        return scanned
    text, name = scanned.payload.text, scanned.payload.ids[0]
    if scanned.payload.kind is LabelKind.LOT:
        lot = desk.state.lots.get(_only(wearing(desk.state.lots.values(), text)) or name)
        if lot is not None and _same_bin(scanned.payload.ids, lot):
            return replace(scanned, lot=_known_lot(desk, lot))
        return replace(scanned, reason=Reason.of("scan_other_table", id=name))
    worn = _only(wearing(desk.state.bins.values(), text))
    called = [b for b in desk.state.bins if b.partition("~")[0] == name]
    if worn is None and len(called) > 1:
        return replace(scanned, reason=Reason.of("scan_name_twice", id=name, names=", ".join(called)))
    state = desk.state.bins.get(worn or name)
    if state is None:
        return replace(scanned, reason=Reason.of("scan_other_table", id=name))
    return replace(scanned, bin=_known_bin(state))


def _only(ids: Sequence[str]) -> str | None:
    """The one id; None where there is none or more than one."""
    return ids[0] if len(ids) == 1 else None


def _same_bin(ids: Sequence[str], lot: LotState) -> bool:
    """True unless the label names another bin than the one the lot was: then it is another table's lot."""
    return ids[1:] in ((), (lot.bin,), (lot.bin.partition("~")[0],))


def _known_bin(state: BinState) -> ScannedBin:
    opened = state.opened
    return ScannedBin(
        id=state.id, resin=opened.resin, colour=opened.colour, flow=str(opened.flow), filled=opened.filled,
        items=len(state.items),
    )  # fmt: skip


def _known_lot(desk: Desk, lot: LotState) -> ScannedLot:
    opened = lot.opened
    return ScannedLot(
        id=lot.id, bin=lot.bin, resin=opened.resin, colour=opened.colour, flow=str(opened.flow),
        filled=opened.filled, left_g=lot.left_g, purity=lot_facts(desk, lot).purity, verdict=lot.verdict,
    )  # fmt: skip


def scan_json(path: Path, found: Sequence[Scanned], words: Words) -> dict[str, Any]:
    """The document of `shared/scan.schema.json`."""
    return {"picture": path.name, "labels": [_label_json(s, words) for s in found]}


def _label_json(scanned: Scanned, words: Words) -> dict[str, Any]:
    known, payload = scanned.bin, scanned.payload
    return {
        "found": str(scanned.found),
        "opens": scanned.opens,
        "kind": str(payload.kind) if payload else None,
        "ids": list(payload.ids) if payload else [],
        "line": scanned.line or None,
        "corners_px": [list(p) for p in scanned.corners],
        "bin": known and {
            "id": known.id, "resin": known.resin, "colour": known.colour, "flow": known.flow,
            "filled": known.filled, "items": known.items,
        },
        "lot": _lot_json(scanned.lot) if scanned.lot else None,
        "reason": scanned.reason.code if scanned.reason else None,
        "says": sentence(scanned, words),
    }  # fmt: skip


def _lot_json(lot: ScannedLot) -> dict[str, Any]:
    return {
        "id": lot.id, "bin": lot.bin, "resin": lot.resin, "colour": lot.colour, "flow": lot.flow,
        "filled": lot.filled, "left_g": round(lot.left_g, 3),
        "purity": {n: round(getattr(lot.purity, n), 6) for n in ("mean", "low", "high")},
        "test_melt": str(lot.verdict) if lot.verdict else None,
    }  # fmt: skip


def sentence(scanned: Scanned, words: Words) -> str:
    """What a person is told of one symbol."""
    parts = []
    if scanned.payload is not None:
        lot = scanned.payload.kind is LabelKind.LOT
        parts.append(words("scan.lot" if lot else "scan.tag", line=scanned.line))
    elif scanned.line:
        parts.append(words("scan.line", line=scanned.line))
    if scanned.bin is not None:
        parts.append(words("scan.bin", bin=scanned.bin.id, items=scanned.bin.items, resin=scanned.bin.resin))
    if scanned.lot is not None:
        melt = words(f"melt.{scanned.lot.verdict}") if scanned.lot.verdict else words("melt.none")
        left, purity = mass_text(scanned.lot.left_g), share_span_text(scanned.lot.purity)
        parts.append(words("scan.known_lot", lot=scanned.lot.id, left=left, purity=purity, melt=melt))
    if scanned.reason is not None:
        parts.append(words.reason(scanned.reason))
    return " ".join(parts)
