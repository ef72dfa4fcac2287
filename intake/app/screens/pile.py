"""What to clean next: the pile best first, whether the time left today fills the mould, what a kilogram takes."""

from collections.abc import Callable
from functools import partial
from typing import Any

import flet as ft

from intake.app.guards import safe_handler, safe_view
from intake.app.parts.buttons import quiet_button
from intake.app.parts.cards import reason_card
from intake.app.parts.chips import chips
from intake.app.parts.frame import below_view
from intake.app.parts.question import heading, question
from intake.app.parts.rows import item_row
from intake.app.places import HOME, item_address, way
from intake.app.screens.said import item_text, mass_texts, minded, time_text
from intake.app.session import WidthContext, use_later, use_shared, use_version
from intake.app.theme import TEXT_BODY
from intake.desk.views.pile import PileLine, PileView, pile_view
from intake.words import Words
from intake.words.footprint import footprint_lines, footprint_notes

STEP = 20
"""Items shown at first and added at a time."""
TIMES = ("", "30", "60", "90", "120", "180")
"""[min] that a person may have left today; "" where nobody asks."""


@safe_view
def Pile() -> ft.View:  # noqa: N802
    """The items that lie in no bin yet, those first that give most for a minute."""
    shared = use_shared()
    version = use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    left, set_left = ft.use_state("")
    most, set_most = ft.use_state(STEP)
    words = shared.words
    view = use_later(shared, version, pile_view, float(left) if left else None)
    body: list[ft.Control] = [question(words("app.pile.title"), hint=_hint(words, view))]
    if view is not None and view.lines:
        choose = partial(_chosen, words, set_left)
        body += [heading(words("app.pile.time"), level=2, size=TEXT_BODY), time_chips(words, left, choose)]
        body += [reason_card(words.reason(c.reason), ()) for c in view.charges]
        body += [pile_row(words, line, page.navigate) for line in view.lines[:most]]
        if len(view.lines) > most:
            more = words("app.pile.more", count=len(view.lines) - most)
            body.append(quiet_button(more, lambda: set_most(lambda n: n + STEP)))
        body += [*_left_out(words, view), *_kilogram(words, view), *minded(shared, "pile")]
    back = way(page.navigate, HOME)
    return below_view(route, body, [], back=words("app.back"), on_back=back, width=width)


def time_chips(words: Words, left: str, choose: Callable[[str], Any]) -> ft.Control:
    """How many minutes there are today."""
    texts = [(t, words("app.pile.minutes", minutes=t) if t else words("app.pile.no_time")) for t in TIMES]
    return chips(texts, left, choose)


def pile_row(words: Words, line: PileLine, go: Callable[[str], Any]) -> ft.Control:
    """One item as a button to where it goes on."""
    mass, doubt = mass_texts(words, line.shred)
    lines = (
        words("app.pile.rate", rate=f"{line.g_per_minute:.0f}", minutes=time_text(words, line.minutes)),
        words("app.pile.gives", mass=mass, doubt=doubt, verdict=words(f"walk.{line.verdict}")),
        words.reasons(line.reasons),
    )
    go_on = way(go, item_address(line.item.id))
    return item_row(line.item.picture, item_text(words, line.item), lines, go_on, key=line.item.id)


def _hint(words: Words, view: PileView | None) -> str:
    """How many items wait, and whose times the order rests on."""
    if view is None:
        return words("app.pile.working")
    if not view.lines:
        return words("app.pile.none")
    return words("app.pile.own" if view.own_pace else "app.pile.estimate", count=len(view.lines))


def _chosen(words: Words, set_left: Callable[[str], None], key: str) -> Any:
    return safe_handler(words, partial(set_left, key))


def _left_out(words: Words, view: PileView) -> list[ft.Control]:
    """What gives nothing as it is."""
    if not view.left_out:
        return []
    names = tuple(item_text(words, item) for item in view.left_out)
    return [reason_card(words("app.pile.left_out"), names)]


def _kilogram(words: Words, view: PileView) -> list[ft.Control]:
    """What a kilogram of shred takes, for each resin that is collected."""
    return [
        reason_card(
            words("footprint.title", resin=made.resin),
            (*footprint_lines(made, words), *footprint_notes(made, words, view.virgin_source)),
        )
        for made in view.footprints
    ]
