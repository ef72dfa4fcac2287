"""A bin becomes a lot and a lot a charge: acts on a real ledger, what they refuse, and how they are undone."""

from pathlib import Path
from typing import Any

import pytest
from desk_helpers import rows_of
from lot_desk import fill

from intake.desk.bin_life import BinStage, merge_bins, relabel_bin, shelf, split_bin, write_off_bin
from intake.desk.campaign import campaign_of
from intake.desk.desk import Desk
from intake.desk.draw import draw, melt_tested, weigh_again, write_off_lot
from intake.desk.float_shred import float_outlook, float_shred
from intake.desk.outputs import summary, write_outputs
from intake.desk.place import take_back
from intake.desk.prepare import weigh
from intake.desk.regroup import regroup, regroup_plan
from intake.desk.report import charge_progress, report
from intake.desk.shred import outlook, shred
from intake.desk.undo import undo_item, undo_last, undo_last_of_bin, undo_last_of_lot, undo_shred
from intake.errors import BadInput, IntakeError, Refusal, UnknownName
from intake.handbook import Handbook
from intake.spread import mean_of
from intake.table.bins.melt_test import Bend, MeltTest, Peel, Smell, Specks
from intake.table.bins.sink_float import Side
from intake.table.compat.decision import Verdict
from intake.words import Words

GOOD = MeltTest(smell=Smell.WAXY, specks=Specks.FEW, peel=Peel.NO, bend=Bend.BENDS)
BAD = MeltTest(smell=Smell.SHARP, specks=Specks.NONE, peel=Peel.NO, bend=Bend.BENDS)


def test_a_bin_becomes_a_lot_that_a_charge_draws_down(desk: Desk) -> None:
    items = fill(desk, [62.0, 60.0, 64.0])
    expected = outlook(desk, "QT-01")
    assert (expected.items, expected.pieces) == (3, 3)
    done = shred(desk, "QT-01", 178.0, by="AL")
    assert done.lot == "QT-L01"
    assert [b.stage for b in shelf(desk)] == [BinStage.SHREDDED]
    assert desk.state.items[items[0]].lot == "QT-L01"
    assert draw(desk, "QT-L01", "slat", 100.0).left_g == 78.0
    assert [b.stage for b in shelf(desk)] == [BinStage.DRAWN]
    assert draw(desk, "QT-L01", "slat", 78.4).left_g == 0.0  # a scale's step more is all that is left
    assert [b.stage for b in shelf(desk)] == [BinStage.EMPTY]


def test_the_count_toward_the_charge_goes_from_expected_to_weighed_and_stays_when_drawn(desk: Desk) -> None:
    fill(desk, [62.0, 60.0, 64.0])
    shred(desk, "QT-01", 178.0)
    weighed = charge_progress(desk)["slat"]
    assert mean_of(weighed.shred_g) == pytest.approx(178.0)
    draw(desk, "QT-L01", "slat", 100.0)
    assert mean_of(charge_progress(desk)["slat"].shred_g) == pytest.approx(178.0)
    write_off_lot(desk, "QT-L01", "spilled", mass_g=28.0)
    assert mean_of(charge_progress(desk)["slat"].shred_g) == pytest.approx(150.0)


def test_what_was_drawn_for_one_charge_does_not_count_toward_the_next(
    tmp_path: Path, handbook: Handbook
) -> None:
    charges = [{"id": c, "resin": "PE-HD", "cavity": "100 cm3"} for c in ("first", "second")]
    campaign = campaign_of({"name": "x", "letters": "QT", "charge": charges}, handbook, where="t")
    with Desk.open(tmp_path / "l", handbook, campaign) as desk:
        fill(desk, [120.0, 60.0])
        shred(desk, "QT-01", 174.0)
        needs = mean_of(desk.tools.plans["first"].charge_g)
        before = charge_progress(desk)
        draw(desk, "QT-L01", "first", 90.0)
        after = charge_progress(desk)
    assert mean_of(before["second"].shred_g) == pytest.approx(174.0 - needs)
    assert mean_of(after["first"].shred_g) == pytest.approx(174.0)
    assert mean_of(after["second"].shred_g) == pytest.approx(174.0 - needs)


