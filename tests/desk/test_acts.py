"""The acts of the app, one after the other, on a real ledger: nothing twice, nothing lost, all undoable."""

import threading
from pathlib import Path

import pytest

from intake.desk.campaign import Campaign, campaign_of
from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.observe import add_mark, add_test, revise, what_next
from intake.desk.place import place_in_bin, preview_place, take_back
from intake.desk.prepare import prep_done, prep_steps, weigh
from intake.desk.receive import receive, receive_again
from intake.desk.report import charge_progress, report
from intake.desk.undo import undo_item, undo_last
from intake.errors import BadInput, IntakeError, ManyFaults, Refusal, UnknownName
from intake.handbook import Handbook
from intake.spread import mean_of
from intake.table.bins.ids import BinId
from intake.table.compat.decision import Verdict
from intake.table.prep.steps import StepName


def _jug(desk: Desk, count: int = 1) -> str:
    item = receive(desk, "jug", count, colour="natural")
    add_mark(desk, item, "2 HDPE")
    add_test(desk, item, "float:water", "floats")
    return item


def _placed(desk: Desk, count: int = 1, mass_g: float = 60.0) -> str:
    item = _jug(desk, count)
    decide(desk, item)
    weigh(desk, item, mass_g)
    place_in_bin(desk, item)
    return item


def test_an_item_walks_from_hand_to_bin(desk: Desk) -> None:
    item = _jug(desk)
    assert decide(desk, item).verdict is Verdict.ACCEPT
    steps = [s.name for s in prep_steps(desk, item)]
    assert steps[0] is StepName.CLOSURE
    for step in steps:
        prep_done(desk, item, step, minutes=0.5)
    assert prep_steps(desk, item) == ()
    weigh(desk, item, 61.0)
    before = charge_progress(desk)["slat"].probability_met
    placing = place_in_bin(desk, item)
    assert placing.verdict is Verdict.ACCEPT
    assert desk.state.items[item].bin == "QT-01"
    assert mean_of(desk.numbers(item).yields.net_g) == pytest.approx(61, rel=0.03)
    assert charge_progress(desk)["slat"].share > 0.05
    assert charge_progress(desk)["slat"].probability_met >= before


def test_what_was_told_is_still_there_after_a_restart(
    tmp_path: Path, handbook: Handbook, campaign: Campaign
) -> None:
    with Desk.open(tmp_path / "l", handbook, campaign) as desk:
        item = _placed(desk)
        told = report(desk)
    with Desk.open(tmp_path / "l", handbook) as again:
        assert again.state.items[item].bin == "QT-01"
        assert report(again) == told


def test_the_campaign_is_recorded_once(tmp_path: Path, handbook: Handbook, campaign: Campaign) -> None:
    for _ in range(3):
        with Desk.open(tmp_path / "l", handbook, campaign) as desk:
            kinds = [e.kind for e in desk.ledger.events()]
    assert kinds == ["CampaignSet"]


def test_a_half_entered_item_counts_nowhere_but_is_kept(
    tmp_path: Path, handbook: Handbook, campaign: Campaign
) -> None:
    with Desk.open(tmp_path / "l", handbook, campaign) as desk:
        item = receive(desk, "jug", 3)
        assert report(desk).rows == 0
    with Desk.open(tmp_path / "l", handbook) as again:
        assert again.state.items[item].facts.count == 3


def test_a_refused_item_is_not_washed_and_goes_into_no_bin(desk: Desk) -> None:
    item = receive(desk, "blister pack")
    add_mark(desk, item, "3 PVC")
    add_test(desk, item, "float:water", "sinks")
    assert decide(desk, item).verdict is Verdict.REFUSE
    with pytest.raises(Refusal, match="do not wash it"):
        prep_done(desk, item, StepName.LABEL)
    with pytest.raises(Refusal, match="goes into no bin"):
        place_in_bin(desk, item)


def test_a_double_tap_records_one_verdict(desk: Desk) -> None:
    item = _jug(desk)
    decide(desk, item)
    count = len(tuple(desk.ledger.events()))
    decide(desk, item)
    assert len(tuple(desk.ledger.events())) == count


