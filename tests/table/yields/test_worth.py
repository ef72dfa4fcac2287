"""Clean grams per minute, the order of a pile, and how far some minutes get."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.handbook import Handbook
from intake.spread import certain, doubtful, interval, mean_of, sd_of
from intake.table.compat.decision import ResinVerdict, Verdict
from intake.table.item import Adhesive, Closure, Item, Label, LabelOff, Residue
from intake.table.prep.pace import Logged, Paces
from intake.table.prep.steps import steps_left
from intake.table.resins import Reason, ResinId
from intake.table.yields.shred import YieldModel
from intake.table.yields.worth import Worth, best_first, in_time, item_worth, minutes_for, with_worth

BOOK = Handbook()
MODEL = YieldModel(BOOK.kinds, BOOK.losses)
PACES = Paces.of(BOOK.prep.hand_s, BOOK.pace)
PE = ResinId("PE-HD")


def worth_of(
    kind: str = "jug", *, chance: float = 1.0, paces: Paces = PACES, test: float = 0.0, **worn
) -> Worth:
    item = Item(kind=BOOK.kinds.get(kind), **worn)
    return item_worth(
        "a1",
        item,
        MODEL.item_yield(item),
        steps_left(item, PE, BOOK.prep),
        paces,
        chance=chance,
        test_minutes=test,
    )


def row(key: str, grams: float, minutes: float, chance: float = 1.0, sd: float = 0.0) -> Worth:
    return Worth(
        key=key,
        shred_g=certain(grams),
        chance=chance,
        minutes=doubtful(minutes, sd) if sd else certain(minutes),
        tasks=(),
    )


PILE = (row("a", 100, 10), row("b", 60, 2), row("c", 5, 5))


@pytest.mark.parametrize(
    ("dearer", "cheaper"),
    [
        ({"label": Label.PAPER}, {"label": Label.NONE}),
        ({"label": Label.PAPER}, {"label": Label.FILM}),
        ({"label": Label.FILM}, {"label": Label.PRINTED}),
        ({"adhesive": Adhesive.HEAVY}, {"adhesive": Adhesive.RESIDUE}),
        ({"adhesive": Adhesive.RESIDUE}, {}),
        ({"closure": Closure.ON}, {"closure": Closure.OFF}),
        ({"residue": Residue.EDIBLE_OIL}, {"residue": Residue.FOOD}),
        ({"residue": Residue.FOOD}, {"residue": Residue.RINSED}),
        ({"label": Label.PAPER}, {"label": Label.PAPER, "label_off": LabelOff.YES}),
    ],
    ids=str,
)
def test_more_to_take_off_is_worth_less(dearer: dict, cheaper: dict) -> None:
    assert worth_of(**dearer).g_per_minute < worth_of(**cheaper).g_per_minute


@pytest.mark.parametrize(
    ("heavy", "light"), [("pail", "jug"), ("jug", "bottle cap"), ("milk bottle", "bottle cap")]
)
def test_a_heavy_piece_pays_better_than_a_light_one(heavy: str, light: str) -> None:
    assert worth_of(heavy).g_per_minute > worth_of(light).g_per_minute


def test_hidden_glue_is_reckoned_with_until_somebody_saw_it() -> None:
    hidden = mean_of(worth_of(label=Label.FILM).minutes)
    seen = mean_of(worth_of(label=Label.FILM, adhesive=Adhesive.RESIDUE).minutes)
    glue = mean_of(PACES.minutes("adhesive:residue", 1))
    share = BOOK.pace.glue_left[Label.FILM].typical
    assert seen - hidden == pytest.approx((1 - share) * glue)


def test_the_count_changes_grams_and_minutes_but_not_the_rate() -> None:
    one, many = worth_of(count=1, label=Label.FILM), worth_of(count=40, label=Label.FILM)
    assert many.g_per_minute == pytest.approx(one.g_per_minute)
    assert mean_of(many.minutes) == pytest.approx(40 * mean_of(one.minutes))


def test_a_test_that_must_come_first_and_a_doubtful_resin_lower_the_worth() -> None:
    assert worth_of(test=5.0).g_per_minute < worth_of().g_per_minute
    assert worth_of(chance=0.5).g_per_minute == pytest.approx(worth_of().g_per_minute / 2)


def test_a_slow_table_learns_that_paper_does_not_pay() -> None:
    slow = Paces.of(BOOK.prep.hand_s, BOOK.pace, [Logged(task="label:paper", piece_s=200.0)] * 12)
    fast, learnt = worth_of(label=Label.PAPER), worth_of(label=Label.PAPER, paces=slow)
    assert learnt.g_per_minute < fast.g_per_minute / 3
    assert worth_of(label=Label.FILM, paces=slow).g_per_minute == pytest.approx(
        worth_of(label=Label.FILM).g_per_minute
    )


def test_what_seldom_pays_is_said() -> None:
    poor = worth_of("bottle cap", adhesive=Adhesive.HEAVY)
    assert [r.code for r in poor.reasons] == ["worth_seldom"]
    assert worth_of("pail").reasons == ()
    assert worth_of("bottle cap", adhesive=Adhesive.HEAVY, chance=0.0).reasons == ()


def told(verdict: Verdict) -> ResinVerdict:
    melts = Reason.of("resin_melts_with", resin="PE-HD", host="PE-HD", probability=0.99)
    return ResinVerdict(verdict=verdict, resin=PE, probability=0.99, host=PE, reasons=(melts,))


@pytest.mark.parametrize(
    ("grams", "least", "verdict", "codes"),
    [
        (100, None, Verdict.ACCEPT, ["resin_melts_with"]),
        (100, 10.0, Verdict.ACCEPT, ["resin_melts_with"]),
        (99, 10.0, Verdict.REFUSE, ["worth_too_little"]),
    ],
)
def test_less_than_a_table_asks_for_is_refused_as_too_much_work(grams, least, verdict, codes) -> None:
    found = with_worth(told(Verdict.ACCEPT), row("a", grams, 10), least)
    assert (found.verdict, [r.code for r in found.reasons]) == (verdict, codes)


def test_little_is_said_where_a_table_takes_anything() -> None:
    found = with_worth(told(Verdict.ACCEPT), worth_of("bottle cap", adhesive=Adhesive.HEAVY), None)
    assert (found.verdict, found.reasons[-1].code) == (Verdict.ACCEPT, "worth_seldom")


@pytest.mark.parametrize("verdict", [Verdict.HOLD, Verdict.REFUSE])
def test_what_waits_or_is_refused_for_another_reason_keeps_it(verdict) -> None:
    assert with_worth(told(verdict), row("a", 1, 10), 10.0) == told(verdict)


@pytest.mark.parametrize(
    ("chance", "test"), [(1.1, 0.0), (-0.1, 0.0), (math.nan, 0.0), (0.5, -1.0), (0.5, math.inf)]
)
def test_what_cannot_be_is_refused(chance: float, test: float) -> None:
    with pytest.raises(BadInput):
        worth_of(chance=chance, test=test)


def test_the_best_come_first_and_what_gives_nothing_not_at_all() -> None:
    assert [w.key for w in best_first((*PILE, row("refused", 900, 1, chance=0.0)))] == ["b", "a", "c"]


@settings(max_examples=40, deadline=None)
@given(
    pairs=st.lists(st.tuples(st.floats(1, 1e3), st.floats(0.1, 100)), min_size=1, max_size=8),
    minutes=st.floats(0, 300),
)
def test_no_other_order_gives_more_in_the_time_there_is(
    pairs: list[tuple[float, float]], minutes: float
) -> None:
    pile = [row(str(n), g, m) for n, (g, m) in enumerate(pairs)]
    best = mean_of(in_time(best_first(pile), minutes).shred_g)
    assert best >= mean_of(in_time(pile, minutes).shred_g) - 1e-6
    assert best >= mean_of(in_time(best_first(pile)[::-1], minutes).shred_g) - 1e-6


@pytest.mark.parametrize(
    ("minutes", "grams", "whole", "part"),
    [
        (0, 0, 0, 0.0),
        (1, 30, 0, 0.5),
        (2, 60, 1, 0.0),
        (7, 110, 1, 0.5),
        (12, 160, 2, 0.0),
        (17, 165, 3, 0.0),
    ],
)
def test_the_minutes_are_spent_row_by_row(minutes: float, grams: float, whole: int, part: float) -> None:
    done = in_time(best_first(PILE), minutes)
    assert mean_of(done.shred_g) == pytest.approx(grams)
    assert (done.whole, done.part) == (whole, pytest.approx(part))


def test_time_over_is_told() -> None:
    assert in_time(best_first(PILE), 20).minutes_left == pytest.approx(3)


def test_doubt_about_the_time_is_doubt_about_the_grams() -> None:
    pile = (row("a", 100, 10, sd=2), row("b", 100, 20))
    # ten of thirty minutes hang on row a, and a minute there is worth what row b gives: 5 g
    assert sd_of(in_time(pile, 20).shred_g) == pytest.approx(2 * 5)
    assert interval(in_time(pile, 20).shred_g).low < 150


@pytest.mark.parametrize(
    ("wanted", "minutes"), [(0, 0), (-5, 0), (30, 1), (60, 2), (110, 7), (165, 17), (166, None)]
)
def test_how_long_until_enough(wanted: float, minutes: float | None) -> None:
    found = minutes_for(best_first(PILE), wanted)
    assert found == (None if minutes is None else pytest.approx(minutes))


@pytest.mark.parametrize("minutes", [-1.0, math.nan, math.inf])
def test_minutes_that_cannot_be_are_refused(minutes: float) -> None:
    with pytest.raises(BadInput, match="such as 90"):
        in_time(PILE, minutes)


def test_an_empty_pile_gives_nothing() -> None:
    assert mean_of(in_time((), 60).shred_g) == 0
    assert minutes_for((), 10) is None
