"""The plan of a charge."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.errors import BadInput, UnknownName
from intake.spread import interval, mean_of, sd_of
from intake.table.charge.parts import part_mass_g
from intake.table.charge.target import ChargeSpec, charge_plan
from intake.table.resins import ResinId

PE_HD = ResinId("PE-HD")


def spec(**changed):
    return ChargeSpec(**{"id": "board", "resin": PE_HD, "cavity_cm3": 1000.0} | changed)


def codes(plan):
    return [r.code for r in plan.reasons]


@pytest.mark.parametrize(
    ("cavity_cm3", "says"),
    [
        (0.0, "above 0"), (-5.0, "above 0"), (math.nan, "above 0"), (math.inf, "above 0"), (-math.inf, "above 0"),
        (1e6, "did you mean cm³"), (1e7, "10 m3"),
    ],
)  # fmt: skip
def test_a_cavity_that_cannot_be_is_refused(cavity_cm3, says):
    with pytest.raises(BadInput, match=says):
        spec(cavity_cm3=cavity_cm3)


@pytest.mark.parametrize("name", ["overfill_share", "loss_share"])
@pytest.mark.parametrize("share", [-0.01, 0.51, 5.0, math.nan, math.inf])
def test_a_share_that_was_meant_as_per_cent_is_refused(name, share):
    with pytest.raises(BadInput, match=r"0\.05 for 5 %"):
        spec(**{name: share})


@pytest.mark.parametrize("flash_g", [-1.0, math.nan, math.inf, 1e9])
def test_flash_weighs_something_sensible(flash_g):
    with pytest.raises(BadInput, match="flash"):
        spec(flash_g=flash_g)


@pytest.mark.parametrize("resin", ["PVC", "PVC-U", "other", "PE", "unobtainium", ""])
def test_a_resin_without_melt_figures_gets_no_plan(handbook, resin):
    with pytest.raises(BadInput, match="melted in an oven"):
        charge_plan(spec(resin=ResinId(resin)), handbook.charge)


@pytest.mark.parametrize("temp_c", [20.0, 100.0, 132.0, 351.0, 1000.0, math.nan, math.inf])
def test_a_temperature_that_melts_nothing_or_burns_is_refused(handbook, temp_c):
    with pytest.raises(BadInput, match="Melt temperature"):
        charge_plan(spec(), handbook.charge, temp_c=temp_c)


def test_an_unknown_form_of_shred_is_refused(handbook):
    with pytest.raises(UnknownName):
        charge_plan(spec(), handbook.charge, form="dust")


@pytest.mark.parametrize("resin", ["PE-HD", "PE-LD", "PE-LLD", "PP", "PS", "ABS", "PLA", "PA6", "POM", "PET"])
def test_every_resin_that_melts_has_a_whole_plan(handbook, resin):
    plan = charge_plan(spec(resin=ResinId(resin)), handbook.charge)
    part, charge = interval(plan.part_g), interval(plan.charge_g)
    assert 0 < part.low < part.mean < part.high < charge.high
    assert plan.level_melt_fill_g < part.mean
    assert 0 < mean_of(plan.heat_kwh) < 0.5
    assert mean_of(plan.shred_volume_l) > 1.0
    assert plan.fills.low <= plan.fills.mean <= plan.fills.high
    assert plan.sources


@settings(max_examples=60, deadline=None)
@given(
    cavity=st.floats(1.0, 9e5),
    overfill=st.floats(0.0, 0.5),
    flash=st.floats(0.0, 500.0),
    loss=st.floats(0.0, 0.5),
)
def test_the_charge_is_the_part_and_what_goes_beside_it(handbook, cavity, overfill, flash, loss):
    plan = charge_plan(
        spec(cavity_cm3=cavity, overfill_share=overfill, flash_g=flash, loss_share=loss), handbook.charge
    )
    part = mean_of(plan.part_g)
    assert mean_of(plan.charge_g) == pytest.approx(part * (1 + overfill) + flash + loss * part)
    assert mean_of(plan.charge_g) >= part


@settings(max_examples=60, deadline=None)
@given(cavity=st.floats(1.0, 4e5), factor=st.floats(1.01, 2.0))
def test_a_larger_cavity_needs_more(handbook, cavity, factor):
    small, large = (charge_plan(spec(cavity_cm3=c), handbook.charge) for c in (cavity, cavity * factor))
    assert mean_of(large.charge_g) == pytest.approx(factor * mean_of(small.charge_g))


@settings(max_examples=60, deadline=None)
@given(less=st.floats(0.0, 0.2), more=st.floats(0.001, 0.2))
def test_more_shrinkage_is_a_lighter_part(less, more):
    assert part_mass_g(1000.0, less + more, 0.955) < part_mass_g(1000.0, less, 0.955)


def test_the_collar_is_said_in_grams(handbook):
    plan = charge_plan(spec(), handbook.charge)
    values = dict(next(r for r in plan.reasons if r.code == "level_fill_short").values)
    assert values["collar_g"] == pytest.approx(mean_of(plan.part_g) - plan.level_melt_fill_g)
    assert values["collar_g"] == pytest.approx(mean_of(plan.collar_g))


@pytest.mark.parametrize("pressed", [True, False])
def test_unpressed_cooling_is_told_in_words_and_changes_no_figure(handbook, pressed):
    plan = charge_plan(spec(pressed=pressed), handbook.charge)
    assert ("unpressed_draws_in" in codes(plan)) is not pressed
    assert mean_of(plan.charge_g) == pytest.approx(mean_of(charge_plan(spec(), handbook.charge).charge_g))


@pytest.mark.parametrize(
    ("form", "many"), [("blender-fluff", True), ("granulator-flake", False), ("granulator-rigid", False)]
)
def test_airy_shred_calls_for_finer_cutting(handbook, form, many):
    assert ("many_fills" in codes(charge_plan(spec(), handbook.charge, form=form))) is many


@pytest.mark.parametrize(
    ("resin", "temp_c", "rough"), [("PE-HD", 180, False), ("PE-HD", 210, True), ("ABS", 210, True)]
)
def test_a_density_outside_the_data_is_said_to_be_rough(handbook, resin, temp_c, rough):
    plan = charge_plan(spec(resin=ResinId(resin)), handbook.charge, temp_c=float(temp_c))
    assert ("melt_density_rough" in codes(plan)) is rough


def test_styrenics_and_acetal_add_their_own_caution(handbook, words):
    for resin, caution in (("PS", "styrenics"), ("POM", "pom-heat")):
        plan = charge_plan(spec(resin=ResinId(resin)), handbook.charge)
        assert caution in plan.cautions
        assert all(f"caution.{c}.text" in words.texts for c in plan.cautions)


def test_the_part_is_doubtful_and_the_flash_is_not(handbook):
    with_flash = charge_plan(spec(flash_g=100.0), handbook.charge)
    assert sd_of(with_flash.charge_g) == pytest.approx(sd_of(charge_plan(spec(), handbook.charge).charge_g))
