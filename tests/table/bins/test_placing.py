import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.spread import doubtful
from intake.table.bins.budget import Content, Entry, chance_over, content_of, with_entry
from intake.table.bins.colour import GroupId
from intake.table.bins.ids import BinId
from intake.table.bins.key import bin_key
from intake.table.bins.placing import Candidate, Limits, OpenBin, place
from intake.table.compat.decision import Verdict
from intake.table.kinds import Flow
from intake.table.resins import ResinId

HD = ResinId("PE-HD")
KEY = bin_key(HD, GroupId("natural"), Flow.BLOW)
LIMITS = Limits(
    host=HD,
    tolerances={"PP": 0.05, "PE-LD": 1.0, "PVC": 0.0, "paper": 0.01},
    tolerance_else=0.01,
    capacity_g=3000.0,
    capacity_l=60.0,
    planned_mass_g=1000.0,
)


def candidate(mass_g=48.0, pp=0.001, pvc=0.0, litres=2.0, key=KEY, physical=True, **residues):
    chances = {"PE-HD": 1.0 - pp - pvc, "PP": pp, "PVC": pvc}
    entry = Entry(mass_g=doubtful(mass_g, 3.0), chances=chances, residues=residues)
    return Candidate(key=key, entry=entry, volume_l=litres, physical=physical)


def bin_of(name="QT-01", *rows, key=KEY, litres=10.0):
    return OpenBin(id=BinId(name), key=key, content=content_of(c.entry for c in rows), volume_l=litres)


def codes(placing):
    return [r.code for r in placing.reasons]


def test_the_first_item_opens_a_bin() -> None:
    placing = place(candidate(), [], LIMITS)
    assert (placing.verdict, placing.bin_id, placing.key) == (Verdict.ACCEPT, None, KEY)
    assert codes(placing) == ["bin_new_first"]


def test_the_fullest_bin_that_takes_it_is_best_and_the_numbers_are_said() -> None:
    bins = [bin_of("QT-01", candidate(), litres=5.0), bin_of("QT-02", candidate(), litres=30.0)]
    placing = place(candidate(), bins, LIMITS)
    assert placing.bin_id == "QT-02"
    assert codes(placing) == ["bin_fits", "bin_stays_clean"]
    said = dict(placing.reasons[1].values)
    assert said["material"] == "PP"
    assert said["tolerated_share"] == 0.05
    assert 0.0 <= said["over_chance"] <= 0.05


def test_of_two_equal_bins_the_older_id_wins() -> None:
    assert place(candidate(), [bin_of("QT-03"), bin_of("QT-02")], LIMITS).bin_id == "QT-02"


@pytest.mark.parametrize(
    "key",
    [
        bin_key(HD, GroupId("blue"), Flow.BLOW),
        bin_key(HD, GroupId("natural"), Flow.INJECTION),
        bin_key(HD, GroupId("natural"), Flow.BLOW, 0.9),
        bin_key(ResinId("PP"), GroupId("natural"), Flow.BLOW),
    ],
    ids=["colour", "flow", "filled", "resin"],
)
def test_a_bin_of_another_kind_is_never_used(key) -> None:
    assert place(candidate(), [bin_of(key=key)], LIMITS).bin_id is None


@pytest.mark.parametrize(
    ("bin_", "item"),
    [
        (bin_of("QT-01", litres=59.0), candidate(litres=2.0)),
        (bin_of("QT-01", candidate(mass_g=2990.0), litres=1.0), candidate(mass_g=48.0)),
    ],
    ids=["litres run out first", "grams run out first"],
)
def test_a_bin_is_full_at_the_first_limit_reached(bin_, item) -> None:
    placing = place(item, [bin_], LIMITS)
    assert (placing.verdict, placing.bin_id) == (Verdict.ACCEPT, None)
    assert codes(placing) == ["bin_new_full"]


def test_an_item_larger_than_a_bin_gets_one_and_is_told_to_shrink() -> None:
    assert codes(place(candidate(litres=136.0), [], LIMITS)) == ["bin_new_first", "bin_overflows"]


def test_a_doubtful_item_goes_to_a_new_bin_where_the_open_one_has_used_its_budget() -> None:
    dirty = bin_of("QT-01", *[candidate(mass_g=120.0, pp=0.25) for _ in range(6)])
    item = candidate(mass_g=40.0, pp=0.04)
    placing = place(item, [dirty], LIMITS)
    assert (placing.verdict, placing.bin_id) == (Verdict.ACCEPT, None)
    assert codes(placing) == ["bin_new_budget", "budget_resin"]
    assert place(item, [dirty, bin_of("QT-02")], LIMITS).bin_id == "QT-02"


def test_a_row_that_would_spoil_even_an_empty_bin_is_refused() -> None:
    placing = place(candidate(mass_g=600.0, pp=0.10), [], LIMITS)
    assert (placing.verdict, codes(placing)) == (Verdict.REFUSE, ["budget_resin"])
    assert dict(placing.reasons[0].values)["over_chance"] == pytest.approx(0.10, abs=1e-6)


