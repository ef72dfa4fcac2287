"""Which bin? The wall with the bin's name, the grams with their doubt, why, and the next item."""

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import primary_button, quiet_button
from intake.app.parts.cards import reason_card
from intake.app.parts.verdict_card import verdict_card
from intake.app.screens.said import item_text, mass_texts, minded, reasons_card
from intake.app.screens.walk import NEW_ITEM, Walk, address, use_walk
from intake.desk.answer import take_again
from intake.desk.undo import undo_last
from intake.desk.views.item import WalkStep
from intake.desk.views.placing import PlacingView, placing_view
from intake.table.compat.decision import Verdict


@safe_view
def Placed(item_id: str) -> ft.View:  # noqa: N802
    """The placing verdict of an item."""
    walk = use_walk(WalkStep.PLACED, item_id)
    view, words = walk.shared.seen(placing_view, item_id), walk.words
    body: list[ft.Control] = [
        verdict_card(
            view.verdict, words(f"walk.{view.verdict}"), _act(walk, view), detail=_detail(walk, view)
        ),
        _grams(walk, view),
        *reasons_card(words, "walk.why", (words.reason(r) for r in view.reasons)),
        *reasons_card(words, "walk.placed.mind", (words.reason(r) for r in view.notes)),
        *(minded(walk.shared, "placed", view.bin_resin) if view.bin else ()),
    ]
    return walk.view(body, _foot(walk, view))


def _act(walk: Walk, view: PlacingView) -> str:
    """What to do with the hand."""
    if not view.bin:
        return walk.words(f"walk.placed.{view.verdict}")
    return walk.words("walk.placed.new_bin" if view.opens_bin else "walk.placed.bin", bin=view.bin)


def _detail(walk: Walk, view: PlacingView) -> str:
    """What is in hand and what the bin takes."""
    words, item = walk.words, item_text(walk.words, view.item)
    if not view.bin:
        return item
    colour = words(f"colour.{view.bin_colour}")
    return words(
        "walk.placed.detail",
        item=item,
        resin=view.bin_resin,
        colour=colour,
        flow=words(f"walk.flow.{view.bin_flow}"),
    )


def _grams(walk: Walk, view: PlacingView) -> ft.Control:
    """The shred it gives, with its doubt, and where the rest went."""
    words = walk.words
    shred, doubt = mass_texts(words, view.shred)
    came, _ = mass_texts(words, view.received)
    off = [
        words("walk.placed.off", what=words(f"removed.{name}"), mass=mass_texts(words, g)[0])
        for name, g in view.removed
    ]
    lines = (
        doubt,
        words("walk.placed.received", mass=came),
        words("walk.placed.removed", parts=", ".join(off)) if off else "",
        words("walk.placed.loss"),
    )
    return reason_card(words("walk.placed.shred", mass=shred), tuple(line for line in lines if line))


def _foot(walk: Walk, view: PlacingView) -> list[ft.Control]:
    """Undo, once more, next; where it goes into no bin, clean it further."""
    words, item = walk.words, walk.item_id
    undo = quiet_button(words("walk.undo"), walk.act(undo_last, item, to=lambda _: walk.at(WalkStep.WEIGH)))
    next_item = primary_button(words("walk.next_item"), walk.taps.goes(NEW_ITEM))
    if view.verdict is not Verdict.ACCEPT:
        more = quiet_button(
            words("walk.placed.clean_more"), walk.taps.goes(walk.at(WalkStep.PREPARE)), expand=True
        )
        return [ft.Row([undo, more]), next_item]
    again = quiet_button(words("walk.again"), walk.act(take_again, item, to=address), expand=True)
    return [ft.Row([undo, again]), next_item]
