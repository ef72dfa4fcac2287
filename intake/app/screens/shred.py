"""A bin was shredded: what its shred weighs, asked twice where that is far from what was expected."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import primary_button
from intake.app.parts.cards import caution_card
from intake.app.parts.dialog import ask
from intake.app.parts.frame import below_view
from intake.app.parts.keypad import keypad
from intake.app.parts.question import question
from intake.app.places import BINS, bin_address, lot_address, way
from intake.app.press import use_presses
from intake.app.screens.said import mass_texts, minded
from intake.app.session import WidthContext, use_shared, use_version
from intake.desk.shred import AskFirst, outlook, shred
from intake.errors import BadInput, IntakeError
from intake.units import parse_mass_g
from intake.words import Words
from intake.words.figures import mass_text


@safe_view
def Shred() -> ft.View:  # noqa: N802
    """The scale's reading of the shred of the bin that the address names."""
    shared = use_shared()
    use_version(shared.hub)
    taps = use_presses(shared.words)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    text, set_text = ft.use_state("")
    unit, set_unit = ft.use_state("g")
    wrong, set_wrong = ft.use_state("")
    questioned: list[AskFirst] = []
    asked, set_asked = ft.use_state(questioned)
    bin_id, words = str(ft.use_route_params()["bin"]), shared.words

    async def weighed(*, sure: bool) -> str | None:
        set_asked([])
        try:
            mass_g = parse_mass_g(f"{text} {unit}", where=words("app.shred.mass"))
            done = await shared.act(lambda: shred(shared.desk, bin_id, mass_g, sure=sure))
        except AskFirst as question_first:
            set_asked([question_first])
            return None
        except BadInput as error:
            set_wrong(str(error))
            return None
        return lot_address(done.lot)

    async def save() -> str | None:
        return await weighed(sure=False)

    async def save_sure() -> str | None:
        return await weighed(sure=True)

    def typed(new: str) -> None:
        set_text(new)
        set_wrong("")

    on_save = taps.once(save)
    ft.use_dialog(_ask(words, asked[0], taps.once(save_sure), lambda: set_asked([])) if asked else None)
    try:
        view = outlook(shared.desk, bin_id)
    except IntakeError as error:
        body: list[ft.Control] = [question(words("app.shred.not_now"), hint=str(error))]
        foot: list[ft.Control] = [primary_button(words("app.bin.to_bins"), way(page.navigate, BINS))]
    else:
        mass, doubt = mass_texts(words, view.expected)
        resin = shared.desk.state.bins[view.bin].opened.resin
        pad = keypad(
            words, text, unit, typed, set_unit, label=words("app.shred.mass"), on_enter=lambda: on_save(None)
        )
        body = [
            question(
                words("app.shred.question", bin=bin_id), hint=words("app.shred.hint", mass=mass, doubt=doubt)
            ),
            *([caution_card(words("app.shred.cannot"), (wrong,))] if wrong else []),
            pad,
            *minded(shared, "shred", resin),
        ]
        foot = [primary_button(words("app.shred.save"), on_save, disabled=not text or taps.busy)]
    back = way(page.navigate, bin_address(bin_id))
    return below_view(route, body, foot, back=words("app.back"), on_back=back, width=width)


def _ask(
    words: Words, asked: AskFirst, on_yes: Callable[..., Any], on_no: Callable[..., Any]
) -> ft.AlertDialog:
    """Whether the reading is right although it is far from what was expected."""
    expected, doubt = mass_texts(words, asked.expected)
    return ask(
        words("app.shred.ask.title", mass=mass_text(asked.mass_g)),
        words("app.shred.ask.text", expected=expected, doubt=doubt),
        yes=words("app.shred.ask.yes"), no=words("app.shred.ask.no"), on_yes=on_yes, on_no=on_no,
    )  # fmt: skip
