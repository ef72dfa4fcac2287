"""What the first screen is told: counts, progress, what waits, and what would fill a charge."""

from pathlib import Path

import pytest
from app.sample import open_sample, sample_desk, take

from intake.desk.desk import Desk
from intake.desk.receive import receive
from intake.desk.report import charge_progress, report
from intake.desk.views.home import KINDS_TOLD, MOST_IN_HAND, home_view, more_view
from intake.desk.views.seen import Seen
from intake.table.charge.progress import WANTED, usual_piece
from intake.table.compat.decision import Verdict


def test_the_first_screen_tells_what_the_report_tells() -> None:
    desk = sample_desk()
    view, told = home_view(desk), report(desk)
    assert view.campaign == told.campaign
    assert (view.accepted, view.held, view.refused) == tuple(
        told.verdicts[v] for v in (Verdict.ACCEPT, Verdict.HOLD, Verdict.REFUSE)
    )
    for shown, line in zip(view.charges, told.charges, strict=True):
        assert (shown.id, shown.resin) == (line.id, line.resin)
        assert (shown.shred, shown.charge) == (line.shred_g, line.charge_g)
        assert shown.probability_met == line.probability_met


def test_what_was_begun_and_not_finished_is_in_hand_the_newest_first(tmp_path: Path) -> None:
    with open_sample(tmp_path / "l") as desk:
        items = [receive(desk, "jug") for _ in range(MOST_IN_HAND + 2)]
        view = home_view(desk)
        assert view.unfinished == len(items)
        assert [i.id for i in view.in_hand] == items[::-1][:MOST_IN_HAND]


@pytest.mark.parametrize("charge", ["bench-top", "small-crate"])
def test_the_pieces_told_are_just_enough(charge: str) -> None:
    """One less would leave the chance below what was wanted: checked against the charge's own arithmetic."""
    desk = sample_desk()
    more = more_view(desk)[charge]
    done, plan = charge_progress(desk)[charge], desk.tools.plans[charge]
    assert 0 < len(more.pieces) <= KINDS_TOLD
    assert not more.enough
    for told in more.pieces:
        kind = desk.handbook.kinds.rows[told.kind]
        one_g = desk.tools.model.item_yield(usual_piece(kind)).shred_g
        chances = [_chance(done.shred_g + n * one_g, plan.charge_g) for n in (told.count - 1, told.count)]
        assert chances[0] < WANTED <= chances[1]


def _chance(amount: object, wanted: object) -> float:
    from statistics import NormalDist

    gap = amount - wanted  # type: ignore[operator]
    return 1.0 - NormalDist(gap.nominal_value, gap.std_dev).cdf(0.0)


@pytest.mark.parametrize(("charge", "resin"), [("bench-top", "PE-HD"), ("small-crate", "PP")])
def test_only_kinds_that_are_mostly_of_the_host_are_asked_for(charge: str, resin: str) -> None:
    desk = sample_desk()
    for told in more_view(desk)[charge].pieces:
        kind = desk.handbook.kinds.rows[told.kind]
        assert max(kind.prior, key=kind.prior.__getitem__) == resin
        assert told.name == kind.names[0]


def test_what_this_table_gets_most_of_is_asked_for_first() -> None:
    assert [p.kind for p in more_view(sample_desk())["bench-top"].pieces] == ["jug", "detergent-bottle"]


def test_a_fresh_table_is_told_what_most_bags_hold(tmp_path: Path) -> None:
    with open_sample(tmp_path / "l") as desk:
        kinds = [p.kind for p in more_view(desk)["bench-top"].pieces]
        common = [k for k in desk.handbook.kinds.common if desk.handbook.kinds.rows[k].prior["PE-HD"] >= 0.5]
        assert kinds == common[:KINDS_TOLD]


def test_a_full_charge_asks_for_nothing(tmp_path: Path) -> None:
    with open_sample(tmp_path / "l") as desk:
        take(desk, "jug", 40, mark="2 HDPE", test=("float:water", "floats"), mass_g=2400.0)
        more = more_view(desk)["bench-top"]
        assert more.enough
        assert more.pieces == ()


def test_a_view_is_worked_out_once_for_a_state_and_again_after_an_act(tmp_path: Path) -> None:
    worked: list[int] = []

    def count(desk: Desk) -> int:
        worked.append(1)
        return len(desk.state.items)

    with open_sample(tmp_path / "l") as desk:
        seen = Seen(desk)
        assert seen.last(count) is None
        assert [seen(count), seen(count), len(worked)] == [0, 0, 1]
        receive(desk, "jug")
        assert seen.last(count) == 0
        assert [seen(count), seen(count), len(worked)] == [1, 1, 2]


def test_every_kind_has_a_word_for_more_than_one_of_it(words: object) -> None:
    from intake.handbook import Handbook

    texts = words.texts  # type: ignore[attr-defined]
    assert [k for k in Handbook().kinds.rows if f"kind.{k}.many" not in texts] == []
