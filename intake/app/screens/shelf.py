"""The shelf of bins: alone on a phone, on the left of a passport on a wide window."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.parts.frame import Panes, Width, section_view
from intake.app.parts.question import question
from intake.app.parts.rows import bin_row
from intake.app.places import BINS, SECTIONS, bin_address, section_at, way
from intake.app.screens.bin_said import content_text, kind_text, pieces_text
from intake.app.screens.passport import Moves, Passport, passport_foot
from intake.app.screens.said import minded
from intake.app.session import Shared
from intake.desk.views.bins import BinTile, bins_view
from intake.words import Words


def shelf_view(shared: Shared, bin_id: str, *, route: str, width: Width, go: Callable[[str], Any]) -> ft.View:
    """The section of the bins.

    Args:
        shared: desk and words.
        bin_id: whose passport stands beside the shelf; empty for the shelf alone.
        route: of the view.
        width: of the window.
        go: leads to an address.
    """
    words, tiles = shared.words, shared.seen(bins_view)
    hint = words("app.bins.count", count=len(tiles)) if tiles else words("app.bins.none")
    head, rows = question(words("app.section.bins"), hint=hint), bin_rows(words, tiles, go, chosen=bin_id)
    body: list[ft.Control] = [head, *rows]
    foot, panes = [], Panes()
    if bin_id:
        body, foot = [Passport(bin_id, key=bin_id)], passport_foot(shared, bin_id, go)
        panes = Panes(left=(head, *rows), right=(Moves(bin_id, key=bin_id),))
    elif tiles:
        body += minded(shared, "bins", *{t.resin for t in tiles})
    return section_view(
        route, body, foot, words=words, sections=SECTIONS, at=section_at(BINS), go=go, width=width,
        panes=panes,
    )  # fmt: skip


def bin_rows(
    words: Words, tiles: tuple[BinTile, ...], go: Callable[[str], Any], *, chosen: str = ""
) -> list[ft.Control]:
    """A row for every bin; one of them is the `chosen` one where it is named."""
    return [
        bin_row(
            t.id, (kind_text(words, t), content_text(words, t)), way(go, bin_address(t.id)),
            swatch=t.swatch, full=t.full, full_text=pieces_text(words, t),
            chosen=t.id == chosen if chosen else None,
        )
        for t in tiles
    ]  # fmt: skip