def test_two_people_cannot_put_one_item_into_two_bins(desk: Desk) -> None:
    item = _jug(desk)
    decide(desk, item)
    said: list[str] = []

    def tap() -> None:
        try:
            said.append(str(place_in_bin(desk, item).verdict))
        except IntakeError as error:
            said.append(str(error))

    threads = [threading.Thread(target=tap) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert said.count("accept") == 1
    assert sum("already in bin QT-01" in s for s in said) == 7
    assert [e.kind for e in desk.ledger.events()].count("Placed") == 1


def test_an_item_in_a_bin_changes_only_after_it_is_taken_back(desk: Desk) -> None:
    item = _placed(desk)
    for change in (
        lambda: add_mark(desk, item, "5"),
        lambda: weigh(desk, item, 30.0),
        lambda: revise(desk, item, {"colour": "red"}),
        lambda: place_in_bin(desk, item),
        lambda: decide(desk, item),
    ):
        with pytest.raises(Refusal, match="already in bin QT-01"):
            change()
    take_back(desk, item)
    weigh(desk, item, 30.0)
    assert desk.state.items[item].bin is None


def test_a_preview_records_nothing(desk: Desk) -> None:
    item = _jug(desk)
    decide(desk, item)
    count = len(tuple(desk.ledger.events()))
    assert preview_place(desk, item).verdict is Verdict.ACCEPT
    assert len(tuple(desk.ledger.events())) == count


def test_undo_of_a_placing_takes_verdict_and_bin_with_it(desk: Desk) -> None:
    item = _placed(desk)
    undo_last(desk, item)
    state = desk.state.items[item]
    assert (state.bin, state.placing_verdict, desk.state.bins) == (None, None, {})
    assert state.facts.gross_g == 60.0
    assert place_in_bin(desk, item).verdict is Verdict.ACCEPT


def test_undo_leaves_a_bin_that_others_lie_in(desk: Desk) -> None:
    first, second = _placed(desk), _placed(desk)
    undo_last(desk, first)
    assert desk.state.bins["QT-01"].items == (second,)


def test_undo_walks_all_the_way_back(desk: Desk) -> None:
    item = _placed(desk)
    empty = report(desk).rows
    while item in desk.state.items:
        undo_last(desk, item)
    assert report(desk).rows == empty - 1


def test_undo_item_is_as_if_it_never_came(desk: Desk) -> None:
    kept = _placed(desk)
    before = report(desk)
    undo_item(desk, _placed(desk, mass_g=300))
    assert report(desk) == before
    assert set(desk.state.items) == {kept}


def test_same_again_repeats_all_but_the_mass(desk: Desk) -> None:
    item = _placed(desk)
    again = receive_again(desk, item)
    facts = desk.state.items[again].facts
    assert (facts.kind, facts.colour, facts.gross_g, facts.count) == ("jug", "natural", None, 1)
    assert desk.state.items[again].evidence == desk.state.items[item].evidence
    assert decide(desk, again).verdict is Verdict.ACCEPT


def test_the_next_test_is_one_that_was_not_done(desk: Desk) -> None:
    item = receive(desk, "bottle cap")
    first = what_next(desk, item)[0]
    assert first.bits > 0.01
    done = _jug(desk)
    assert "float:water" not in [t.test for t in what_next(desk, done)]


@pytest.mark.parametrize(
    ("act", "sentence"),
    [
        (lambda d: receive(d, "jugg"), "jug"),
        (lambda d: receive(d, "jug", 0), "1 to 100000"),
        (lambda d: receive(d, "jug", 10**9), "1 to 100000"),
        (lambda d: add_mark(d, "nobody", "2"), "the id of an item"),
        (lambda d: add_mark(d, receive(d, "jug"), "  "), "what stands on the item"),
        (lambda d: add_mark(d, receive(d, "jug"), "x" * 1000), "what stands on the item"),
        (lambda d: add_test(d, receive(d, "jug"), "float:water", "flies"), "floats, sinks or hovers"),
        (lambda d: add_test(d, receive(d, "jug"), "smell", "sweet"), "nearest known"),
        (lambda d: weigh(d, receive(d, "jug"), 0), "a mass above 0 g"),
        (lambda d: weigh(d, receive(d, "jug"), float("nan")), "a mass above 0 g"),
        (lambda d: weigh(d, receive(d, "jug"), 1e9), "up to 1000 kg"),
        (lambda d: weigh(d, receive(d, "jug"), 50, tare_g=50), "less than the 50 g"),
        (lambda d: revise(d, receive(d, "jug"), {"closure": "maybe"}), "one of on, off, none"),
        (lambda d: prep_done(d, receive(d, "jug"), StepName.LABEL, minutes=-1), "minutes from 0"),
    ],
)
def test_what_cannot_be_is_a_sentence_and_changes_nothing(desk: Desk, act, sentence: str) -> None:
    with pytest.raises((BadInput, UnknownName), match=sentence):
        act(desk)
    assert report(desk).rows == 0


def test_a_folder_without_a_ledger_asks_for_a_campaign(tmp_path: Path, handbook: Handbook) -> None:
    with pytest.raises(BadInput, match="a campaign to begin one with"):
        Desk.open(tmp_path / "nothing", handbook)


def test_a_bench_that_only_took_in_what_is_new_stands_as_one_filled_anew(
    tmp_path: Path, handbook: Handbook, campaign: Campaign
) -> None:
    with Desk.open(tmp_path / "l", handbook, campaign) as desk:
        first, second = _placed(desk), _placed(desk)
        before = desk.bench()[BinId("QT-01")]
        third = _placed(desk, mass_g=59.0)
        take_back(desk, second)
        told = desk.bench()[BinId("QT-01")]
        assert desk.state.bins["QT-01"].items == (first, third)
        assert told.content.mass_g < before.content.mass_g
    with Desk.open(tmp_path / "l", handbook) as again:
        anew = again.bench()[BinId("QT-01")]
        assert (anew.content.mass_g, anew.volume_l) == pytest.approx((told.content.mass_g, told.volume_l))


def _desk_with(tmp_path: Path, handbook: Handbook, **more: object) -> Desk:
    charge = {"id": "slat", "resin": "PE-HD", "cavity": "1 L"}
    return Desk.open(
        tmp_path / "kit",
        handbook,
        campaign_of({"name": "x", "charge": [charge], **more}, handbook, where="t"),
    )


def test_only_tests_of_the_campaigns_kit_are_proposed(tmp_path: Path, handbook: Handbook) -> None:
    with _desk_with(tmp_path, handbook, kit=[]) as desk:
        proposed = {t.test for t in what_next(desk, receive(desk, "bottle cap"))}
        assert proposed
        assert not any(t.startswith("float:") or t == "hanging" for t in proposed)


HOT = {"burn_smell", "hot_needle"}


@pytest.mark.parametrize(("allowed", "found"), [(False, set()), (True, HOT)])
def test_hot_tests_are_proposed_only_where_the_campaign_allows_them(
    tmp_path: Path, handbook: Handbook, allowed: bool, found: set[str]
) -> None:
    everything = list(handbook.identify.cues.kit)
    with _desk_with(tmp_path, handbook, kit=everything, hot_tests=allowed) as desk:
        item = receive(desk, "jug")
        add_mark(desk, item, "2 HDPE")
        assert {t.test for t in what_next(desk, item)} & HOT == found


def test_nothing_hot_is_proposed_while_it_may_be_pvc(tmp_path: Path, handbook: Handbook) -> None:
    with _desk_with(tmp_path, handbook, kit=list(handbook.identify.cues.kit), hot_tests=True) as desk:
        assert not {t.test for t in what_next(desk, receive(desk, "blister pack"))} & HOT


def test_kit_that_nobody_knows_is_named(handbook: Handbook) -> None:
    with pytest.raises(ManyFaults, match="spectrometer"):
        campaign_of(
            {"name": "x", "charge": [{"id": "s", "resin": "PP", "cavity": "1 L"}], "kit": ["spectrometer"]},
            handbook,
            where="t",
        )


@pytest.mark.parametrize("changes", [{"tare_g": 61.0}, {"gross_g": 4.0, "tare_g": 5.0}])
def test_a_correction_cannot_leave_less_than_nothing_on_the_scale(
    desk: Desk, changes: dict[str, float]
) -> None:
    item = _jug(desk)
    decide(desk, item)
    weigh(desk, item, 60.0)
    with pytest.raises(BadInput, match="Tare"):
        revise(desk, item, changes)
    assert desk.state.items[item].facts.gross_g == pytest.approx(60.0)
