"""What was done last, in plain words, and the undo of each; or everything that was told of one thing."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.guards import safe_component, safe_handler, safe_view
from intake.app.parts.buttons import quiet_button, small_button
from intake.app.parts.cards import card, caution_card, reason_card
from intake.app.parts.dialog import ask
from intake.app.parts.frame import below_view
from intake.app.parts.question import question
from intake.app.places import HISTORY, HOME, way
from intake.app.press import use_presses
from intake.app.session import Shared, WidthContext, use_later, use_shared, use_version
from intake.app.texts import kept_together
from intake.app.theme import GAP_WIDE, INK, MUTED, TEXT_SMALL
from intake.desk.desk import Desk
from intake.desk.history import History as Told
from intake.desk.history import histories, line_text
from intake.desk.last_acts import LastAct, last_acts
from intake.desk.opening import opening_notes
from intake.desk.undo import undo_named
from intake.errors import UnknownName
from intake.words import Words

_STRETCH = ft.CrossAxisAlignment.STRETCH


@safe_view
def History() -> ft.View:  # noqa: N802
    """The last acts at this table."""
    shared = use_shared()
    use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    words = shared.words
    head = question(words("app.history.title"), hint=words("app.history.hint"))
    body: list[ft.Control] = [head, *notes(shared), LastActs(key="acts")]
    back = way(page.navigate, HOME)
    return below_view(route, body, [], back=words("app.back"), on_back=back, width=width)


def notes(shared: Shared) -> list[ft.Control]:
    """What was set aside or could not be read when the ledger was opened; nothing after a clean stop."""
    told = opening_notes(shared.desk.ledger, shared.words)
    return [caution_card(shared.words("app.history.notes"), told, key="notes")] if told else []


@safe_component
def LastActs() -> ft.Control:  # noqa: N802
    """Every act as a card with its undo, or with the reason why it has none."""
    shared = use_shared()
    version = use_version(shared.hub)
    taps = use_presses(shared.words)
    asked, set_asked = ft.use_state("")
    acts = use_later(shared, version, last_acts)
    words = shared.words
    wanted = next((a for a in acts or () if a.line.event.id == asked and a.undo), None)

    async def undo() -> None:
        set_asked("")
        if wanted:
            await shared.act(_undo_if_still_last, shared.desk, wanted)

    ft.use_dialog(_ask(words, wanted, taps.once(undo), lambda: set_asked("")) if wanted else None)
    if acts is None:
        return ft.Text(words("app.history.wait"), size=TEXT_SMALL, color=MUTED)
    if not acts:
        return reason_card(words("app.history.none"), ())
    cards = [_act_card(words, act, set_asked, busy=taps.busy) for act in acts]
    return ft.Column(cards, spacing=GAP_WIDE / 2, tight=True, horizontal_alignment=_STRETCH)


def _undo_if_still_last(desk: Desk, wanted: LastAct) -> str | None:
    """Undo the act that was shown, not one that somebody did meanwhile; None where it is not the last any more."""
    with desk.one_at_a_time():
        now = next((a for a in last_acts(desk) if a.line.event.id == wanted.line.event.id), None)
        return undo_named(desk, now.undo) if now is not None and now.undo else None


def _act_card(words: Words, act: LastAct, on_ask: Callable[[str], Any], *, busy: bool) -> ft.Control:
    """One act: what was done, and its undo or why there is none."""
    said = kept_together(line_text(act.line, words))
    lines: list[ft.Control] = [ft.Text(said, size=TEXT_SMALL, color=INK if act.line.counts else MUTED)]
    event = act.line.event.id
    if act.undo:
        undo = safe_handler(words, lambda: None if busy else on_ask(event))
        lines.append(small_button(words("app.history.undo", name=act.undo), undo))
    elif act.why:
        lines.append(ft.Text(words(f"app.history.why.{act.why}"), size=TEXT_SMALL, color=MUTED))
    return ft.Container(card(lines), key=event)


def _ask(words: Words, act: LastAct, on_yes: Callable[..., Any], on_no: Callable[..., Any]) -> ft.AlertDialog:
    """Whether this act is to be undone."""
    return ask(
        words("app.history.ask", name=act.undo), line_text(act.line, words),
        yes=words("app.history.yes"), no=words("app.history.no"), on_yes=on_yes, on_no=on_no,
    )  # fmt: skip


def told_of(desk: Desk, name: str) -> tuple[Told, ...]:
    """Everything told of a thing; nothing where nobody knows it. Reads the whole ledger."""
    try:
        return histories(desk.ledger, name)
    except UnknownName:
        return ()


@safe_view
def HistoryOf() -> ft.View:  # noqa: N802
    """Everything that was ever told of the item, bin or lot that the address names, newest first."""
    shared = use_shared()
    version = use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    words, name = shared.words, str(ft.use_route_params()["name"])
    found = use_later(shared, version, told_of, name)
    body: list[ft.Control] = [question(words("app.history.of", name=kept_together(name)))]
    if found is None:
        body.append(ft.Text(words("app.history.wait"), size=TEXT_SMALL, color=MUTED))
    elif not found:
        body.append(reason_card(words("app.history.unknown"), (words("app.history.unknown_why"),)))
    for one in found or ():
        title = words(f"app.history.what.{one.of.what}", name=kept_together(one.of.id))
        lines = tuple(kept_together(line_text(line, words)) for line in reversed(one.lines))
        body.append(reason_card(title, lines, key=one.of.id))
    foot: list[ft.Control] = [quiet_button(words("app.history.all"), way(page.navigate, HISTORY))]
    return below_view(
        route, body, foot, back=words("app.back"), on_back=way(page.navigate, HISTORY), width=width
    )