def test_the_balance_closes_with_lots_and_says_what_the_scale_can_explain(desk: Desk) -> None:
    fill(desk, [62.0, 60.0, 64.0])
    fill(desk, [30.0], kind="milk jug")
    shred(desk, "QT-01", 200.0, sure=True)
    balance = report(desk).balance
    parts = (
        balance.shred_g,
        balance.process_loss_g,
        balance.not_yet_shredded_g or 0.0,
        balance.unexplained_g,
    )
    assert sum(parts) == pytest.approx(balance.accepted_g, abs=1e-5)
    assert balance.shred_g == 200.0
    assert 0.0 < balance.explainable_g < balance.doubt_g
    assert balance.flagged is (abs(balance.unexplained_g) > balance.explainable_g)


def test_a_written_off_bin_counts_as_loss_and_toward_no_charge(desk: Desk) -> None:
    fill(desk, [62.0, 60.0])
    accepted = report(desk).balance.accepted_g
    write_off_bin(desk, "QT-01", "got wet")
    balance = report(desk).balance
    assert balance.process_loss_g == pytest.approx(accepted, abs=1e-5)
    assert balance.not_yet_shredded_g == 0.0
    assert balance.unexplained_g == pytest.approx(0.0, abs=1e-5)
    assert mean_of(charge_progress(desk)["slat"].shred_g) == 0.0
    assert [b.stage for b in shelf(desk)] == [BinStage.WRITTEN_OFF]


def test_the_table_learns_from_guessed_jugs_and_tells_it_after_a_restart(
    desk: Desk, tmp_path: Path, handbook: Handbook
) -> None:
    fill(desk, [None] * 6)
    before = mean_of(desk.tools.model.guesses.kinds["jug"].body_g)  # type: ignore[index]
    outlook_g = outlook(desk, "QT-01").expected.mean
    done = shred(desk, "QT-01", 0.85 * outlook_g)
    after = mean_of(desk.tools.model.guesses.kinds["jug"].body_g)  # type: ignore[index]
    assert after < before
    assert done.taught == ("jug",)
    desk.close()
    with Desk.open(tmp_path / "ledger", handbook) as again:
        assert mean_of(again.tools.model.guesses.kinds["jug"].body_g) == after  # type: ignore[index]


def test_an_undone_shredding_teaches_nothing(desk: Desk) -> None:
    fill(desk, [None] * 6)
    fresh = desk.tools.model.guesses
    shred(desk, "QT-01", 0.85 * outlook(desk, "QT-01").expected.mean)
    undo_shred(desk, "QT-L01")
    assert desk.tools.model.guesses is fresh
    assert [b.stage for b in shelf(desk)] == [BinStage.OPEN]


def test_the_tools_are_made_anew_only_for_a_lot(desk: Desk) -> None:
    fill(desk, [62.0, None])
    tools = desk.tools
    fill(desk, [60.0])
    assert desk.tools is tools
    shred(desk, "QT-01", 170.0)
    taught = desk.tools
    assert taught is not tools
    draw(desk, "QT-L01", "slat", 10.0)
    assert desk.tools is taught


def test_a_tenfold_slip_is_asked_about_and_teaches_nothing_even_when_insisted_on(desk: Desk) -> None:
    fill(desk, [None] * 8)
    expected = outlook(desk, "QT-01").expected.mean
    body = mean_of(desk.tools.model.guesses.kinds["jug"].body_g)  # type: ignore[index]
    with pytest.raises(Refusal, match="Look at the scale again"):
        shred(desk, "QT-01", expected / 10)
    assert desk.state.lots == {}
    shred(desk, "QT-01", expected / 10, sure=True)
    assert mean_of(desk.tools.model.guesses.kinds["jug"].body_g) == body  # type: ignore[index]


def test_floating_takes_the_sinkers_out_and_keeps_the_books(desk: Desk) -> None:
    fill(desk, [62.0, 60.0, 64.0])
    shred(desk, "QT-01", 178.0)
    assert float_outlook(desk, "QT-L01").out is Side.SINKERS
    line = float_shred(desk, "QT-L01", 2.0)
    assert (line.floated_g, line.left_g) == (2.0, 176.0)
    assert line.content.mass_g == 176.0


