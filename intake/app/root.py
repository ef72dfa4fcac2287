"""One session: what is shared, how wide the window is, and the screen of its address."""

from typing import Any

import flet as ft

from intake.app.guards import safe_component
from intake.app.parts.buttons import primary_button
from intake.app.parts.frame import Width
from intake.app.parts.question import question
from intake.app.parts.text_size import text_probe
from intake.app.places import HOME
from intake.app.routes import routes
from intake.app.session import LargeTextContext, Shared, SharedContext, WidthContext, use_words
from intake.app.theme import COLUMN_MAX, EDGE


@ft.component
def Root(shared: Shared) -> Any:  # noqa: N802  components are named like the controls they make
    """The app of one session."""
    page = ft.context.page
    width, set_width = ft.use_state(Width.of(page.width))
    large, set_large = ft.use_state(False)

    def watch() -> None:
        page.on_resize = lambda event: set_width(Width.of(event.width))
        page.overlay.append(text_probe(set_large))
        page.update()

    ft.use_effect(watch, [])

    def routed() -> Any:
        return ft.Router(routes(), manage_views=True, not_found=NotFound)

    return SharedContext(shared, lambda: WidthContext(width, lambda: LargeTextContext(large, routed)))


@safe_component
def NotFound() -> ft.Control:  # noqa: N802
    """No screen has this address."""
    words = use_words()
    page = ft.context.page
    return ft.SafeArea(
        ft.Container(
            ft.Column(
                [
                    question(words("app.not_found.title")),
                    primary_button(words("app.not_found.home"), lambda: page.navigate(HOME)),
                ],
                horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
                spacing=EDGE,
            ),
            width=COLUMN_MAX,
            padding=EDGE,
        )
    )
