"""Colour: which group a photographed item is proposed for, and what a bin would look like with it."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from intake.desk.desk import Desk
from intake.drawing.photo import PhotoColour, lab_in_photo, read_photo
from intake.drawing.picture import open_picture
from intake.errors import UnknownName
from intake.handbook import Handbook
from intake.spread import mean_of
from intake.table.bins.ciede2000 import delta_e_2000
from intake.table.bins.colour import ColourTable, colour_group, lab_of_light
from intake.table.bins.light import Light, Rgb, light_of, mixed, rgb_of
from intake.table.bins.proposal import Proposal, propose_group
from intake.table.resins import Reason
from intake.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class BinMix:
    """What a bin looks like now and with one more item.

    Attributes:
        bin: its id.
        before: its colour now; None where it holds nothing whose colour is known.
        after: its colour with the item.
        delta_e: [-] ΔE00 between the two; None where there is no `before`.
        unknown_g: [g] content whose colour is not known, left out of both.
    """

    bin: str
    before: Rgb | None
    after: Rgb
    delta_e: float | None
    unknown_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadColour:
    """What a photo says of an item: what was seen, the proposed group, and what to look at."""

    seen: PhotoColour
    proposal: Proposal
    notes: tuple[Reason, ...]


def read_colour(path: Path, handbook: Handbook, *, paper: bool = True) -> ReadColour:
    """The colour of the item in a picture; nothing is recorded.

    Raises:
        BadInput: the file is no picture that can be read, or nothing stands out in it.
    """
    table = handbook.colours
    seen = read_photo(open_picture(path), table, paper=paper)
    proposal = propose_group(lab_in_photo(seen.body), table)
    light = Reason.of("photo_no_paper") if seen.paper is None else Reason.of("photo_paper")
    ground = (Reason.of("photo_on_paper"),) if seen.on_paper else ()
    return ReadColour(seen=seen, proposal=proposal, notes=(light, *ground, *proposal.notes))


def mix_with(desk: Desk, bin_id: str, light: Light, mass_g: float) -> BinMix:
    """The bin's colour by mass in linear light: its items by the swatch of their colour group, and one more.

    Args:
        desk: the table.
        bin_id: one of its bins.
        light: colour of the new item.
        mass_g: [g] its mass, above 0.

    Raises:
        UnknownName: the table has no such bin.
    """
    state = desk.state.bins.get(bin_id.strip().upper())
    if state is None:
        raise UnknownName(where="Bin", got=bin_id, known=desk.state.bins)
    known, unknown_g = _content(desk, state.items, desk.handbook.colours)
    after = mixed([*known, (light, mass_g)])
    before = mixed(known) if known else None
    return BinMix(
        bin=state.id,
        before=rgb_of(before) if before else None,
        after=rgb_of(after),
        delta_e=delta_e_2000(lab_of_light(before), lab_of_light(after)) if before else None,
        unknown_g=unknown_g,
    )


def _content(desk: Desk, items: Sequence[str], table: ColourTable) -> tuple[list[tuple[Light, float]], float]:
    """Colour and [g] clean mass of each item, and [g] the mass of those whose colour nobody can print."""
    known: list[tuple[Light, float]] = []
    unknown_g = 0.0
    for item_id in items:
        numbers = desk.numbers(item_id)
        swatch = table.swatches.get(colour_group(numbers.item.colour, table).id)
        mass_g = mean_of(numbers.yields.shred_g)
        if swatch is None or mass_g <= 0.0:
            unknown_g += max(0.0, mass_g)
        else:
            known.append((light_of(swatch), mass_g))
    return known, unknown_g


def colour_json(path: Path, read: ReadColour, words: Words, mix: BinMix | None = None) -> dict[str, Any]:
    """The document of `shared/colour.schema.json`."""
    seen, proposal = read.seen, read.proposal
    lab = lab_in_photo(seen.body)
    return {
        "picture": path.name,
        "body": hex_of(rgb_of(seen.body)),
        "body_lab": [round(v, 2) for v in (lab.lightness, lab.a, lab.b)],
        "group": proposal.group,
        "word": proposal.word,
        "delta_e": round(proposal.delta_e, 2),
        "other": proposal.other,
        "other_delta_e": round(proposal.other_delta_e, 2),
        "patches": [{"colour": hex_of(rgb_of(p.light)), "share": round(p.share, 4)} for p in seen.patches],
        "mix": hex_of(rgb_of(seen.mix)),
        "paper": seen.paper and hex_of(seen.paper),
        "item_share": round(seen.item_share, 4),
        "looked_share": round(seen.looked_share, 4),
        "bin": mix
        and {
            "id": mix.bin,
            "before": mix.before and hex_of(mix.before),
            "after": hex_of(mix.after),
            "delta_e": None if mix.delta_e is None else round(mix.delta_e, 2),
            "unknown_g": round(mix.unknown_g, 3),
        },
        "reasons": [r.code for r in read.notes],
        "notes": [words.reason(r) for r in read.notes],
    }


def hex_of(rgb: Rgb) -> str:
    """A colour as "#8FBBE0"."""
    return "#" + "".join(f"{v:02X}" for v in rgb)
