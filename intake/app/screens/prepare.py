"""What came off, step by step, and what stays on."""

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import primary_button
from intake.app.parts.cards import reason_card
from intake.app.parts.chips import chips
from intake.app.parts.prep_card import Choice, prep_card
from intake.app.parts.question import question
from intake.app.screens.said import caution_cards, item_text, time_text
from intake.app.screens.walk import Walk, use_walk
from intake.app.theme import MUTED, TEXT_SMALL
from intake.desk.answer import answer_clean, answer_prep
from intake.desk.clock import local_minute
from intake.desk.desk import Desk
from intake.desk.prep_log import add_minutes, part_off, prep_detail, start_clock, stop_clock
from intake.desk.views.clean import DONE, PrepRow, PrepView, prep_view
from intake.desk.views.item import WalkStep
from intake.table.prep.steps import Covers, HiddenPart, StepName

ADDED = (1, 5)
"""[min] that one tap adds."""


@safe_view
def Prepare(item_id: str) -> ft.View:  # noqa: N802
    """The checklist; whatever nobody spoke of counts as done with the primary action, which says so."""
    walk = use_walk(WalkStep.PREPARE, item_id)
    view, words = walk.shared.seen(prep_view, item_id), walk.words
    body: list[ft.Control] = [question(words("walk.prep.question"), hint=item_text(words, view.item))]
    body += [_clock(walk, view), *(_row(walk, row) for row in view.rows), *_parts(walk, view)]
    if not view.rows:
        body.append(reason_card(words("walk.prep.bare"), (words("walk.prep.bare.text"),)))
    body += caution_cards(words, view.cautions)
    on = walk.act(answer_clean, item_id, to=lambda _: walk.at(WalkStep.WEIGH))
    told = any(row.answer for row in view.rows)
    key = "walk.to_scale" if view.all_told else "walk.rest_off" if told else "walk.all_off"
    return walk.view(body, [primary_button(words(key), on)])


def _row(walk: Walk, row: PrepRow) -> ft.Control:
    """One step with its ways, its time and its answers."""
    words = walk.words
    lines = [words(f"method.{m}") for m in row.methods[:2]]
    lines += [words.reason(r) for r in row.reasons]
    if row.minutes:
        lines.append(time_text(words, row.minutes))
    answers = [_choice(walk, row, c) for c in row.choices]
    return prep_card(words(f"step.{row.step}"), lines, answers, key=row.step, more=_details(walk, row))


def _details(walk: Walk, row: PrepRow) -> list[ft.Control]:
    """How it was done, and how much a label covered: asked in passing, once the step is answered."""
    if not row.answer or not row.methods:
        return []
    words, item = walk.words, walk.item_id
    ways = [(m, words(f"walk.prep.how.{m}")) for m in row.methods]
    details: list[ft.Control] = [
        ft.Text(words("walk.prep.how"), size=TEXT_SMALL, color=MUTED),
        chips(ways, row.how, lambda m: walk.act(_how, item, row.step, m, to=lambda _: None)),
    ]
    if row.step is StepName.LABEL:
        sizes = [(c.value, words(f"walk.prep.covers.{c}")) for c in Covers]
        details += [
            ft.Text(words("walk.prep.covers"), size=TEXT_SMALL, color=MUTED),
            chips(sizes, row.covers, lambda c: walk.act(_covers, item, row.step, c, to=lambda _: None)),
        ]
    return details


def _how(desk: Desk, item_id: str, step: StepName, how: str) -> None:
    """The act with its answer in place."""
    prep_detail(desk, item_id, step, how=how)


def _covers(desk: Desk, item_id: str, step: StepName, covers: str) -> None:
    """The act with its answer in place."""
    prep_detail(desk, item_id, step, covers=Covers(covers))


def _parts(walk: Walk, view: PrepView) -> list[ft.Control]:
    """What comes off beside the closure: a chip each, pressed again where it stays on after all."""
    if not view.parts:
        return []
    words = walk.words
    answers = [
        (
            part.value,
            words(f"step.{part}"),
            off,
            walk.act(_part, walk.item_id, part, not off, to=lambda _: None),
        )
        for part, off in view.parts
    ]
    return [prep_card(words("walk.prep.parts"), (words("walk.prep.parts.hint"),), answers, key="parts")]


def _clock(walk: Walk, view: PrepView) -> ft.Control:
    """The time spent on this item: a clock to start and stop, or minutes to add."""
    words, item = walk.words, walk.item_id
    if view.since_ms is not None:
        since = words("walk.prep.clock.since", time=local_minute(view.since_ms)[-5:])
        stop = ("stop", words("walk.prep.clock.stop"), False, walk.act(stop_clock, item, to=lambda _: None))
        return prep_card(words("walk.prep.clock"), (since,), [stop], key="clock")
    told = (
        words("walk.prep.clock.told", minutes=f"{view.minutes:.0f}")
        if view.minutes
        else words("walk.prep.clock.none")
    )
    start = ("start", words("walk.prep.clock.start"), False, walk.act(start_clock, item, to=lambda _: None))
    more = [
        (
            f"plus-{m}",
            words("walk.prep.clock.add", minutes=m),
            False,
            walk.act(add_minutes, item, m, to=lambda _: None),
        )
        for m in ADDED
    ]
    return prep_card(words("walk.prep.clock"), (told,), [start, *more], key="clock")


def _part(desk: Desk, item_id: str, part: HiddenPart, off: bool) -> None:  # noqa: FBT001
    """The act with its answer in place."""
    part_off(desk, item_id, part, off=off)


def _choice(walk: Walk, row: PrepRow, value: str) -> Choice:
    """One answer; it may be given again differently."""
    left_on = None if value == DONE else value
    press = walk.act(_prep, walk.item_id, row.step, left_on, to=lambda _: None)
    return value, walk.words(f"walk.prep.{row.step}.{value}"), row.answer == value, press


def _prep(desk: Desk, item_id: str, step: StepName, left_on: str | None) -> None:
    """The act with its answer in place."""
    answer_prep(desk, item_id, step, left_on=left_on)
