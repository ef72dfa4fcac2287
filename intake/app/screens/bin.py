"""One bin: its passport, and the way to its tag."""

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import primary_button
from intake.app.parts.frame import Width, below_view
from intake.app.parts.question import question
from intake.app.places import BINS, way
from intake.app.screens.passport import Moves, Passport, passport_foot
from intake.app.screens.shelf import shelf_view
from intake.app.session import WidthContext, use_shared, use_version


@safe_view
def Bin() -> ft.View:  # noqa: N802
    """The passport of the bin that the address names; beside the shelf on a wide window."""
    shared = use_shared()
    use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    bin_id, words = str(ft.use_route_params()["bin"]), shared.words
    if bin_id in shared.desk.state.bins and width > Width.PHONE:
        return shelf_view(shared, bin_id, route=route, width=width, go=page.navigate)
    to_bins = way(page.navigate, BINS)
    if bin_id in shared.desk.state.bins:
        body: list[ft.Control] = [Passport(bin_id, key=bin_id), Moves(bin_id, key=f"{bin_id} moves")]
        foot = passport_foot(shared, bin_id, page.navigate)
    else:
        body = [question(words("app.bin.gone"), hint=words("app.bin.gone_why"))]
        foot = [primary_button(words("app.bin.to_bins"), to_bins)]
    return below_view(route, body, foot, back=words("app.back"), on_back=to_bins, width=width)
