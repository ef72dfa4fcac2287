"""Find: type what stands on a tag or a label, and go to the bin, the lot or the item."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.guards import safe_handler, safe_view
from intake.app.parts.buttons import choice, primary_button
from intake.app.parts.frame import below_view
from intake.app.parts.question import question
from intake.app.places import HOME, bin_address, history_address, item_address, lot_address, way
from intake.app.session import WidthContext, use_shared, use_version
from intake.app.texts import kept_together
from intake.app.theme import ACTION, CARD, EDGE_LINE, INK, RADIUS_BUTTON, TEXT_BODY
from intake.desk.desk import Desk
from intake.desk.names import Named, named
from intake.errors import UnknownName
from intake.words import Words

MOST_TYPED = 60


@safe_view
def Find() -> ft.View:  # noqa: N802
    """One field; one answer leads there at once, several are shown to choose from."""
    shared = use_shared()
    use_version(shared.hub)
    typed, set_typed = ft.use_state("")
    error, set_error = ft.use_state("")
    nothing: tuple[Named, ...] = ()
    found, set_found = ft.use_state(nothing)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    words = shared.words

    def look() -> None:
        try:
            names = named(shared.desk.state, typed)
        except UnknownName as fault:
            set_error(str(fault))
            set_found(())
            return
        set_error("")
        set_found(names)
        if len(names) == 1 and not history_only(shared.desk, names[0]):
            page.navigate(address_of(names[0]))

    def change(event: Any) -> None:
        set_typed(event.control.value)
        set_error("")

    field = ft.TextField(
        value=typed, label=words("app.find.field"), error=error or None, error_max_lines=6, text_size=TEXT_BODY,
        color=INK, max_length=MOST_TYPED, counter="", border_color=EDGE_LINE, focused_border_color=ACTION,
        border_radius=RADIUS_BUTTON, bgcolor=CARD, capitalization=ft.TextCapitalization.CHARACTERS,
        autofocus=True, on_change=safe_handler(words, change), on_submit=safe_handler(words, look),
    )  # fmt: skip
    body = [question(words("app.find.title"), hint=words("app.find.hint")), field]
    body += ways(words, found, page.navigate)
    foot: list[ft.Control] = [
        primary_button(words("app.find.open"), safe_handler(words, look), disabled=not typed.strip())
    ]
    return below_view(
        route, body, foot, back=words("app.back"), on_back=way(page.navigate, HOME), width=width
    )


def history_only(desk: Desk, one: Named) -> bool:
    """True for an item that is shredded or gone: it has no screen to go on with, only its history."""
    item = desk.state.items.get(one.id) if one.what == "item" else None
    return item is not None and (item.lot is not None or item.written_off is not None)


def ways(words: Words, found: tuple[Named, ...], go: Callable[[str], Any]) -> list[ft.Control]:
    """For each thing of that name the way there and the way to its history."""
    made = []
    for one in found:
        name = kept_together(one.id)
        made.append(
            choice(words(f"app.find.{one.what}", name=name), way(go, address_of(one)), key=f"{one.id} open")
        )
        made.append(
            choice(
                words("app.find.history", name=name), way(go, history_address(one.id)), key=f"{one.id} told"
            )
        )
    return made


def address_of(one: Named) -> str:
    """The screen of a thing."""
    return {"item": item_address, "bin": bin_address, "lot": lot_address}[one.what](one.id)
