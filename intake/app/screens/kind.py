"""What is it? Kinds as tiles, a search for all the others, the last one once more, and how many alike."""

from typing import Any

import flet as ft

from intake.app.guards import safe_handler, safe_view
from intake.app.parts.buttons import choice, quiet_button, small_button
from intake.app.parts.counter import counter
from intake.app.parts.frame import Width
from intake.app.parts.kind_tile import kind_tile, tile_grid
from intake.app.parts.question import question
from intake.app.parts.text_size import columns
from intake.app.places import HOME, STOP
from intake.app.screens.said import item_text
from intake.app.screens.walk import Walk, address, use_walk
from intake.app.session import use_version
from intake.app.theme import ACTION, CARD, EDGE_LINE, INK, RADIUS_BUTTON, TEXT_BODY
from intake.desk.answer import answer_kind, take_again
from intake.desk.receive import MAX_COUNT, receive
from intake.desk.undo import undo_item
from intake.desk.views.item import WalkStep
from intake.desk.views.kinds import KindListView, kind_list


@safe_view
def Kind(item_id: str = "") -> ft.View:  # noqa: N802
    """The first step; with an item, the same question once more to correct its kind or count."""
    walk = use_walk(WalkStep.KIND, item_id)
    use_version(walk.shared.hub)
    known = walk.shared.desk.state.items.get(item_id)
    search, set_search = ft.use_state("")
    count, set_count = ft.use_state(known.facts.count if known else 1)
    view, words = walk.shared.seen(kind_list, search), walk.words
    body: list[ft.Control] = [question(words("walk.kind.question")), _search(walk, view, search, set_search)]
    if not search and not item_id:
        body += _shortcuts(walk, view)
    if not item_id:
        stop = walk.taps.goes(STOP)
        body.append(small_button(words("app.stop.ask"), stop))
    body.append(_tiles(walk, view, count, known.facts.kind if known else ""))
    foot: list[ft.Control] = [counter(words, words("walk.kind.count"), count, set_count, most=MAX_COUNT)]
    if known:
        foot.append(quiet_button(words("walk.kind.drop"), walk.act(undo_item, item_id, to=lambda _: HOME)))
    return walk.view(body, foot)


def _search(walk: Walk, view: KindListView, search: str, set_search: Any) -> ft.Control:
    """The field that finds every kind by any of its names."""
    return ft.TextField(
        value=search, label=walk.words("walk.kind.search", count=view.known), text_size=TEXT_BODY, color=INK,
        border_color=EDGE_LINE, focused_border_color=ACTION, border_radius=RADIUS_BUTTON, bgcolor=CARD,
        on_change=safe_handler(walk.words, lambda event: set_search(event.control.value)),
    )  # fmt: skip


def _shortcuts(walk: Walk, view: KindListView) -> list[ft.Control]:
    """An item that waits for its mark, and the last one once more."""
    words, found = walk.words, []
    if view.waiting:
        go_on = walk.taps.goes(address(view.waiting.id))
        hint = item_text(words, view.waiting)
        found.append(choice(words("walk.kind.waiting"), go_on, hint=hint, key="waiting"))
    if view.same_again:
        again = walk.act(take_again, view.same_again.id, to=address)
        found.append(choice(words("walk.again"), again, hint=item_text(words, view.same_again), key="again"))
    return found


def _tiles(walk: Walk, view: KindListView, count: int, chosen: str) -> ft.Control:
    """The kinds; a tap answers at once."""
    if not view.tiles:
        return ft.Text(walk.words("walk.kind.none"), size=TEXT_BODY, color=INK)

    def handler(kind: str) -> Any:
        if walk.item_id:
            to = walk.at(WalkStep.MARK)
            return walk.act(answer_kind, walk.item_id, kind, count, to=lambda _: to)
        return walk.act(receive, kind, count, to=lambda item: address(item, WalkStep.MARK))

    tiles = [
        kind_tile(t.name, t.picture, handler(t.id), chosen=t.id == chosen if chosen else None, key=t.id)
        for t in view.tiles
    ]
    usual = 3 if walk.width is Width.PHONE else 4
    return tile_grid(tiles, per_row=columns(usual, large=walk.large_text))