@pytest.mark.parametrize(("seen", "verdict"), [(GOOD, Verdict.ACCEPT), (BAD, Verdict.REFUSE)])
def test_a_test_melt_opens_or_closes_a_lot_for_the_mould(
    desk: Desk, seen: MeltTest, verdict: Verdict
) -> None:
    fill(desk, [62.0, 60.0])
    shred(desk, "QT-01", 116.0)
    assert melt_tested(desk, "QT-L01", seen)[0] is verdict
    counted = mean_of(charge_progress(desk)["slat"].shred_g)
    assert counted == (116.0 if verdict is Verdict.ACCEPT else 0.0)
    if verdict is Verdict.REFUSE:
        with pytest.raises(Refusal, match="test melt"):
            draw(desk, "QT-L01", "slat", 10.0)


def test_undo_walks_a_lot_back_step_by_step_and_never_past_what_was_drawn(desk: Desk) -> None:
    items = fill(desk, [62.0, 60.0])
    shred(desk, "QT-01", 116.0)
    draw(desk, "QT-L01", "slat", 50.0)
    for refused in (
        lambda: undo_shred(desk, "QT-L01"),
        lambda: undo_last(desk, items[0]),
        lambda: undo_item(desk, items[0]),
        lambda: take_back(desk, items[0]),
        lambda: weigh(desk, items[0], 5.0),
        lambda: undo_last_of_bin(desk, "QT-01"),
    ):
        with pytest.raises(Refusal, match="QT-L01"):
            refused()
    assert undo_last_of_lot(desk, "QT-L01") == "Drawn"
    assert undo_last_of_lot(desk, "QT-L01") == "Shredded"
    assert desk.state.bins["QT-01"].items == tuple(items)


def test_split_merge_and_undo(desk: Desk) -> None:
    items = fill(desk, [62.0, 60.0, 58.0])
    new = split_bin(desk, "QT-01", items[:1])
    assert (new, desk.state.bins[new].items) == ("QT-02", (items[0],))
    with pytest.raises(Refusal, match="last act on its bin"):
        undo_last(desk, items[0])
    merge_bins(desk, new, "QT-01")
    assert desk.state.bins["QT-01"].items == (items[1], items[2], items[0])
    assert undo_last_of_bin(desk, "QT-01") == "BinMerged"
    assert undo_last_of_bin(desk, new) == "BinSplit"
    assert desk.state.bins["QT-01"].items == tuple(items)


def test_a_regrouping_moves_only_when_accepted_and_then_at_once(desk: Desk) -> None:
    items = fill(desk, [62.0, 60.0, 58.0])
    split_bin(desk, "QT-01", items[:1])
    plan = regroup_plan(desk)
    assert (plan.proposal.bins_before, plan.proposal.bins_after, plan.proposal.proved) == (2, 1, True)
    assert len(desk.state.bins["QT-02"].items) == 1
    moved = regroup(desk)
    assert moved.moves == plan.moves
    assert sorted(len(b.items) for b in desk.state.bins.values()) == [0, 3]
    assert regroup_plan(desk).moves == ()


def test_flat_bins_hold_more_than_whole_ones(tmp_path: Path, handbook: Handbook) -> None:
    rooms = {}
    for how in ("whole", "flattened"):
        plain = {
            "name": "x", "letters": "QT", "bins": {"as": how},
            "charge": [{"id": "slat", "resin": "PE-HD", "cavity": "1 L"}],
        }  # fmt: skip
        with Desk.open(tmp_path / how, handbook, campaign_of(plain, handbook, where="t")) as desk:
            fill(desk, [62.0] * 10)
            rooms[how] = [b.items for b in shelf(desk)]
    assert rooms["whole"] == [8, 2]  # 60 L at 6.8 L a jug
    assert rooms["flattened"] == [10]


def test_the_summary_and_lots_csv_say_the_lots(desk: Desk, tmp_path: Path) -> None:
    fill(desk, [62.0, 60.0])
    shred(desk, "QT-01", 116.0)
    plain = summary(report(desk))
    assert plain["bins"] == []
    assert [(lot["id"], lot["left_g"], lot["test_melt"]) for lot in plain["lots"]] == [
        ("QT-L01", 116.0, None)
    ]
    assert plain["lots"][0]["purity"]["mean"] > 0.98


