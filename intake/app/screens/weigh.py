"""What does it weigh? A number pad of our own, or an honest guess."""

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import primary_button, quiet_button
from intake.app.parts.keypad import keypad
from intake.app.parts.question import question
from intake.app.screens.said import item_text, mass_texts
from intake.app.screens.walk import Walk, use_walk
from intake.app.theme import GAP, MUTED, TEXT_SMALL
from intake.desk.answer import answer_weight
from intake.desk.views.clean import WeighView, weigh_view
from intake.desk.views.item import WalkStep
from intake.errors import BadInput
from intake.units import parse_mass_g


@safe_view
def Weigh(item_id: str) -> ft.View:  # noqa: N802
    """The scale's reading; saving it also finds the bin."""
    walk = use_walk(WalkStep.WEIGH, item_id)
    view, words = walk.shared.seen(weigh_view, item_id), walk.words
    text, set_text = ft.use_state(f"{view.gross_g:g}" if view.gross_g else "")
    unit, set_unit = ft.use_state("g")
    error, set_error = ft.use_state("")

    async def save() -> str | None:
        try:
            gross_g = parse_mass_g(f"{text} {unit}", where=words("walk.weigh.mass"))
        except BadInput:
            set_error(words("walk.weigh.error"))
            return None
        await walk.shared.act(answer_weight, walk.shared.desk, item_id, gross_g)
        return walk.at(WalkStep.PLACED)

    def typed(new: str) -> None:
        set_text(new)
        set_error("")

    on_save = walk.taps.once(save)
    pad = keypad(
        words, text, unit, typed, set_unit, label=words("walk.weigh.mass"), error=error,
        on_enter=lambda: on_save(None),
    )  # fmt: skip
    guess = walk.act(answer_weight, item_id, None, to=lambda _: walk.at(WalkStep.PLACED))
    find = primary_button(words("walk.weigh.save"), on_save, disabled=not text)
    foot = ft.Row(
        [quiet_button(words("walk.weigh.guess"), guess), ft.Container(find, expand=True)], spacing=GAP
    )
    head = question(words("walk.weigh.question"), hint=_hint(walk, view))
    return walk.view([head, ft.Text(_states(walk, view), size=TEXT_SMALL, color=MUTED), pad], [foot])


def _hint(walk: Walk, view: WeighView) -> str:
    """What is on the scale and what it should say."""
    words = walk.words
    mass, doubt = mass_texts(words, view.expected)
    return words("walk.weigh.hint", item=item_text(words, view.item), mass=mass, doubt=doubt)


def _states(walk: Walk, view: WeighView) -> str:
    """What holds of the item now, so that nothing is assumed unseen."""
    return " · ".join(walk.words(f"walk.state.{name}.{value}") for name, value in view.states)
