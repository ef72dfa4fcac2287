"""All lots of shred: how much is left of each, and how pure it is."""

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.frame import section_view
from intake.app.parts.question import question
from intake.app.parts.rows import bin_row
from intake.app.places import LOTS, SECTIONS, lot_address, section_at, way
from intake.app.screens.lot_said import left_text, lot_kind_text, purity_text, share_left_text
from intake.app.session import WidthContext, use_later, use_shared, use_version
from intake.desk.views.lots import lots_view


@safe_view
def Lots() -> ft.View:  # noqa: N802
    """The lots as buttons, those with something left first."""
    shared = use_shared()
    version = use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    words, tiles = shared.words, use_later(shared, version, lots_view) or ()
    there = len(shared.desk.state.lots)
    hint = words("app.lots.count", count=there) if there else words("app.lots.none")
    rows = [
        bin_row(
            t.id, (lot_kind_text(words, t), left_text(words, t), purity_text(words, t)),
            way(page.navigate, lot_address(t.id)), swatch=t.swatch, full=t.left_share,
            full_text=share_left_text(words, t),
        )
        for t in tiles
    ]  # fmt: skip
    return section_view(
        route, [question(words("app.section.lots"), hint=hint), *rows], [], words=words, sections=SECTIONS,
        at=section_at(LOTS), go=page.navigate, width=width,
    )  # fmt: skip
