"""Tait volumes and shrinkage behave as matter does."""

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput, HandbookGap
from intake.handbook import charge
from intake.handbook.figures import RawTable, raw_table
from intake.table.charge.shrink import melt_density, pvt_shrinkage
from intake.table.resins import ResinId

MELTS = ("PE-HD", "PE-LD", "PE-LLD", "PP", "PS", "PC", "PMMA")


@settings(max_examples=80, deadline=None)
@given(
    resin=st.sampled_from(MELTS),
    at=st.floats(0.0, 1.0),
    step=st.floats(0.01, 0.3),
    pressure=st.floats(0.0, 1e8),
)
def test_hotter_melt_takes_more_room(handbook, resin, at, step, pressure):
    tait = handbook.shrinkage.melts[ResinId(resin)]
    span = tait.to_c - tait.from_c
    cool = tait.from_c + at * (1 - step) * span
    assert tait.volume_cm3_g(cool + step * span, pressure) > tait.volume_cm3_g(cool, pressure)


@settings(max_examples=80, deadline=None)
@given(
    resin=st.sampled_from(MELTS), at=st.floats(0.0, 1.0), low=st.floats(0.0, 9e7), more=st.floats(1e5, 1e8)
)
def test_pressed_melt_takes_less_room(handbook, resin, at, low, more):
    tait = handbook.shrinkage.melts[ResinId(resin)]
    temp_c = tait.from_c + at * (tait.to_c - tait.from_c)
    assert tait.volume_cm3_g(temp_c, low + more) < tait.volume_cm3_g(temp_c, low)


@pytest.mark.parametrize("resin", ["PE-HD", "PS"])
@pytest.mark.parametrize(("cold_c", "hot_c"), [(20, 40), (40, 80), (80, 110), (110, 150), (150, 190)])
def test_two_domains_grow_with_heat(handbook, resin, cold_c, hot_c):
    tait = handbook.shrinkage.two_domain[ResinId(resin)]
    assert tait.volume_cm3_g(cold_c) < tait.volume_cm3_g(hot_c)


@pytest.mark.parametrize(("resin", "temp_c", "by"), [
    ("PE-HD", 180.0, "tait"), ("PE-HD", 210.0, "tait-end"), ("PE-LD", 250.0, "tait-end"),
    ("PE-HD", 120.0, "tait-end"),
    ("ABS", 210.0, "contraction"), ("PET", 270.0, "contraction"),
])  # fmt: skip
def test_a_melt_density_says_where_it_comes_from(handbook, resin, temp_c, by):
    assert melt_density(ResinId(resin), temp_c, 1.0, handbook.shrinkage).by == by


def test_pressure_makes_a_melt_set_at_a_higher_temperature(handbook):
    # at 125 degC the melt of 0 MPa is a crystallising solid at 100 MPa; at 150 degC it is melt at both
    tait = handbook.shrinkage.two_domain[ResinId("PE-HD")]
    shrunk = [tait.volume_cm3_g(t, 0.0) - tait.volume_cm3_g(t, 1e8) for t in (125.0, 150.0)]
    assert shrunk[0] > shrunk[1] + 0.02


def test_outside_the_data_the_nearest_end_stands(handbook):
    # the PE-LD row has a negative A2 and must never be extrapolated (S01, note)
    hot = melt_density(ResinId("PE-LD"), 300.0, 0.922, handbook.shrinkage)
    end = 1 / handbook.shrinkage.melts[ResinId("PE-LD")].volume_cm3_g(197.85)
    assert hot.density_g_cm3 == pytest.approx(end)


@pytest.mark.parametrize("resin", ["PVC", "PVC-P", "other"])
def test_pvc_has_no_melt_figures(handbook, resin):
    with pytest.raises(BadInput):
        melt_density(ResinId(resin), 180.0, 1.4, handbook.shrinkage)


@pytest.mark.parametrize("resin", ["PP", "ABS", "PET"])
def test_no_constants_no_pvt_shrinkage(handbook, resin):
    assert pvt_shrinkage(ResinId(resin), handbook.shrinkage) is None


def test_every_resin_with_shrinkage_has_heat_and_density(handbook):
    for resin in handbook.shrinkage.rows:
        assert resin in handbook.heat.rows
        assert any(handbook.resins.rows[r].density_g_cm3 for r in handbook.resins.line(resin)), resin


def test_oven_shrinkage_lies_in_the_upper_half_of_the_moulding_range(handbook):
    for resin, row in handbook.shrinkage.rows.items():
        assert row.oven.typical >= row.moulded.typical, resin


def broken(name, path, value):
    """The table `name` with one value changed, as if somebody had mistyped it."""
    table = raw_table(name)
    data = copy.deepcopy(dict(table.data))
    row = data
    for key in path[:-1]:
        row = row[key]
    if value is None:
        del row[path[-1]]
    else:
        row[path[-1]] = value
    return RawTable(name=name, edition=table.edition, data=data)


@pytest.mark.parametrize(
    ("read", "path", "value", "says"),
    [
        ("read_shrinkage", ("resins", "PE-HD", "oven", "high"), 4.0, "a share from 0 to 1"),
        ("read_shrinkage", ("resins", "PE-XX"), "PE-HD", "a resin of resins.toml"),
        ("read_shrinkage", ("tait_melt", "PP", "source"), "", "a source"),
        ("read_heat", ("cp_table", "PS", "points_k_j_kg_k"), [[300, 1], [290, 2]], "rising temperatures"),
        ("read_heat", ("resins", "PP", "melt", "low"), 999, "low ≤ typical ≤ high"),
    ],
)
def test_a_faulty_melt_figure_is_found(handbook, monkeypatch, read, path, value, says):
    def changed(name):
        fault = raw_table(name).data[path[0]][value] if path[-1] == "PE-XX" else value
        return broken(name, path, fault)

    monkeypatch.setattr(charge, "raw_table", changed)
    with pytest.raises(HandbookGap, match=says):
        getattr(charge, read)(handbook.resins)
