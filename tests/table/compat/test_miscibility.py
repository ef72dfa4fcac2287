"""The second opinion: labelled as computed, beaten by the table, loud where it disagrees."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.handbook import Handbook
from intake.table.compat.miscibility import SecondOpinion, chi_critical, chi_from_solubility, second_opinion
from intake.table.resins import ResinId

BOOK = Handbook()
KNOWN = sorted(BOOK.melts.rows)
delta = st.floats(14.0, 30.0)


def opinion(host: str, guest: str) -> SecondOpinion:
    h, g = ResinId(host), ResinId(guest)
    return second_opinion(h, g, BOOK.melts, BOOK.matrix.rule(h, g))


def codes(said: SecondOpinion) -> list[str]:
    return [r.code for r in said.reasons]


@given(d1=delta, d2=delta, temp_c=st.floats(20, 300))
def test_chi_is_symmetric_and_never_negative(d1: float, d2: float, temp_c: float) -> None:
    chi = chi_from_solubility(d1, d2, temp_c, 100.0)
    assert chi >= 0.0
    assert chi == chi_from_solubility(d2, d1, temp_c, 100.0)


@given(d1=delta, gap=st.floats(0.1, 8.0), cool=st.floats(20, 150), warmer=st.floats(1, 150))
def test_heat_brings_two_resins_closer(d1: float, gap: float, cool: float, warmer: float) -> None:
    assert chi_from_solubility(d1, d1 + gap, cool + warmer, 100.0) < chi_from_solubility(
        d1, d1 + gap, cool, 100.0
    )


@given(n1=st.floats(1, 1e5), n2=st.floats(1, 1e5), more=st.floats(1.01, 100))
def test_longer_chains_part_sooner(n1: float, n2: float, more: float) -> None:
    assert chi_critical(n1 * more, n2) < chi_critical(n1, n2)
    assert chi_critical(n1, n2) == pytest.approx(chi_critical(n2, n1))


@pytest.mark.parametrize(("host", "guest"), [("TPU", "PP"), ("TPU", "PLA"), ("PBT", "TPU")])
def test_where_the_table_is_silent_there_is_still_an_opinion(host: str, guest: str) -> None:
    said = opinion(host, guest)
    assert BOOK.matrix.rule(ResinId(host), ResinId(guest)).silent
    assert said.chi is not None
    assert codes(said)[0] in ("chi_mixes", "chi_parts")
    assert "chi_disagrees" not in codes(said)


@pytest.mark.parametrize(("host", "guest"), [("SAN", "ABS"), ("PC", "PBT"), ("PE-LD", "EVAC")])
def test_a_disagreement_with_the_table_is_shown(host: str, guest: str) -> None:
    said = opinion(host, guest)
    assert BOOK.matrix.rule(ResinId(host), ResinId(guest)).rating.melts_together
    assert said.mixes is False
    assert codes(said)[-1] == "chi_disagrees"


def test_a_pair_that_computes_well_but_is_limited_is_shown_too() -> None:
    assert "chi_disagrees" in codes(opinion("PE-HD", "PE-LD"))


@pytest.mark.parametrize(("host", "guest"), [("PE-HD", "PETG"), ("PE-HD", "other"), ("PVC", "PVC")])
def test_a_missing_figure_gives_no_number_and_a_reason(host: str, guest: str) -> None:
    said = opinion(host, guest)
    assert (said.chi, said.mixes) == (None, None)
    assert codes(said)[0] == "chi_unknown"


def test_pet_is_solid_where_pe_hd_ends() -> None:
    said = opinion("PE-HD", "PET")
    assert "window_still_solid" in codes(said)
    assert said.mixes is False


@pytest.mark.parametrize("resin", [r for r in KNOWN if BOOK.melts.oven_window(ResinId(r))])
def test_a_resin_mixes_with_itself(resin: str) -> None:
    said = opinion(resin, resin)
    assert said.chi == 0.0
    assert said.mixes
    assert "chi_disagrees" not in codes(said)


@pytest.mark.parametrize(("host", "guest"), [("PE-HD", "PP"), ("PS", "ABS"), ("PC", "PET")])
def test_the_opinion_does_not_depend_on_who_is_host(host: str, guest: str) -> None:
    one, other = opinion(host, guest), opinion(guest, host)
    assert one.chi == pytest.approx(other.chi)
    assert one.mixture.window == other.mixture.window
