"""One test, the most telling one: what to look for, how to do it, and what was seen."""

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import answers, choice, quiet_button
from intake.app.parts.cards import card
from intake.app.parts.pictures import float_tank
from intake.app.parts.question import question
from intake.app.screens.said import caution_cards, item_text, odds_card
from intake.app.screens.walk import Walk, use_walk
from intake.desk.answer import answer_test
from intake.desk.decide import decide
from intake.desk.views.item import WalkStep
from intake.desk.views.looks import TestView, next_test_id, test_view
from intake.table.identify.next_test import FLOAT


@safe_view
def Test(item_id: str, test: str = "") -> ft.View:  # noqa: N802
    """The test that the address names, or the one most worth doing."""
    walk = use_walk(WalkStep.TEST, item_id)
    test = test or walk.shared.seen(next_test_id, item_id)
    view, words = walk.shared.seen(test_view, item_id, test), walk.words
    hint = words("walk.test.hint", item=item_text(words, view.item), minutes=_time(walk, view.minutes))
    body: list[ft.Control] = [
        question(words(f"walk.test.{test}.question"), hint=f"{hint} {words(f'walk.test.{test}.how')}"),
        *_tank(walk, view),
        answers([_outcome(walk, view, value) for value in view.outcomes]),
        card([odds_card(words, view.odds)]),
        *caution_cards(words, view.cautions),
    ]
    later = walk.act(decide, item_id, to=lambda _: walk.at(WalkStep.VERDICT))
    return walk.view(body, [quiet_button(words("walk.test.later"), later)])


def _time(walk: Walk, minutes: float) -> str:
    """What it takes, as a person says it."""
    if minutes < 1:
        return walk.words("walk.test.seconds", seconds=round(minutes * 60))
    return walk.words("walk.test.minutes", minutes=f"{minutes:g}")


def _outcome(walk: Walk, view: TestView, value: str) -> ft.Control:
    """One thing that may be seen; a tap answers at once and leads to what is worth asking next."""
    kind = "float" if view.test.startswith(FLOAT) else view.test
    key = "walk.test.unsure" if value == "unsure" else f"walk.test.{kind}.{value}"
    press = walk.act(answer_test, walk.item_id, view.test, value, to=walk.onward)
    return choice(walk.words(key), press, chosen=value == view.answer if view.answer else None, key=value)


def _tank(walk: Walk, view: TestView) -> list[ft.Control]:
    """How to read a bath, for what the item may be."""
    if view.bath_g_cm3 is None:
        return []
    floats, sinks = ", ".join(view.floats[:3]), ", ".join(view.sinks[:3])
    label = walk.words("walk.test.tank", floats=floats or "–", sinks=sinks or "–")
    return [float_tank(floats=floats, sinks=sinks, label=label)]
