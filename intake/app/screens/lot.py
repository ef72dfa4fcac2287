"""One lot: what is left, how pure, how hot, what a bath would do, and the way into a charge."""

from collections.abc import Callable
from functools import partial
from typing import Any

import flet as ft

from intake.app.guards import safe_component, safe_view
from intake.app.parts.buttons import link_button, primary_button, quiet_button
from intake.app.parts.cards import card, caution_card, reason_card
from intake.app.parts.dialog import ask
from intake.app.parts.frame import below_view
from intake.app.parts.question import heading, question
from intake.app.parts.rows import fill_bar, item_row
from intake.app.places import LOTS, bin_address, draw_address, history_address, way
from intake.app.press import use_presses
from intake.app.screens.bin_said import foreign_texts
from intake.app.screens.lot_said import gone_texts, left_text, lot_kind_text, melt_text, oven_texts
from intake.app.screens.said import item_text, minded
from intake.app.session import WidthContext, use_later, use_shared, use_version
from intake.app.texts import kept_together
from intake.app.theme import GAP_WIDE, INK, MUTED, TEXT_BODY, TEXT_SMALL
from intake.desk.undo import undo_last_of_lot
from intake.desk.views.item import ItemHead
from intake.desk.views.lots import LotView, lot_advice, lot_view
from intake.words import Words
from intake.words.figures import share_span_text

SHOWN = 8
"""Items shown at first."""


@safe_view
def Lot() -> ft.View:  # noqa: N802
    """The lot that the address names."""
    shared = use_shared()
    use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    lot_id, words = str(ft.use_route_params()["lot"]), shared.words
    to_lots = way(page.navigate, LOTS)
    if lot_id in shared.desk.state.lots:
        body: list[ft.Control] = [LotCard(lot_id, key=lot_id)]
        foot = [_draw_button(words, shared.seen(lot_view, lot_id), page.navigate)]
    else:
        body = [question(words("app.lot.gone"), hint=words("app.lot.gone_why"))]
        foot = [primary_button(words("app.lot.to_lots"), to_lots)]
    return below_view(route, body, foot, back=words("app.back"), on_back=to_lots, width=width)


@safe_component
def LotCard(lot_id: str) -> ft.Control:  # noqa: N802
    """Everything about the lot, with the way to undo what was done with it last."""
    shared = use_shared()
    version = use_version(shared.hub)
    taps = use_presses(shared.words)
    asked, set_asked = ft.use_state(False)
    all_items, show_all = ft.use_state(False)
    advice = use_later(shared, version, lot_advice, lot_id)
    words = shared.words
    view = shared.seen(lot_view, lot_id) if lot_id in shared.desk.state.lots else None

    async def undo() -> str | None:
        set_asked(False)
        await shared.act(undo_last_of_lot, shared.desk, lot_id)
        return None if view is None or view.used else bin_address(view.tile.bin)

    ft.use_dialog(
        _ask_undo(words, view, taps.once(undo), lambda: set_asked(False)) if asked and view else None
    )
    if view is None:  # its shredding was undone, here or on another phone; the screen around it says so
        return ft.Column()
    bath = tuple(words.reason(r) for r in advice) if advice else (words("app.lot.bath_wait"),)
    undo_key = "app.lot.undo.used" if view.used else "app.lot.undo.shredded"
    kind = words("app.lot.kind", kind=lot_kind_text(words, view.tile), bin=view.tile.bin)
    return ft.Column(
        [
            question(kept_together(lot_id), hint=kind),
            _left_card(words, view),
            _purity_card(words, view),
            _oven_card(words, view),
            reason_card(words("app.lot.bath"), bath),
            _melt_card(words, view),
            *_items(words, view.items, view.items if all_items else view.items[:SHOWN], show_all),
            *_label_links(words, view),
            quiet_button(words("app.history.of_this"), way(ft.context.page.navigate, history_address(lot_id))),
            *minded(shared, "lot", view.tile.resin),
            quiet_button(words(undo_key), lambda: set_asked(True), disabled=taps.busy),
        ],
        spacing=GAP_WIDE, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )  # fmt: skip


def _label_links(words: Words, view: LotView) -> list[ft.Control]:
    """The label as a page and as a picture; none where nothing is left or another table labelled it."""
    lot = view.tile.id
    if not view.tile.left_share or "~" in lot:
        return []
    return [
        link_button(words("app.lot.label_pdf"), f"/download/lot/{lot}.pdf"),
        link_button(words("app.lot.label_png"), f"/download/lot/{lot}.png"),
    ]


def _draw_button(words: Words, view: LotView, go: Callable[[str], Any]) -> ft.Control:
    """The way into a charge; dead where no charge takes the lot."""
    if not view.charges:
        return primary_button(words("app.lot.no_charge"), None, disabled=True)
    return primary_button(words("app.lot.draw"), way(go, draw_address(view.tile.id)))


def _left_card(words: Words, view: LotView) -> ft.Control:
    """What is left, as text and bar, and where the rest went."""
    title = ft.Text(left_text(words, view.tile), size=TEXT_BODY, weight=ft.FontWeight.W_600, color=INK)
    lines = [ft.Text(t, size=TEXT_SMALL, color=MUTED) for t in gone_texts(words, view)]
    return ft.MergeSemantics(card([title, fill_bar(view.tile.left_share), *lines]))


def _purity_card(words: Words, view: LotView) -> ft.Control:
    """How pure it is, and what is foreign in it."""
    lines = foreign_texts(words, view.foreign) if view.foreign else (words("app.lot.clean"),)
    return reason_card(words("app.lot.purity", purity=share_span_text(view.tile.purity)), lines)


def _oven_card(words: Words, view: LotView) -> ft.Control:
    """How hot, with its caution."""
    title, line = oven_texts(words, view)
    return caution_card(title, (line,))


def _melt_card(words: Words, view: LotView) -> ft.Control:
    """What the test melt said."""
    why = words(f"app.lot.melt_why.{view.tile.verdict or 'none'}")
    return reason_card(words("app.lot.melt", melt=melt_text(words, view.tile)), (why,))


def _items(
    words: Words, items: tuple[ItemHead, ...], shown: tuple[ItemHead, ...], show_all: Callable[[bool], Any]
) -> list[ft.Control]:
    """What was shredded into it; many only on demand."""
    rows: list[ft.Control] = [item_row(i.picture, item_text(words, i), (), key=i.id) for i in shown]
    if len(shown) < len(items):
        more = words("app.lot.more_items", count=len(items) - len(shown))
        rows.append(quiet_button(more, partial(show_all, True)))
    return [heading(words("app.lot.items", count=len(items)), level=2, size=TEXT_BODY), *rows]


def _ask_undo(
    words: Words, view: LotView, on_yes: Callable[..., Any], on_no: Callable[..., Any]
) -> ft.AlertDialog:
    """Whether the last act on the lot is to be undone."""
    last = "used" if view.used else "shredded"
    return ask(
        words(f"app.lot.undo.ask.{last}", lot=view.tile.id),
        words(f"app.lot.undo.why.{last}", bin=view.tile.bin),
        yes=words("app.lot.undo.yes"), no=words("app.lot.undo.no"), on_yes=on_yes, on_no=on_no,
    )  # fmt: skip
