"""How fast a table works, learned from its own minutes."""

import copy
import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput, HandbookGap
from intake.handbook import Handbook, pace
from intake.handbook.figures import RawTable, raw_table
from intake.spread import mean_of, sd_of, total
from intake.table.prep.pace import HANDLING, Logged, Paces, learned, prior_pace, share_out

BOOK = Handbook()
TABLES, HAND_S = BOOK.pace, BOOK.prep.hand_s
PRIOR = prior_pace(HAND_S["label:paper"], TABLES)


def logs(*seconds: float, task: str = "label:paper") -> list[Logged]:
    return [Logged(task=task, piece_s=s) for s in seconds]


@pytest.mark.parametrize("task", [*HAND_S, HANDLING])
def test_a_table_without_a_log_goes_by_the_handbook(task: str) -> None:
    figure = TABLES.handling_s if task == HANDLING else HAND_S[task]
    known = Paces.of(HAND_S, TABLES).by_task[task]
    assert known.typical_s == pytest.approx(figure.typical)
    assert figure.low < known.mean_s < figure.high
    assert known.rows == 0


def test_the_handbooks_whole_spread_is_kept() -> None:
    figure = HAND_S["label:paper"]
    spread = (math.log(figure.high) - math.log(figure.low)) / (2 * 1.2815515655446)
    assert PRIOR.row_variance + PRIOR.mean_variance == pytest.approx(spread**2)


@pytest.mark.parametrize("seconds", [8.0, 25.0, 60.0, 300.0])
def test_many_alike_logs_win_over_the_handbook(seconds: float) -> None:
    found = learned(PRIOR, logs(*[seconds] * 60), TABLES.outlier_sd)
    assert found.typical_s == pytest.approx(seconds, rel=0.12)
    assert found.mean_variance < PRIOR.mean_variance / 10


@pytest.mark.parametrize("outlier", [0.01, 0.5, 900.0, 7200.0, 86400.0])
def test_one_forgotten_watch_moves_little(outlier: float) -> None:
    good = logs(18, 20, 22, 19, 21, 20)
    without = learned(PRIOR, good, TABLES.outlier_sd).typical_s
    beside = learned(PRIOR, [*good, *logs(outlier)], TABLES.outlier_sd).typical_s
    assert beside == pytest.approx(without, rel=0.15)


@pytest.mark.parametrize("outlier", [900.0, 86400.0])
def test_a_farther_outlier_counts_less(outlier: float) -> None:
    near, far = (
        learned(PRIOR, logs(20, outlier), TABLES.outlier_sd),
        learned(PRIOR, logs(20, outlier * 10), TABLES.outlier_sd),
    )
    assert far.rows < near.rows < 2


@settings(max_examples=30, deadline=None)
@given(seconds=st.lists(st.floats(0.1, 1e4), min_size=2, max_size=6))
def test_the_order_of_the_logs_does_not_matter(seconds: list[float]) -> None:
    ways = [
        learned(PRIOR, logs(*order), TABLES.outlier_sd)
        for order in itertools.islice(itertools.permutations(seconds), 6)
    ]
    assert {w.mu for w in ways} == {ways[0].mu}


@settings(max_examples=50, deadline=None)
@given(seconds=st.lists(st.floats(1e-3, 1e6), max_size=20))
def test_whatever_was_logged_the_pace_stays_a_number(seconds: list[float]) -> None:
    found = learned(PRIOR, logs(*seconds), TABLES.outlier_sd)
    assert math.isfinite(found.mean_s)
    assert found.mean_s > 0
    assert found.kappa >= PRIOR.kappa


@pytest.mark.parametrize("count", [1, 2, 40, 1000])
def test_minutes_grow_with_the_count_and_so_does_their_doubt(count: int) -> None:
    paces = Paces.of(HAND_S, TABLES)
    one, many = paces.minutes("label:film", 1), paces.minutes("label:film", count)
    assert mean_of(many) == pytest.approx(count * mean_of(one))
    assert sd_of(many) == pytest.approx(count * sd_of(one))


def test_two_rows_share_what_is_not_known_of_the_table() -> None:
    paces = Paces.of(HAND_S, TABLES)
    first, second = paces.minutes("label:film", 1), paces.minutes("label:film", 1)
    independent = math.sqrt(2) * sd_of(first)
    assert independent < sd_of(total([first, second])) < 2 * sd_of(first)


def test_a_row_of_like_pieces_is_one_log() -> None:
    # 20 jugs in ten minutes are one observation of half a minute each, not twenty
    assert learned(PRIOR, logs(30.0), TABLES.outlier_sd).rows == 1


@pytest.mark.parametrize("minutes", [0.5, 4.0, 30.0])
def test_a_total_is_shared_out_by_what_was_expected(minutes: float) -> None:
    prior = Paces.of(HAND_S, TABLES)
    tasks = ("closure", "label:film", "dry")
    parts = share_out(minutes, tasks, 4, prior)
    assert sum(p.weight for p in parts) == pytest.approx(1.0)
    weights = {p.task: p.weight for p in parts}
    assert weights["label:film"] > weights["closure"] > weights["dry"]
    ratios = [p.piece_s / prior.by_task[p.task].typical_s for p in parts]
    assert ratios == pytest.approx([ratios[0]] * 3)


@pytest.mark.parametrize(("minutes", "tasks"), [(0.0, ("closure",)), (5.0, ()), (5.0, ("juggling",))])
def test_a_total_that_says_nothing_teaches_nothing(minutes: float, tasks: tuple[str, ...]) -> None:
    assert share_out(minutes, tasks, 4, Paces.of(HAND_S, TABLES)) == ()


def test_a_log_of_an_unknown_task_is_passed_over() -> None:
    odd = Paces.of(HAND_S, TABLES, logs(10.0, task="juggling"))
    assert {t: p.mean_s for t, p in odd.by_task.items()} == {
        t: p.mean_s for t, p in Paces.of(HAND_S, TABLES).by_task.items()
    }


@pytest.mark.parametrize("seconds", [0.0, -1.0, math.nan, math.inf])
def test_a_time_that_cannot_be_is_refused(seconds: float) -> None:
    with pytest.raises(BadInput, match="seconds above 0"):
        Logged(task="dry", piece_s=seconds)


@pytest.mark.parametrize("weight", [0.0, 1.5, math.nan])
def test_a_weight_that_cannot_be_is_refused(weight: float) -> None:
    with pytest.raises(BadInput, match="above 0, up to 1"):
        Logged(task="dry", piece_s=3.0, weight=weight)


@pytest.mark.parametrize(
    ("path", "value", "fault"),
    [
        (("prior", "rows", "low"), 0, "above 0"),
        (("prior", "shape", "low"), 1, "above 1"),
        (("handling_s", "low"), 0, "above 0"),
        (("glue_left", "film", "high"), 1.2, "0 to 1"),
        (("seldom_worth_g_min", "low"), -1, "above 0"),
    ],
)
def test_a_slip_in_the_table_is_told(monkeypatch, path, value, fault) -> None:
    data = copy.deepcopy(dict(raw_table("pace.toml").data))
    row = data
    for name in path[:-1]:
        row = row[name]
    row[path[-1]] = value
    monkeypatch.setattr(pace, "raw_table", lambda name: RawTable(name=name, edition="x", data=data))
    with pytest.raises(HandbookGap, match=fault):
        pace.read_pace()
