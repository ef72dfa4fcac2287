"""What is in a lot, and when a bath pays."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput
from intake.spread import doubtful
from intake.table.bins.budget import Entry
from intake.table.bins.lots import WATER_G_CM3, float_advice, lot_content
from intake.table.bins.placing import Limits
from intake.table.bins.sink_float import FloatStep, Side
from intake.table.resins import ResinId


def limits(host="PE-HD", **more):
    given_ = {
        "tolerances": {"PP": 0.05, "PVC": 0.0, "PET": 0.005, "PE-LD": 1.0, "PE-HD": 0.005, "label": 0.01},
        "tolerance_else": 0.005, "capacity_g": 15_000.0, "capacity_l": 60.0, "planned_mass_g": 1000.0,
    }  # fmt: skip
    return Limits(host=ResinId(host), **{**given_, **more})


def entry(mass_g=60.0, label_g=0.0, **chances):
    left = {"label": doubtful(label_g, label_g / 4)} if label_g else {}
    named = {name.replace("_", "-"): p for name, p in chances.items()}
    return Entry(mass_g=doubtful(mass_g, 1.0), chances=named, residues=left)


def rows(count=30, **chances):
    rest = 1.0 - sum(chances.values())
    return [entry(PE_HD=rest, **chances) for _ in range(count)]


@pytest.fixture(scope="module")
def tables(handbook):
    return handbook.sink_float


def share_of(content, material):
    return next((s.share.mean for s in content.shares if s.material == material), 0.0)


@pytest.mark.parametrize("mass_g", [500.0, 1700.0, 1800.0])
def test_the_shares_do_not_depend_on_what_shredding_lost(tables, mass_g):
    found = lot_content(rows(PET=0.02, PP=0.01), mass_g, (), limits(), tables)
    assert share_of(found, "PET") == pytest.approx(0.02)
    assert found.purity.mean == pytest.approx(0.97)
    assert found.mass_g == mass_g


def test_what_melts_together_is_not_foreign(tables):
    found = lot_content(rows(PE_LD=0.2), 1800.0, (), limits(), tables)
    assert found.purity.mean == pytest.approx(1.0)
    assert found.shares == ()


def test_the_interval_holds_the_mean_and_purity_is_the_other_side(tables):
    found = lot_content(
        [*rows(PET=0.05, PP=0.05), entry(label_g=0.5, PE_HD=1.0)], 1800.0, (), limits(), tables
    )
    for share in found.shares:
        assert 0.0 <= share.share.low <= share.share.mean <= share.share.high <= 1.0
    assert found.purity.low < found.purity.mean < found.purity.high


@pytest.mark.parametrize(
    ("resin", "leaves"),
    [("PET", True), ("PVC", True), ("PS", True), ("PP", False), ("PE-LD", False), ("PA", True)],
)
def test_water_takes_out_what_sinks(tables, resin, leaves):
    # Handbook densities: PE and PP float in water; PS, PA, PET, PVC sink
    chances = [Entry(mass_g=60.0, chances={"PE-HD": 0.95, resin: 0.05}) for _ in range(20)]
    strict = limits(tolerances={resin: 0.005})
    before = lot_content(chances, 1200.0, (), strict, tables)
    after = lot_content(chances, 1200.0, [FloatStep(bath_g_cm3=WATER_G_CM3)], strict, tables)
    left = share_of(after, resin) / share_of(before, resin)
    assert (left < 0.12) if leaves else (left > 0.95)


def test_what_nobody_knows_the_density_of_is_not_trusted_to_leave(tables):
    assert "other" not in tables.density_g_cm3
    after = lot_content(rows(other=0.02), 1800.0, [FloatStep(bath_g_cm3=WATER_G_CM3)], limits(), tables)
    assert share_of(after, "other") >= 0.02


def test_floating_twice_in_one_bath_takes_strays_but_proves_nothing_new(tables):
    """A row that floated once floats again: of a resin that half sinks, only the stray part gets less."""
    half = tables.density_g_cm3["PA"].typical
    once = lot_content(rows(PA=0.1), 1800.0, [FloatStep(bath_g_cm3=half)], limits(), tables)
    twice = lot_content(rows(PA=0.1), 1800.0, [FloatStep(bath_g_cm3=half)] * 2, limits(), tables)
    assert share_of(once, "PA") == pytest.approx(0.05, rel=0.15)
    assert share_of(twice, "PA") == pytest.approx(share_of(once, "PA"), rel=0.1)


@pytest.mark.parametrize(("out_g", "word"), [(18.0, "less"), (78.0, "more")])
def test_the_weighed_sinkers_are_evidence(tables, out_g, word):
    planned = lot_content(rows(PET=0.02), 1800.0, [FloatStep(bath_g_cm3=WATER_G_CM3)], limits(), tables)
    step = FloatStep(bath_g_cm3=WATER_G_CM3, out_g=out_g)
    weighed = lot_content(rows(PET=0.02), 1800.0, [step], limits(), tables)
    assert weighed.mass_g == pytest.approx(1800.0 - out_g)
    assert (share_of(weighed, "PET") < share_of(planned, "PET")) is (word == "less")


def test_floaters_come_off_a_lot_that_sinks(tables):
    caps = [Entry(mass_g=10.0, chances={"PET": 0.985, "PP": 0.015}) for _ in range(30)]
    host = limits("PET", tolerances={"PP": 0.005})
    advice = float_advice(caps, 300.0, (), host, tables)
    assert advice.out is Side.FLOATERS
    assert advice.pays
    assert share_of(advice.after, "PP") < 0.12 * share_of(advice.before, "PP")


@pytest.mark.parametrize(
    ("chances", "pays", "code"),
    [
        ({"PET": 0.01}, True, "float_pays"),
        ({"PVC": 0.002}, True, "float_hazard"),
        ({"PVC": 0.0001}, False, "float_not_needed"),
        ({"PP": 0.2}, False, "float_mends_nothing"),
        ({}, False, "float_not_needed"),
    ],
)
def test_a_bath_is_proposed_where_it_mends_a_broken_limit(tables, chances, pays, code):
    advice = float_advice(rows(**chances), 1800.0, (), limits(), tables)
    assert advice.pays is pays
    assert [r.code for r in advice.reasons] == [code]


@pytest.mark.parametrize("bath_g_cm3", [0.953, 0.95, 0.96])
def test_no_bath_is_proposed_in_which_the_host_itself_may_leave(tables, bath_g_cm3):
    advice = float_advice(rows(PET=0.02), 1800.0, (), limits(), tables, bath_g_cm3)
    assert not advice.pays
    assert [r.code for r in advice.reasons] == ["float_host_leaves"]


@settings(max_examples=25, deadline=None)
@given(
    p=st.floats(0.0, 0.3), q=st.floats(0.0, 0.3), out_g=st.one_of(st.none(), st.floats(0, 1700)),
    baths=st.lists(st.floats(0.8, 1.4), max_size=3),
)  # fmt: skip
def test_whatever_was_floated_shares_stay_shares(tables, p, q, out_g, baths):
    steps = [FloatStep(bath_g_cm3=b, out_g=out_g) for b in baths]
    found = lot_content(rows(12, PET=p, PVC=q), 720.0, steps, limits(), tables)
    assert found.mass_g > 0
    assert found.purity.low <= found.purity.mean <= found.purity.high <= 1.0
    for share in found.shares:
        assert 0.0 <= share.share.mean <= 1.0
        assert 0.0 <= share.over <= 1.0


@pytest.mark.parametrize("mass_g", [0.0, -5.0, float("nan")])
def test_a_lot_without_mass_is_refused(tables, mass_g):
    with pytest.raises(BadInput, match="above 0 g"):
        lot_content(rows(), mass_g, (), limits(), tables)


@pytest.mark.parametrize(
    ("bath", "out"), [(0.1, None), (float("nan"), None), (1.0, -1.0), (1.0, float("inf"))]
)
def test_a_bath_that_cannot_be_is_refused(bath, out):
    with pytest.raises(BadInput):
        FloatStep(bath_g_cm3=bath, out_g=out)


def test_an_empty_lot_is_pure(tables):
    assert lot_content([], 5.0, (), limits(), tables).purity.mean == 1.0
