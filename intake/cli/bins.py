"""`intake bins`: what stands on the shelf, and the lots it became."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.table import Table

from intake.cli.show import console, mind_line, print_json
from intake.words import Words
from intake.words.figures import interval_text, mass_text, share_text

if TYPE_CHECKING:
    from intake.desk.bin_life import ShelfLine
    from intake.desk.lots import LotLine
    from intake.table.compat.cautions import Caution


@click.command()
@click.option("--ledger", required=True, type=click.Path(path_type=Path), help="The table's ledger folder.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def bins(*, ledger: Path, as_json: bool) -> None:
    """List the bins with what is in them and how full they are, and the lots with what is left of them."""
    from intake.desk.bin_life import shelf
    from intake.desk.cautions import COMMANDS, cautions_shown
    from intake.desk.desk import Desk
    from intake.desk.lots import lot_lines
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    with Desk.read(ledger, Handbook()) as desk:
        shelved, lots = shelf(desk), lot_lines(desk)
        mind = cautions_shown(desk.handbook, COMMANDS["bins"], desk.campaign.hosts)
    if as_json:
        print_json(bins_json(shelved, lots, mind))
    else:
        print_bins(shelved, lots, mind, catalogue(resources() / "words"))


def bins_json(
    shelved: "tuple[ShelfLine, ...]", lots: "tuple[LotLine, ...]", mind: "tuple[Caution, ...]"
) -> dict[str, Any]:
    """The document of `shared/bins.schema.json`."""
    from intake.desk.lots_plain import lot_plain

    return {
        "bins": [bin_plain(b) for b in shelved],
        "lots": [lot_plain(lot) for lot in lots],
        "cautions": [c.id for c in mind],
    }


def bin_plain(b: "ShelfLine") -> dict[str, Any]:
    """One bin on the shelf."""
    return {
        "id": b.id,
        "stage": b.stage.value,
        "resin": b.resin,
        "colour": b.colour,
        "flow": b.flow,
        "filled": b.filled,
        "items": b.items,
        "pieces": b.pieces,
        "mass_g": round(b.mass_g, 3),
        "capacity_g": b.capacity_g,
        "volume_l": round(b.volume_l, 3),
        "capacity_l": b.capacity_l,
        "full_share": round(b.full, 4),
        "shred_g": {n: round(getattr(b.shred, n), 3) for n in ("mean", "low", "high")},
        "lot": b.lot or None,
    }


def print_bins(
    shelved: "tuple[ShelfLine, ...]", lots: "tuple[LotLine, ...]", mind: "tuple[Caution, ...]", words: Words
) -> None:
    """Two short tables for people."""
    out = console()
    if not shelved:
        out.print("No bin stands here yet.")
    else:
        out.print(_shelf_table(shelved))
    if lots:
        out.print(_lot_table(lots, words))
    out.print(mind_line(mind, words), markup=False)


def _shelf_table(shelved: "tuple[ShelfLine, ...]") -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in ("Bin", "Resin", "Colour", "Flow", "Stage"):
        table.add_column(heading)
    for heading in ("Pieces", "Room", "Full", "Shred"):
        table.add_column(heading, justify="right")
    for b in shelved:
        flow = f"{b.flow}, filled" if b.filled else b.flow
        stage = f"{b.stage.value}, {b.lot}" if b.lot else b.stage.value
        room = f"{b.volume_l:.0f}/{b.capacity_l:.0f} L"
        table.add_row(
            b.id, b.resin, b.colour, flow, stage, str(b.pieces), room, f"{100 * b.full:.0f} %",
            interval_text(b.shred),
        )  # fmt: skip
    return table


def _lot_table(lots: "tuple[LotLine, ...]", words: Words) -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in ("Lot", "Bin", "Resin", "Colour"):
        table.add_column(heading)
    for heading in ("Weighed", "Left", "Purity", "Most foreign"):
        table.add_column(heading, justify="right")
    table.add_column("Test melt")
    for lot in lots:
        most = lot.content.shares[0] if lot.content.shares else None
        table.add_row(
            lot.id, lot.bin, lot.resin, lot.colour, mass_text(lot.mass_g), mass_text(lot.left_g),
            share_text(lot.content.purity.mean),
            f"{most.material} {share_text(most.share.mean)}" if most else "",
            words(f"melt.{lot.verdict.value}") if lot.verdict else words("melt.none"),
        )  # fmt: skip
    return table