def test_paper_left_on_is_refused_with_a_word_about_cleaning() -> None:
    placing = place(candidate(paper=doubtful(15.0, 2.0)), [], LIMITS)
    assert (placing.verdict, codes(placing)) == (Verdict.REFUSE, ["budget_residue"])


def test_a_clean_item_may_join_a_bin_whose_budget_others_used_up() -> None:
    dirty = bin_of("QT-01", *[candidate(mass_g=120.0, pp=0.25) for _ in range(6)])
    assert place(candidate(pp=0.0), [dirty], LIMITS).bin_id == "QT-01"


def test_a_possible_hazard_is_held_for_a_test() -> None:
    placing = place(candidate(pvc=0.002), [], LIMITS)
    assert (placing.verdict, codes(placing)) == (Verdict.HOLD, ["hazard_item"])


def test_a_mark_alone_does_not_clear_a_hazard() -> None:
    placing = place(candidate(pvc=0.0005, physical=False), [], LIMITS)
    assert (placing.verdict, codes(placing)) == (Verdict.HOLD, ["hazard_mark_only"])
    assert place(candidate(pvc=0.0, physical=False), [], LIMITS).verdict is Verdict.ACCEPT


def test_hazard_is_limited_by_expected_share_of_the_lot() -> None:
    risky = candidate(mass_g=100.0, pvc=0.0009)
    bin_ = bin_of("QT-01", risky, risky)
    assert bin_.content.expected_share("PVC", 1000.0) == pytest.approx(180e-6)
    placing = place(risky, [bin_], LIMITS)
    assert (placing.bin_id, codes(placing)) == (None, ["bin_new_budget", "hazard_lot"])
    assert place(risky, [bin_], replace(LIMITS, hazard_share=300e-6)).bin_id == "QT-01"


def test_a_bin_is_not_locked_by_the_chance_of_any_hazard_after_many_good_items() -> None:
    items = [candidate(mass_g=48.0, pvc=0.0001, litres=0.2) for _ in range(60)]
    filled = bin_of("QT-01", *items, litres=12.0)
    chance_of_any = 1.0 - (1.0 - 0.0001) ** 60
    assert chance_of_any > LIMITS.hazard_chance
    assert place(items[0], [filled], LIMITS).bin_id == "QT-01"


def test_the_host_and_what_is_welcome_in_it_use_no_budget() -> None:
    entry = Entry(mass_g=500.0, chances={"PE-HD": 0.6, "PE-LD": 0.4})
    assert place(Candidate(key=KEY, entry=entry, volume_l=1.0), [], LIMITS).verdict is Verdict.ACCEPT


def test_a_material_the_table_is_silent_about_has_the_campaigns_default() -> None:
    entry = Entry(mass_g=500.0, chances={"PE-HD": 0.9, "SAN": 0.1})
    assert place(Candidate(key=KEY, entry=entry, volume_l=1.0), [], LIMITS).verdict is Verdict.REFUSE


ITEMS = st.tuples(st.floats(5, 200), st.floats(0, 0.3), st.floats(0, 5))


@settings(max_examples=25, deadline=None)
@given(st.lists(ITEMS, min_size=1, max_size=15))
def test_no_bin_ever_breaks_a_limit_whatever_arrives(rows) -> None:
    bins: dict[str, OpenBin] = {}
    for mass_g, pp, litres in rows:
        item = candidate(mass_g=mass_g, pp=pp, litres=litres)
        placing = place(item, list(bins.values()), LIMITS)
        if placing.verdict is not Verdict.ACCEPT:
            continue
        name = placing.bin_id or BinId(f"QT-{len(bins) + 1:02d}")
        old = bins.get(name, OpenBin(id=name, key=KEY, content=Content(), volume_l=0.0))
        content = with_entry(old.content, item.entry)
        bins[name] = replace(old, content=content, volume_l=old.volume_l + litres)
    for bin_ in bins.values():
        assert bin_.content.mass_g <= LIMITS.capacity_g
        assert bin_.volume_l <= LIMITS.capacity_l
        assert chance_over(bin_.content, "PP", 0.05, planned_mass_g=1000.0) <= LIMITS.chance_limit + 1e-9


def test_limits_of_another_host_are_refused() -> None:
    with pytest.raises(BadInput, match="limits for PE-HD"):
        place(candidate(), [], replace(LIMITS, host=ResinId("PP")))


@pytest.mark.parametrize(
    "wrong",
    [
        {"capacity_g": 0.0},
        {"capacity_l": -1.0},
        {"planned_mass_g": math.nan},
        {"tolerance_else": math.inf},
        {"chance_limit": 1.5},
        {"tolerances": {"PP": -0.1}},
        {"hazard_chance": math.nan},
    ],
)
def test_limits_that_cannot_be_are_refused(wrong) -> None:
    with pytest.raises(BadInput, match="Bin limits"):
        replace(LIMITS, **wrong)


@pytest.mark.parametrize("litres", [-1.0, math.nan, math.inf])
def test_a_volume_that_cannot_be_is_refused(litres: float) -> None:
    with pytest.raises(BadInput, match="0 litres or more"):
        candidate(litres=litres)
