"""Find: type what stands on a tag or a label, and go to the bin, the lot or the item."""

from collections.abc import Callable
from typing import Any, cast

import flet as ft

from intake.app.guards import safe_handler, safe_view
from intake.app.parts.buttons import choice, primary_button, quiet_button
from intake.app.parts.cards import reason_card
from intake.app.parts.frame import below_view
from intake.app.parts.question import question
from intake.app.photo import Photo
from intake.app.places import HOME, bin_address, history_address, item_address, lot_address, way
from intake.app.session import Shared, WidthContext, use_shared, use_version
from intake.app.texts import kept_together
from intake.app.theme import ACTION, CARD, EDGE_LINE, INK, RADIUS_BUTTON, TEXT_BODY
from intake.desk.desk import Desk
from intake.desk.names import Named, named
from intake.desk.scan import Scanned, sentence
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
    said, set_said = ft.use_state("")
    no_scan: tuple[Scanned, ...] = ()
    seen, set_seen = ft.use_state(no_scan)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    words = shared.words

    def scanned(labels: tuple[Scanned, ...]) -> None:
        set_seen(labels)
        to = [place for one in labels if (place := place_of(one))]
        if len(labels) == len(to) == 1:
            page.navigate(to[0])

    photo = use_photo(shared, set_said, scanned)

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
    body += [ft.Semantics(content=reason_card(said, ()), live_region=True)] if said else []
    body += label_cards(words, seen, page.navigate)
    foot: list[ft.Control] = [
        *photo_button(words, photo),
        primary_button(words("app.find.open"), safe_handler(words, look), disabled=not typed.strip()),
    ]
    return below_view(
        route, body, foot, back=words("app.back"), on_back=way(page.navigate, HOME), width=width
    )


def use_photo(
    shared: Shared, on_said: Callable[[str], Any], on_found: Callable[[tuple[Scanned, ...]], Any]
) -> Photo:
    """Hook: one picker for the life of the screen; the client tells only handlers it was made with."""
    made: Any = ft.use_state(cast("Any", lambda: Photo(shared, on_said, on_found)))
    return cast("Photo", made[0])


def photo_button(words: Words, photo: Photo) -> list[ft.Control]:
    """Opens the camera or the photos inside the tap, which is the only time a browser does."""
    button = quiet_button(words("app.scan.photo"), None)
    button.action = ft.PickFiles(photo.picker, file_type=ft.FilePickerFileType.IMAGE)
    return [button]


def label_cards(words: Words, seen: tuple[Scanned, ...], go: Callable[[str], Any]) -> list[ft.Control]:
    """Every label of a photo: what it says, and the way to its bin or lot where this table has it."""
    made: list[ft.Control] = []
    for number, one in enumerate(seen):
        said, place = kept_together(sentence(one, words)), place_of(one)
        key = f"label {number}"
        made.append(choice(said, way(go, place), key=key) if place else reason_card(said, (), key=key))
    return made


def place_of(one: Scanned) -> str:
    """The screen of a scanned label; empty where this table knows no such thing."""
    if one.lot is not None:
        return lot_address(one.lot.id)
    return bin_address(one.bin.id) if one.bin is not None else ""


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
