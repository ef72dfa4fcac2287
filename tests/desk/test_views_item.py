"""The walk as the desk sees it: where an item goes on, what each step shows, what a tap records."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from intake.app.parts.pictures import PICTURES
from intake.desk.answer import (
    answer_clean,
    answer_colour,
    answer_kind,
    answer_mark,
    answer_prep,
    answer_test,
    answer_weight,
    take_again,
)
from intake.desk.campaign import Campaign
from intake.desk.decide import decide, preview, settling_test
from intake.desk.desk import Desk
from intake.desk.observe import NO_MARK, set_mark, set_test, what_next
from intake.desk.place import take_back
from intake.desk.receive import receive
from intake.desk.undo import undo_last
from intake.desk.views.clean import prep_view, weigh_view
from intake.desk.views.item import WalkStep, beside, head, next_step, stands_at, unfinished
from intake.desk.views.judged import verdict_view
from intake.desk.views.kinds import kind_list
from intake.desk.views.looks import mark_view
from intake.desk.views.looks import test_view as view_of_test
from intake.desk.views.placing import placing_view
from intake.errors import BadInput, Refusal, UnknownName
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.table.compat.decision import Verdict
from intake.table.identify.evidence import Mark, MarkHow
from intake.table.item import Closure, Label
from intake.table.prep.steps import StepName
from intake.words import catalogue

MOULDED, UNCLEAR = MarkHow.MOULDED, MarkHow.UNCLEAR
WORDS = catalogue(resources() / "words")


def events(desk: Desk) -> int:
    return len(tuple(desk.ledger.events()))


def jug(desk: Desk, count: int = 1) -> str:
    item = receive(desk, "jug", count)
    assert answer_mark(desk, item, "2", MOULDED) is WalkStep.VERDICT
    return item


def placed(desk: Desk, mass_g: float = 61.0) -> str:
    item = jug(desk)
    answer_colour(desk, item, "natural")
    answer_clean(desk, item)
    answer_weight(desk, item, mass_g)
    return item


# where it goes on


def test_an_item_goes_on_where_it_was_left(desk: Desk) -> None:
    item = receive(desk, "jug")
    assert next_step(desk, item) is WalkStep.MARK
    answer_mark(desk, item, "2", MOULDED)
    assert next_step(desk, item) is WalkStep.VERDICT
    answer_prep(desk, item, StepName.CLOSURE)
    assert next_step(desk, item) is WalkStep.PREPARE
    answer_clean(desk, item)
    assert next_step(desk, item) is WalkStep.WEIGH
    answer_weight(desk, item, 61.0)
    assert next_step(desk, item) is WalkStep.PLACED
    take_back(desk, item)
    assert next_step(desk, item) is WalkStep.WEIGH


def test_it_goes_on_at_the_same_step_after_a_restart(
    tmp_path: Path, handbook: Handbook, campaign: Campaign
) -> None:
    with Desk.open(tmp_path / "l", handbook, campaign) as desk:
        items = {receive(desk, "detergent bottle"): WalkStep.MARK, jug(desk): WalkStep.VERDICT}
        unmarked = receive(desk, "detergent bottle")
        assert answer_mark(desk, unmarked, NO_MARK, UNCLEAR) is WalkStep.TEST
        items[unmarked] = WalkStep.TEST
        shown = {i: head(desk, i) for i in items}
    with Desk.open(tmp_path / "l", handbook) as again:
        assert {i: next_step(again, i) for i in items} == items
        assert {i: head(again, i) for i in items} == shown
        assert {s.id for s in unfinished(again)} == set(items)


@pytest.mark.parametrize("wanted", [WalkStep.PREPARE, WalkStep.WEIGH, WalkStep.PLACED])
@pytest.mark.parametrize(("kind", "mark"), [("blister pack", "3"), ("detergent bottle", NO_MARK)])
def test_what_is_not_accepted_never_stands_at_washing_or_weighing(
    desk: Desk, kind: str, mark: str, wanted: WalkStep
) -> None:
    item = receive(desk, kind)
    answer_mark(desk, item, mark, UNCLEAR)
    assert stands_at(desk, item, wanted) in {WalkStep.VERDICT, WalkStep.TEST}


@pytest.mark.parametrize("wanted", list(WalkStep))
def test_what_lies_in_a_bin_only_shows_its_bin(desk: Desk, wanted: WalkStep) -> None:
    assert stands_at(desk, placed(desk), wanted) is WalkStep.PLACED


@pytest.mark.parametrize("wanted", [WalkStep.KIND, WalkStep.MARK, WalkStep.VERDICT])
def test_back_is_open_until_it_lies_in_a_bin(desk: Desk, wanted: WalkStep) -> None:
    item = jug(desk)
    answer_clean(desk, item)
    assert stands_at(desk, item, wanted) is wanted


@pytest.mark.parametrize(
    "view", [next_step, head, mark_view, verdict_view, prep_view, weigh_view, placing_view]
)
def test_an_unknown_item_is_a_sentence(desk: Desk, view) -> None:
    with pytest.raises(BadInput, match="the id of an item"):
        view(desk, "nobody")


# answers


def test_every_answer_given_twice_records_nothing_the_second_time(desk: Desk) -> None:
    item = receive(desk, "jug")
    answers = (
        lambda: answer_kind(desk, item, "milk bottle", 2),
        lambda: answer_mark(desk, item, "2", MOULDED),
        lambda: answer_test(desk, item, "float:water", "floats"),
        lambda: answer_colour(desk, item, "natural"),
        lambda: answer_prep(desk, item, StepName.LABEL, left_on="partly"),
        lambda: answer_clean(desk, item),
        lambda: answer_weight(desk, item, 80.0),
    )
    for answer in answers:
        before = events(desk)
        answer()
        once = events(desk)
        answer()
        assert before < once == events(desk)


def test_another_mark_takes_the_place_of_the_first(desk: Desk) -> None:
    item = jug(desk)
    answer_mark(desk, item, "3", MOULDED)
    marks = [e for e in desk.state.items[item].evidence if isinstance(e, Mark)]
    assert marks == [Mark(text="3", how=MOULDED)]
    assert desk.state.items[item].resin_verdict.verdict is preview(desk, item).verdict is not Verdict.ACCEPT


def test_no_verdict_stands_on_evidence_that_is_gone(desk: Desk) -> None:
    item = receive(desk, "detergent bottle")
    answer_mark(desk, item, "2", MOULDED)
    while settling_test(desk, item):
        answer_test(desk, item, "float:water", "floats")
    assert desk.state.items[item].resin_verdict.verdict is Verdict.ACCEPT
    answer_mark(desk, item, "1", MOULDED)
    assert desk.state.items[item].resin_verdict.verdict is preview(desk, item).verdict is not Verdict.ACCEPT
    with pytest.raises(Refusal, match="do not wash it"):
        answer_clean(desk, item)


@pytest.mark.parametrize("bath", ["water", "alcohol", "salt-1.08", "salt-1.19", "sugar"])
def test_a_bath_by_name_is_not_asked_for_again(desk: Desk, bath: str) -> None:
    item = receive(desk, "other")
    set_test(desk, item, f"float:{bath}", "sinks")
    set_test(desk, item, f"float:{bath}", "floats")
    assert [e.outcome.value for e in desk.state.items[item].evidence] == ["floats"]
    assert view_of_test(desk, item, f"float:{bath}").answer == "floats"
    assert f"float:{bath}" not in {t.test for t in what_next(desk, item)}


def test_looking_for_a_mark_in_vain_is_kept_and_changes_no_odds(desk: Desk) -> None:
    item = receive(desk, "detergent bottle")
    before = desk.numbers(item).odds.probabilities
    set_mark(desk, item, NO_MARK, UNCLEAR)
    assert desk.numbers(item).odds.probabilities == pytest.approx(before)
    assert mark_view(desk, item).text == NO_MARK


def test_another_kind_brings_its_own_label_and_closure(desk: Desk) -> None:
    item = receive(desk, "jug")
    answer_kind(desk, item, "crate", 3)
    facts = desk.state.items[item].facts
    assert (facts.kind, facts.count, facts.label, facts.closure) == ("crate", 3, Label.NONE, Closure.NONE)
    with pytest.raises(BadInput, match="1 to 100000"):
        answer_kind(desk, item, "crate", 0)


def test_the_colour_counts_for_the_bin_and_for_old_pigments(desk: Desk) -> None:
    item = placed(desk)
    assert desk.state.bins[desk.state.items[item].bin].opened.colour == "natural"
    crate = receive(desk, "crate")
    answer_mark(desk, crate, "2", MOULDED)
    answer_test(desk, crate, "float:water", "floats")
    assert verdict_view(desk, crate).colour is not None
    answer_colour(desk, crate, "natural")
    assert "kind_old_pigments" not in {r.code for r in desk.state.items[crate].resin_verdict.reasons}


def test_what_stays_on_is_not_taken_for_done_with_the_rest(desk: Desk) -> None:
    item = jug(desk)
    answer_prep(desk, item, StepName.LABEL, left_on="partly")
    answer_clean(desk, item)
    rows = {r.step: r.answer for r in prep_view(desk, item).rows}
    assert rows[StepName.LABEL] == "partly"
    assert rows[StepName.CLOSURE] == rows[StepName.DRY] == "done"
    assert ("label", "partly") in weigh_view(desk, item).states


def test_an_estimate_says_that_it_is_one(desk: Desk) -> None:
    item = jug(desk, 3)
    answer_clean(desk, item)
    answer_weight(desk, item, None)
    view = placing_view(desk, item)
    assert view.estimated
    assert [r.code for r in view.notes] == ["mass_estimated"]
    assert view.shred.low < view.shred.mean < view.shred.high
    undo_last(desk, item)
    answer_weight(desk, item, 180.0)
    assert not placing_view(desk, item).estimated


def test_same_again_needs_nothing_but_its_weight(desk: Desk) -> None:
    again = take_again(desk, placed(desk))
    assert next_step(desk, again) is WalkStep.WEIGH
    assert dict(weigh_view(desk, again).states)["closure"] == "off"
    assert weigh_view(desk, again).gross_g is None


def test_what_no_bin_takes_is_told_once_and_can_be_cleaned_further(desk: Desk) -> None:
    item = jug(desk)
    answer_prep(desk, item, StepName.LABEL, left_on="no")
    answer_prep(desk, item, StepName.CLOSURE, left_on="on")
    answer_clean(desk, item)
    answer_weight(desk, item, 62.0)
    if desk.state.items[item].bin is None:
        before = events(desk)
        answer_weight(desk, item, 62.0)
        assert events(desk) == before
        assert next_step(desk, item) is WalkStep.PLACED
    assert placing_view(desk, item).net.mean < 62.0


# what each step shows


def test_common_kinds_come_first_then_those_of_this_table(desk: Desk) -> None:
    assert [t.id for t in kind_list(desk).tiles][:3] == ["jug", "milk-bottle-2l", "detergent-bottle"]
    for _ in range(2):
        receive(desk, "cutlery")
    receive(desk, "crate")
    tiles = [t.id for t in kind_list(desk).tiles]
    assert tiles[:3] == ["cutlery", "crate", "jug"]
    assert tiles[-1] == "other"
    assert len(tiles) == len(set(tiles)) == 14


@pytest.mark.parametrize(
    ("search", "found"), [("bucket", "pail"), ("YOG", "yoghurt-cup"), ("soap bottle", "dish-soap-bottle")]
)
def test_every_name_finds_its_kind(desk: Desk, search: str, found: str) -> None:
    assert found in {t.id for t in kind_list(desk, search).tiles}


def test_a_search_for_nothing_known_finds_nothing(desk: Desk) -> None:
    assert kind_list(desk, "locomotive").tiles == ()


def test_every_kind_has_a_drawing(handbook: Handbook) -> None:
    assert {k.picture for k in handbook.kinds.rows.values()} <= set(PICTURES)


def test_a_bare_item_waits_and_the_last_judged_one_can_come_again(desk: Desk) -> None:
    first = jug(desk)
    waits = receive(desk, "pail")
    view = kind_list(desk)
    assert (view.same_again.id, view.waiting.id) == (first, waits)
    answer_mark(desk, waits, "2", MOULDED)
    assert kind_list(desk).waiting is None


def test_the_tiles_of_the_mark_are_the_numbers_of_the_list(desk: Desk) -> None:
    # ASTM D7611/D7611M: 1 PETE, 2 HDPE, 3 V, 4 LDPE, 5 PP, 6 PS, 7 other
    tiles = mark_view(desk, receive(desk, "jug")).tiles
    assert [(t.number, t.resin) for t in tiles] == [
        ("1", "PET"), ("2", "PE-HD"), ("3", "PVC"), ("4", "PE-LD"), ("5", "PP"), ("6", "PS"), ("7", "other")
    ]  # fmt: skip


@given(kind=st.sampled_from(sorted(Handbook().kinds.rows)), mark=st.sampled_from("1234567"))
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_odds_shown_sum_to_one_and_fall(desk: Desk, kind: str, mark: str) -> None:
    item = receive(desk, kind)
    answer_mark(desk, item, mark, MOULDED)
    shares = [row.share for row in mark_view(desk, item).odds]
    assert sum(shares) == pytest.approx(1.0)
    assert shares[:3] == sorted(shares[:3], reverse=True)


def test_the_bath_shows_what_floats_and_what_sinks(desk: Desk) -> None:
    # densities of any handbook: PE 0.92-0.97 and PP 0.90 float in water, PVC 1.4 and PET 1.38 sink
    view = view_of_test(desk, receive(desk, "detergent bottle"), "float:water")
    assert {"PE-HD", "PP"} <= set(view.floats)
    assert {"PET", "PVC"} <= set(view.sinks)
    assert "float-water" in view.cautions


def test_nothing_hot_is_ever_asked_for(desk: Desk) -> None:
    item = receive(desk, "other")
    for test in ("hot_needle", "burn_smell", "smell"):
        with pytest.raises(UnknownName):
            view_of_test(desk, item, test)


def test_every_test_and_outcome_has_words(handbook: Handbook) -> None:
    cues = handbook.identify.cues
    keys = {f"walk.test.float:{b}.{part}" for b in cues.baths for part in ("question", "how")}
    for cue in cues.cues.values():
        if not cue.effort.heat:
            keys |= {f"walk.test.{cue.id}.{part}" for part in ("question", "how", *cue.levels)}
    assert not keys - set(WORDS.texts)


def test_every_answer_of_the_checklist_has_words(desk: Desk) -> None:
    rows = [r for kind in ("jug", "pail") for r in prep_view(desk, _accepted(desk, kind)).rows]
    keys = {f"walk.prep.{r.step}.{c}" for r in rows for c in r.choices}
    assert len(keys) > 5
    assert not keys - set(WORDS.texts)


def _accepted(desk: Desk, kind: str) -> str:
    item = receive(desk, kind)
    answer_mark(desk, item, "2", MOULDED)
    decide(desk, item)
    return item


def test_a_hold_names_the_test_that_would_settle_it(desk: Desk) -> None:
    item = receive(desk, "detergent bottle")
    answer_mark(desk, item, NO_MARK, UNCLEAR)
    decide(desk, item)
    view = verdict_view(desk, item)
    assert (view.verdict, view.settle) == (Verdict.HOLD, settling_test(desk, item).test)
    assert "pvc-heat" in view.cautions


def test_what_cleaning_calls_for_is_told_before_it(desk: Desk) -> None:
    view = verdict_view(desk, jug(desk))
    assert view.steps == ("closure", "residue", "label", "dry")
    assert {"hot-water", "waste-water"} <= set(view.cautions)
    assert 0 < view.minutes.mean < view.minutes.high


def test_bins_and_unfinished_items_stand_beside(desk: Desk) -> None:
    placed(desk)
    waits = receive(desk, "pail")
    view = beside(desk)
    assert [i.id for i in view.unfinished] == [waits]
    assert [(b.id, b.resin, b.colour) for b in view.bins] == [("QT-01", "PE-HD", "natural")]
