"""Scan: which of our labels are in a picture, and what this table knows of their bins."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from intake.desk.desk import Desk
from intake.drawing.decode import Point, Seen, read_symbols
from intake.drawing.picture import open_picture
from intake.table.labels.payload import Found, LabelKind, Payload, read_payload
from intake.table.resins import Reason
from intake.words import Words

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
class Scanned:
    """One symbol of a picture.

    Attributes:
        found: ours, newer, damaged or foreign.
        payload: what it says, where it is ours and whole.
        line: the line for people, also of a newer label; empty where there is none that can be trusted.
        corners: [px] where it is in the picture, top left corner first.
        bin: the bin as this table knows it; None where no ledger was given or the bin is of another table.
        reason: why it cannot be opened; None where nothing is in the way.
    """

    found: Found
    payload: Payload | None = None
    line: str = ""
    corners: tuple[Point, ...] = ()
    bin: ScannedBin | None = None
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
    """With the bin as the table knows it, or the reason why it does not."""
    if scanned.payload is None:
        return scanned
    name = scanned.payload.ids[-1]
    state = desk.state.bins.get(name)
    if state is None:
        # a lot whose label had no room for its bin is looked up by the lot, once the ledger has lots
        return replace(scanned, reason=Reason.of("scan_other_table", id=name))
    opened = state.opened
    known = ScannedBin(
        id=state.id, resin=opened.resin, colour=opened.colour, flow=str(opened.flow), filled=opened.filled,
        items=len(state.items),
    )  # fmt: skip
    return replace(scanned, bin=known)


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
        "reason": scanned.reason.code if scanned.reason else None,
        "says": sentence(scanned, words),
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
    if scanned.reason is not None:
        parts.append(words.reason(scanned.reason))
    return " ".join(parts)
