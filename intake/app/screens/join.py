"""How the next phone joins: a picture to scan, the code, who is in, and a new code."""

from collections.abc import Callable
from io import BytesIO
from typing import Any

import flet as ft

from intake.app.door import DEVICE, Door
from intake.app.guards import safe_handler, safe_view
from intake.app.parts.buttons import choice, primary_button, quiet_button
from intake.app.parts.cards import reason_card
from intake.app.parts.dialog import ask
from intake.app.parts.frame import below_view
from intake.app.parts.question import heading, question
from intake.app.places import HOME, JOIN, way
from intake.app.session import Shared, WidthContext, use_shared, use_version
from intake.app.share import join_url
from intake.app.theme import GRID, MUTED, TEXT_BODY, TEXT_NUMBER
from intake.desk.clock import local_minute
from intake.drawing.symbol import encode, paint
from intake.words import Words

_SYMBOL_PX = 480
"""[px] drawn this large at most, whole pixels to a module."""
_SHOWN_PX = 264.0
"""[px] across on the screen: fits a narrow phone, and another phone reads it at arm's length."""


@safe_view
def Join() -> ft.View:  # noqa: N802
    """The way in for the next phone."""
    shared = use_shared()
    use_version(shared.hub)
    asking, set_asking = ft.use_state(False)
    door, words, go = shared.door, shared.words, ft.context.page.navigate
    width, route = ft.use_context(WidthContext), ft.use_view_path()
    url = join_url(shared.address, door.code) if door else ""
    picture = ft.use_memo(lambda: symbol_png(url) if url else b"", [url])

    def renew() -> None:
        set_asking(False)
        if door:
            door.new_code(keep=DEVICE.get())

    ft.use_dialog(new_code_dialog(words, renew, lambda: set_asking(False)) if asking and door else None)
    if door is None:
        body: list[ft.Control] = [question(words("share.join.off"), hint=words("share.join.off_why"))]
        foot: list[ft.Control] = [primary_button(words("app.not_found.home"), way(go, HOME))]
    else:
        body = way_in(words, shared.address, door, picture)
        foot = [quiet_button(words("share.join.new"), safe_handler(words, lambda: set_asking(True)))]
    return below_view(route, body, foot, back=words("app.back"), on_back=way(go, HOME), width=width)


def way_in(words: Words, address: str, door: Door, picture: bytes) -> list[ft.Control]:
    """Picture, address and code; only the sentence that it is over where the code cannot be used."""
    title = question(words("share.join.title"), hint=words("share.join.hint"))
    devices = reason_card(words("share.join.devices", count=door.joined), ())
    if door.expired:
        return [question(words("share.join.expired")), devices]
    image = ft.Image(
        src=picture, width=_SHOWN_PX, height=_SHOWN_PX, fit=ft.BoxFit.CONTAIN, gapless_playback=True,
        semantics_label=words("share.join.picture", address=address, code=door.code),
    )  # fmt: skip
    white = ft.Container(image, bgcolor=ft.Colors.WHITE, padding=GRID, border_radius=GRID)
    return [
        title,
        ft.Row([white], alignment=ft.MainAxisAlignment.CENTER),
        ft.Text(address, size=TEXT_BODY, selectable=True),
        heading(words("share.join.code", code=door.code), level=2, size=TEXT_NUMBER),
        ft.Text(words("share.join.until", until=local_minute(door.until_ms)), size=TEXT_BODY, color=MUTED),
        devices,
    ]


def join_way(shared: Shared, go: Callable[[str], Any]) -> tuple[ft.Control, ...]:
    """The way here, for the first screen; nothing where the table is not shared."""
    if shared.door is None:
        return ()
    words = shared.words
    return (choice(words("share.join.way"), way(go, JOIN), hint=words("share.join.way_why"), key="join"),)


def new_code_dialog(words: Words, on_yes: Callable[[], Any], on_no: Callable[[], Any]) -> ft.AlertDialog:
    """What a new code means for the others, before it is made."""
    return ask(
        words("share.join.new_ask"), words("share.join.new_why"), yes=words("share.join.new"),
        no=words("share.join.new_no"), on_yes=safe_handler(words, on_yes), on_no=safe_handler(words, on_no),
    )  # fmt: skip


def symbol_png(text: str) -> bytes:
    """The QR symbol of `text` as PNG."""
    out = BytesIO()
    paint(encode(text), _SYMBOL_PX).save(out, "PNG")
    return out.getvalue()
