"""The passport of a bin: what lies in it, how clean it is, what happened to it."""

from collections.abc import Callable
from functools import partial
from typing import Any

import flet as ft

from intake.app.guards import safe_component
from intake.app.parts.buttons import primary_button, quiet_button, small_button
from intake.app.parts.cards import card, reason_card
from intake.app.parts.dialog import ask
from intake.app.parts.question import heading, question
from intake.app.parts.rows import colour_dot, fill_bar, item_row
from intake.app.places import label_address, lot_address, shred_address, way
from intake.app.press import use_presses
from intake.app.screens.bin_said import (
    foreign_texts,
    full_text,
    item_lines,
    kind_text,
    move_text,
    room_text,
)  # fmt: skip
from intake.app.screens.said import item_text, mass_texts, minded
from intake.app.session import Shared, use_later, use_shared, use_version
from intake.app.texts import kept_together
from intake.app.theme import GAP_WIDE, GRID, INK, MUTED, TEXT_BODY, TEXT_SMALL
from intake.desk.place import take_back
from intake.desk.views.bins import BinItem, BinView, bin_view, moves_view
from intake.desk.views.item import ItemHead
from intake.words import Words

_STRETCH = ft.CrossAxisAlignment.STRETCH


@safe_component
def Passport(bin_id: str) -> ft.Control:  # noqa: N802
    """What lies in the bin and how clean it is; an item can be taken back."""
    shared = use_shared()
    use_version(shared.hub)
    taps = use_presses(shared.words)
    asked, set_asked = ft.use_state("")
    words, view = shared.words, shared.seen(bin_view, bin_id)
    wanted = next((one.item for one in view.items if one.item.id == asked), None)

    async def back() -> None:
        set_asked("")
        await shared.act(take_back, shared.desk, asked)

    ft.use_dialog(
        _ask_back(words, bin_id, wanted, taps.once(back), lambda: set_asked("")) if wanted else None
    )
    head = question(kept_together(bin_id), hint=kind_text(words, view.tile))
    content = bin_content(words, view, set_asked) if view.items else empty_card(words)
    mind = minded(shared, "bin", view.tile.resin)
    return ft.Column([head, *content, *mind], spacing=GAP_WIDE, tight=True, horizontal_alignment=_STRETCH)


@safe_component
def Moves(bin_id: str) -> ft.Control:  # noqa: N802
    """What happened to the bin, the newest first."""
    shared = use_shared()
    version = use_version(shared.hub)
    moves = use_later(shared, version, moves_view, bin_id)
    words = shared.words
    return reason_card(words("app.bin.moves"), tuple(move_text(words, m) for m in moves or ()))


def passport_foot(shared: Shared, bin_id: str, go: Callable[[str], Any]) -> list[ft.Control]:
    """What to do with a bin: hang its tag, or say that it was shredded; what became of it after that."""
    words, state = shared.words, shared.desk.state.bins[bin_id]
    if state.lot:
        return [primary_button(words("app.bin.to_lot", lot=state.lot), way(go, lot_address(state.lot)))]
    key = "app.bin.tag_again" if shared.seen(bin_view, bin_id).tile.tagged else "app.bin.tag"
    tag = primary_button(words(key), way(go, label_address(bin_id)))
    if not state.items or state.closed:
        return [tag]
    return [quiet_button(words("app.bin.shred_it"), way(go, shred_address(bin_id))), tag]


def empty_card(words: Words) -> list[ft.Control]:
    """What there is to say of a bin that nothing lies in."""
    return [reason_card(words("app.bins.empty"), ())]


def bin_content(words: Words, view: BinView, on_back: Callable[[str], Any]) -> list[ft.Control]:
    """How much there is, how clean it is, and every item with the way out again."""
    return [
        content_card(words, view),
        reason_card(words("app.bin.clean"), foreign_texts(words, view.foreign)),
        heading(words("app.bin.items", count=len(view.items)), level=2, size=TEXT_BODY),
        *(item_card(words, one, partial(on_back, one.item.id)) for one in view.items),
    ]


def content_card(words: Words, view: BinView) -> ft.Control:
    """The shred to be expected, and how full the bin is."""
    mass, doubt = mass_texts(words, view.tile.shred)
    head: list[ft.Control] = [
        ft.Text(words("app.bin.shred", mass=mass), size=TEXT_BODY, weight=ft.FontWeight.W_600, color=INK,
                expand=True),
        *colour_dot(view.tile.swatch),
    ]  # fmt: skip
    counted = words("app.bin.counted", pieces=view.tile.pieces, items=view.tile.items)
    texts: list[ft.Control] = [ft.Text(t, size=TEXT_SMALL, color=MUTED) for t in (doubt, counted)]
    full = words("app.bin.full", full=full_text(words, view.tile), room=room_text(words, view))
    bar: list[ft.Control] = [fill_bar(view.tile.full), ft.Text(full, size=TEXT_SMALL, color=MUTED)]
    return ft.MergeSemantics(card([ft.Row(head, spacing=GRID), *texts, *bar]))


def item_card(words: Words, one: BinItem, on_back: Callable[..., Any]) -> ft.Control:
    """An item of the bin, and the way to take it out again."""
    row = item_row(one.item.picture, item_text(words, one.item), item_lines(words, one))
    return ft.Container(card([row, small_button(words("app.bin.take_back"), on_back)]), key=one.item.id)


def _ask_back(
    words: Words, bin_id: str, item: ItemHead, on_yes: Callable[..., Any], on_no: Callable[..., Any]
) -> ft.AlertDialog:
    """Whether to take the item out of the bin."""
    return ask(
        words("app.bin.back.title", item=item_text(words, item), bin=bin_id), words("app.bin.back.text"),
        yes=words("app.bin.back.yes"), no=words("app.bin.back.no"), on_yes=on_yes, on_no=on_no,
    )  # fmt: skip
