"""What turns up in bags and ends the work at once: a card each, with what to do."""

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import primary_button
from intake.app.parts.cards import caution_card
from intake.app.parts.frame import below_view
from intake.app.parts.question import question
from intake.app.places import TAKE_ITEM, way
from intake.app.session import WidthContext, use_shared
from intake.desk.cautions import stop_cards


@safe_view
def Stop() -> ft.View:  # noqa: N802
    """The stop cards."""
    shared = use_shared()
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    words, back = shared.words, way(page.navigate, TAKE_ITEM)
    cards = [
        caution_card(words(f"caution.{c.id}.title"), (words(f"caution.{c.id}.text"),), key=c.id)
        for c in stop_cards(shared.desk.handbook)
    ]
    body: list[ft.Control] = [question(words("app.stop.title"), hint=words("app.stop.hint")), *cards]
    foot: list[ft.Control] = [primary_button(words("app.stop.back"), back)]
    return below_view(route, body, foot, back=words("app.back"), on_back=back, width=width)