def test_the_files_of_a_table_with_lots(desk: Desk, tmp_path: Path, words: Words) -> None:
    items = fill(desk, [62.0, 60.0])
    assert "lots.csv" not in write_outputs(tmp_path / "before", desk, report(desk), words)
    shred(desk, "QT-01", 116.0)
    draw(desk, "QT-L01", "slat", 16.0)
    fill(desk, [61.0])
    assert "lots.csv" in write_outputs(tmp_path / "out", desk, report(desk), words)
    (row,) = rows_of(tmp_path / "out" / "lots.csv")
    assert (row["lot"], row["bin"], row["mass_g"], row["left_g"]) == ("QT-L01", "QT-01", "116", "100")
    assert float(row["purity_low"]) <= float(row["purity"]) <= float(row["purity_high"])
    lots = {r["item"]: (r["bin"], r["lot"]) for r in rows_of(tmp_path / "out" / "items.csv")}
    assert lots[items[0]] == ("", "QT-L01")
    assert [r["bin"] for r in rows_of(tmp_path / "out" / "bins.csv")] == ["QT-02"]


NAN, INF = float("nan"), float("inf")


@pytest.mark.parametrize(
    ("act", "sentence"),
    [
        (lambda d: shred(d, "QT-09", 10.0), "one of the open bins: QT-02"),
        (lambda d: shred(d, "QT-02", 900.0), "that can have gone in"),
        (lambda d: shred(d, "QT-02", NAN), "a mass above its tub"),
        (lambda d: shred(d, "QT-02", -5.0), "a mass above its tub"),
        (lambda d: shred(d, "QT-02", INF), "a mass above its tub"),
        (lambda d: shred(d, "QT-02", 50.0, tare_g=60.0), "a mass above its tub of 60 g"),
        (lambda d: shred(d, "QT-02", 50.0, tare_g=NAN), "a mass from 0 g on"),
        (lambda d: shred(d, "QT-02", 58.0, shredder="axe"), "Shredder"),
        (lambda d: shred(d, "QT-01", 58.0), "shredded already; its shred is lot QT-L01"),
        (lambda d: draw(d, "QT-L07", "slat", 5.0), "one of the lots: QT-L01"),
        (lambda d: draw(d, "QT-L01", "slatt", 5.0), "slat"),
        (lambda d: draw(d, "QT-L01", "slat", 118.0), "up to the 116 g that are left"),
        (lambda d: draw(d, "QT-L01", "slat", NAN), "above 0 g"),
        (lambda d: draw(d, "QT-L01", "slat", -1.0), "above 0 g"),
        (lambda d: weigh_again(d, "QT-L01", 130.0), "that can be left"),
        (lambda d: weigh_again(d, "QT-L01", NAN), "that can be left"),
        (lambda d: write_off_lot(d, "QT-L01", " "), "a reason"),
        (lambda d: float_shred(d, "QT-L01", 300.0), "that are left"),
        (lambda d: float_shred(d, "QT-L01", 1.0, bath_g_cm3=9.0), "0.7 to 1.5 g/cm3"),
        (lambda d: float_outlook(d, "QT-L01", NAN), "0.7 to 1.5 g/cm3"),
        (lambda d: split_bin(d, "QT-02", ["nobody"]), "items that lie in this bin"),
        (lambda d: split_bin(d, "QT-02", []), "items that lie in this bin"),
        (lambda d: split_bin(d, "QT-02", d.state.bins["QT-02"].items), "nothing to split"),
        (lambda d: merge_bins(d, "QT-02", "QT-02"), "two different bins"),
        (lambda d: merge_bins(d, "QT-02", "QT-01"), "shredded already"),
        (lambda d: relabel_bin(d, "QT-02", "plaid"), "nearest known"),
        (lambda d: write_off_bin(d, "QT-02", ""), "a reason"),
        (lambda d: undo_shred(d, "QT-L09"), "a lot at this table"),
        (lambda d: undo_last_of_bin(d, "QT-02"), "Undo that at its item"),
    ],
)
def test_what_cannot_be_is_a_sentence_and_changes_nothing(desk: Desk, act: Any, sentence: str) -> None:
    fill(desk, [62.0, 60.0])
    shred(desk, "QT-01", 116.0)
    fill(desk, [61.0])
    before = desk.state
    with pytest.raises((BadInput, UnknownName, Refusal, IntakeError), match=sentence):
        act(desk)
    assert desk.state == before
