"""All bins: what each takes, holds, and how full it is."""

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.frame import Width
from intake.app.screens.shelf import shelf_view
from intake.app.session import WidthContext, use_shared, use_version


@safe_view
def Bins() -> ft.View:  # noqa: N802
    """The shelf of bins; a wide window shows the first one's passport beside it."""
    shared = use_shared()
    use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    first = next(iter(shared.desk.state.bins), "") if width > Width.PHONE else ""
    return shelf_view(shared, first, route=route, width=width, go=page.navigate)
