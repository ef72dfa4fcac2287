"""What does the mark say? Seven numbers, no mark, or letters as they stand there."""

from functools import partial
from typing import Any

import flet as ft

from intake.app.guards import safe_handler, safe_view
from intake.app.parts.buttons import primary_button
from intake.app.parts.cards import card, reason_card
from intake.app.parts.chips import chips
from intake.app.parts.kind_tile import tile_grid
from intake.app.parts.mark_tile import mark_tile
from intake.app.parts.question import question
from intake.app.parts.text_size import columns
from intake.app.screens.said import item_text, odds_card
from intake.app.screens.walk import Walk, use_walk
from intake.app.theme import ACTION, CARD, EDGE_LINE, INK, RADIUS_BUTTON, TEXT_BODY
from intake.desk.answer import answer_mark
from intake.desk.observe import NO_MARK
from intake.desk.views.item import WalkStep
from intake.desk.views.looks import MarkView, mark_view, reading_of
from intake.table.identify.evidence import MarkHow
from intake.table.resins import OTHER


@safe_view
def Mark(item_id: str) -> ft.View:  # noqa: N802
    """The mark; a tap on a tile answers at once and may be taken back by another."""
    walk = use_walk(WalkStep.MARK, item_id)
    view, words = walk.shared.seen(mark_view, item_id), walk.words
    how, set_how = ft.use_state(view.how)
    typed, set_typed = ft.use_state("" if view.text in {*"1234567", NO_MARK} else view.text)
    body: list[ft.Control] = [
        question(words("walk.mark.question"), hint=words("walk.mark.hint", item=item_text(words, view.item))),
        _how(walk, how, set_how),
        _tiles(walk, view, how),
        _letters(walk, typed, set_typed),
    ]
    new = typed.strip() if typed.strip() != view.text else ""
    if new:
        reading = reading_of(walk.shared.desk, new)
        lines = (*(words.reason(n) for n in reading.notes), *_nearest(walk, reading.nearest))
        body.append(reason_card(words("walk.mark.says"), lines or (words("walk.mark.nothing"),)))
    body.append(card([odds_card(words, view.odds)]))
    foot: list[ft.Control] = []
    if new:
        foot.append(primary_button(words("walk.mark.use"), _answers(walk, new, how)))
    elif view.text:
        text = words("walk.enough" if view.enough else "walk.go_on")
        foot.append(primary_button(text, _answers(walk, view.text, how)))
    return walk.view(body, foot)


def _answers(walk: Walk, text: str, how: MarkHow) -> Any:
    """A handler that records the mark."""
    return walk.act(answer_mark, walk.item_id, text, how, to=walk.onward)


def _how(walk: Walk, how: MarkHow, set_how: Any) -> ft.Control:
    """How it stands on the item, asked before it is read: it says how far to trust it."""
    choices = [(h.value, walk.words(f"walk.how.{h.value}")) for h in MarkHow]
    return chips(choices, how.value, lambda value: safe_handler(walk.words, partial(set_how, MarkHow(value))))


def _tiles(walk: Walk, view: MarkView, how: MarkHow) -> ft.Control:
    """The numbers, and that there is none."""
    words, said = walk.words, bool(view.text)

    def tile(number: str, letters: str) -> ft.Control:
        chosen = number == view.text if said else None
        return mark_tile(number, letters, _answers(walk, number, how), chosen=chosen, key=number)

    tiles = [tile(t.number, words("walk.mark.other") if t.resin == OTHER else t.resin) for t in view.tiles]
    none = _answers(walk, NO_MARK, MarkHow.UNCLEAR)
    chosen = view.text == NO_MARK if said else None
    tiles.append(mark_tile("", words("walk.mark.none"), none, chosen=chosen, key="none"))
    return tile_grid(tiles, per_row=columns(4, large=walk.large_text))


def _letters(walk: Walk, typed: str, set_typed: Any) -> ft.Control:
    """Letters beside a number or instead of one."""
    return ft.TextField(
        value=typed, label=walk.words("walk.mark.letters"), text_size=TEXT_BODY, color=INK, max_length=100,
        counter="", border_color=EDGE_LINE, focused_border_color=ACTION, border_radius=RADIUS_BUTTON, bgcolor=CARD,
        on_change=safe_handler(walk.words, lambda event: set_typed(event.control.value)),
    )  # fmt: skip


def _nearest(walk: Walk, nearest: tuple[str, ...]) -> tuple[str, ...]:
    """Known marks that may be meant, as a question."""
    return (walk.words("mark.nearest", nearest=", ".join(nearest)),) if nearest else ()
