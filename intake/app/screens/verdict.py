"""Is it worth cleaning? The wall, why, what to mind, and what to do with the hand."""

from typing import Any

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import choice, primary_button, quiet_button
from intake.app.parts.cards import card, reason_card
from intake.app.parts.colour_row import Swatch, colour_row
from intake.app.parts.question import heading
from intake.app.parts.text_size import columns
from intake.app.parts.verdict_card import verdict_card
from intake.app.screens.said import caution_cards, item_text, reasons_card, time_text
from intake.app.screens.walk import NEW_ITEM, Walk, address, use_walk
from intake.app.theme import MUTED, TEXT_BODY, TEXT_SMALL
from intake.desk.answer import answer_clean, answer_colour, take_again
from intake.desk.decide import decide
from intake.desk.views.item import WalkStep
from intake.desk.views.judged import ColourView, VerdictView, verdict_view
from intake.table.compat.decision import Verdict
from intake.words.figures import share_text


@safe_view
def VerdictStep(item_id: str) -> ft.View:  # noqa: N802
    """The resin verdict of an item."""
    walk = use_walk(WalkStep.VERDICT, item_id)
    view, words = walk.shared.seen(verdict_view, item_id), walk.words
    all_colours, set_all = ft.use_state(False)
    wall = verdict_card(
        view.verdict, words(f"walk.{view.verdict}"), words(_act_key(view)),
        detail=words("walk.verdict.detail", item=item_text(words, view.item), resin=view.resin,
                     chance=share_text(view.probability)),
    )  # fmt: skip
    body: list[ft.Control] = [wall]
    if view.settle:
        question = words(f"walk.test.{view.settle}.question")
        to_test = walk.taps.goes(walk.at(WalkStep.TEST, view.settle))
        body.append(choice(words("walk.hold.settle"), to_test, hint=question, key="settle"))
    if view.colour:
        body.append(_colours(walk, view.colour, all_colours, set_all))
    body += _to_do(walk, view)
    body += reasons_card(words, "walk.why", (words.reason(r) for r in view.reasons))
    body += caution_cards(words, view.cautions)
    if view.verdict is Verdict.REFUSE:
        body.append(reason_card(words("walk.refuse.where"), (words("walk.refuse.where.text"),)))
    return walk.view(body, _accepted(walk, view) if view.verdict is Verdict.ACCEPT else _ended(walk))


def _act_key(view: VerdictView) -> str:
    """What to do with the hand."""
    if view.verdict is Verdict.ACCEPT:
        return "walk.accept.clean" if view.steps else "walk.accept.weigh"
    return f"walk.{view.verdict}.act"


def _to_do(walk: Walk, view: VerdictView) -> list[ft.Control]:
    """What has to be done before it is weighed, and how long that usually takes."""
    if not view.minutes:
        return []
    lines = (*(walk.words(f"step.{s}") for s in view.steps), time_text(walk.words, view.minutes))
    return [reason_card(walk.words("walk.todo"), lines)]


def _colours(walk: Walk, view: ColourView, all_colours: bool, set_all: Any) -> ft.Control:  # noqa: FBT001
    """Which colour: three that most things have, and the others on demand."""
    words = walk.words
    opened = all_colours or (view.said and view.chosen not in {c.id for c in view.first})
    shown = (*view.first, *view.others) if opened else view.first
    swatches = [Swatch(id=c.id, name=words(f"colour.{c.id}"), colour=c.swatch) for c in shown]
    if not opened:
        swatches.append(Swatch(id="", name=words("walk.colour.more"), colour=""))

    def handler(colour: str) -> Any:
        if not colour:
            return lambda: set_all(True)
        return walk.act(answer_colour, walk.item_id, colour, to=lambda _: None)

    row = colour_row(
        swatches, view.chosen if view.said else "-", handler, per_row=columns(4, large=walk.large_text)
    )
    said = "walk.colour.said" if view.said else "walk.colour.unsaid"
    note = words(said, colour=words(f"colour.{view.chosen}"))
    head = heading(words("walk.colour.question"), level=2, size=TEXT_BODY)
    return card([head, ft.Text(note, size=TEXT_SMALL, color=MUTED), row])


def _accepted(walk: Walk, view: VerdictView) -> list[ft.Control]:
    """Clean it and go on; step by step where something stays on."""
    words = walk.words
    to_scale = walk.act(answer_clean, walk.item_id, to=lambda _: walk.at(WalkStep.WEIGH))
    if not view.steps:
        return [primary_button(words("walk.to_scale"), to_scale)]
    by_step = walk.act(decide, walk.item_id, to=lambda _: walk.at(WalkStep.PREPARE))
    return [quiet_button(words("walk.by_step"), by_step), primary_button(words("walk.all_off"), to_scale)]


def _ended(walk: Walk) -> list[ft.Control]:
    """The walk ends here: change an answer, one more like it, or the next item; what was told is recorded."""
    words, item = walk.words, walk.item_id
    look = walk.taps.goes(walk.at(WalkStep.MARK))
    again = walk.act(take_again, item, to=address)
    row = ft.Row(
        [quiet_button(words("walk.look_again"), look), quiet_button(words("walk.again"), again, expand=True)]
    )
    return [row, primary_button(words("walk.next_item"), walk.act(decide, item, to=lambda _: NEW_ITEM))]
