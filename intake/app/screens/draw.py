"""How much of a lot goes into a charge? A number, or all of it."""

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import primary_button, quiet_button
from intake.app.parts.cards import caution_card
from intake.app.parts.chips import chips
from intake.app.parts.frame import below_view
from intake.app.parts.keypad import keypad
from intake.app.parts.question import question
from intake.app.places import LOTS, lot_address, way
from intake.app.press import use_presses
from intake.app.screens.said import mass_texts, minded
from intake.app.session import WidthContext, use_shared, use_version
from intake.app.theme import GAP, MUTED, TEXT_SMALL
from intake.desk.draw import draw
from intake.desk.views.lots import ChargeNeed, DrawView, draw_view
from intake.errors import BadInput
from intake.units import parse_mass_g
from intake.words import Words
from intake.words.figures import mass_text


@safe_view
def Draw() -> ft.View:  # noqa: N802
    """Drawing from the lot that the address names."""
    shared = use_shared()
    use_version(shared.hub)
    taps = use_presses(shared.words)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    text, set_text = ft.use_state("")
    unit, set_unit = ft.use_state("g")
    wrong, set_wrong = ft.use_state("")
    picked, set_picked = ft.use_state("")
    lot_id, words = str(ft.use_route_params()["lot"]), shared.words
    view = shared.seen(draw_view, lot_id) if lot_id in shared.desk.state.lots else None
    back = way(page.navigate, lot_address(lot_id) if view else LOTS)
    if view is None or not view.charges:
        head = question(words("app.draw.not_now", lot=lot_id), hint=words("app.draw.not_now_why"))
        foot: list[ft.Control] = [primary_button(words("app.back"), back)]
        return below_view(route, [head], foot, back=words("app.back"), on_back=back, width=width)
    charge = next((c for c in view.charges if c.id == picked), view.charges[0])

    async def take(mass_g: float) -> str:
        await shared.act(draw, shared.desk, lot_id, charge.id, mass_g)
        return lot_address(lot_id)

    async def save() -> str | None:
        try:
            return await take(parse_mass_g(f"{text} {unit}", where=words("app.draw.mass")))
        except BadInput as error:
            set_wrong(str(error))
            return None

    async def save_all() -> str:
        return await take(view.left_g)

    def typed(new: str) -> None:
        set_text(new)
        set_wrong("")

    on_save = taps.once(save)
    pad = keypad(
        words, text, unit, typed, set_unit, label=words("app.draw.mass"), on_enter=lambda: on_save(None)
    )
    title = words("app.draw.question", lot=lot_id, charge=charge.id)
    body: list[ft.Control] = [question(title, hint=_hint(words, view, charge))]
    if len(view.charges) > 1:
        ids = [(c.id, c.id) for c in view.charges]
        body.append(ft.Text(words("app.draw.for"), size=TEXT_SMALL, color=MUTED))
        body.append(chips(ids, charge.id, lambda c: lambda: set_picked(c)))
    body += [caution_card(words("app.shred.cannot"), (wrong,))] if wrong else []
    mind = minded(shared, "draw", shared.desk.state.lots[lot_id].opened.resin)
    save_button = primary_button(words("app.draw.save"), on_save, disabled=not text or taps.busy)
    everything = quiet_button(words("app.draw.all"), taps.once(save_all), disabled=taps.busy)
    row = ft.Row([everything, ft.Container(save_button, expand=True)], spacing=GAP)
    return below_view(
        route,
        [*body, pad, *mind],
        [row],
        back=words("app.back"),
        on_back=back,
        width=width,
    )


def _hint(words: Words, view: DrawView, charge: ChargeNeed) -> str:
    """What is left, and what the charge still needs."""
    left = mass_text(view.left_g)
    if charge.filled:
        return words("app.draw.hint_filled", left=left, charge=charge.id)
    mass, doubt = mass_texts(words, charge.needs)
    return words("app.draw.hint", left=left, charge=charge.id, mass=mass, doubt=doubt)
