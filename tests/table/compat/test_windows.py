"""Windows: what is shown is an oven window, cut where the resin begins to break down."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.handbook import Handbook
from intake.table.compat.windows import Melt, MeltTable
from intake.table.resins import Basis, Figure, ResinId

BOOK = Handbook()
MELTS = BOOK.melts
KNOWN = sorted(MELTS.rows)
HEATED = [r for r in KNOWN if MELTS.oven_window(r)]
resin_lists = st.lists(st.sampled_from(KNOWN), min_size=1, max_size=5)


def figure(low: float, high: float) -> Figure:
    return Figure(low=low, typical=(low + high) / 2, high=high, unit="degC", basis=Basis.MEMORY)


def table(**rows: Melt) -> MeltTable:
    return MeltTable(
        rows={ResinId(k): v for k, v in rows.items()}, resins=BOOK.resins,
        softening_margin_k=MELTS.softening_margin_k,
        reference_volume_cm3_mol=MELTS.reference_volume_cm3_mol, chain_units=MELTS.chain_units,
    )  # fmt: skip


@pytest.mark.parametrize("resin", HEATED)
def test_a_window_ends_where_breakdown_in_air_may_begin(resin: str) -> None:
    window, row = MELTS.oven_window(ResinId(resin)), MELTS.row(ResinId(resin))
    assert window is not None
    assert row.onset_c is not None
    assert window.low_c < window.high_c <= row.onset_c.low


@pytest.mark.parametrize("resin", HEATED)
def test_a_window_begins_above_the_melting_range(resin: str) -> None:
    window, row = MELTS.oven_window(ResinId(resin)), MELTS.row(ResinId(resin))
    assert window is not None
    melts_c = row.melting_c.typical if row.melting_c else row.glass_c.typical if row.glass_c else -math.inf
    assert window.low_c >= melts_c


def test_a_window_is_cut_at_the_low_end_of_breakdown() -> None:
    melts = table(PP=Melt(window_c=figure(180, 250), onset_c=figure(215, 260)))
    window = melts.oven_window(ResinId("PP"))
    assert window is not None
    assert (window.low_c, window.high_c) == (180.0, 215.0)


def test_a_window_that_breakdown_swallows_is_none() -> None:
    melts = table(PP=Melt(window_c=figure(180, 250), onset_c=figure(150, 260)))
    assert melts.oven_window(ResinId("PP")) is None


@pytest.mark.parametrize("resin", ["PE-X", "PETG", "other"])
def test_a_resin_nobody_measured_has_no_window_and_says_so(resin: str) -> None:
    mixture = MELTS.mixture_window([ResinId(resin)])
    assert mixture.window is None
    assert mixture.reason is not None
    assert mixture.reason.code == "window_unknown"


def test_pvc_has_no_window_because_it_must_not_be_heated() -> None:
    mixture = MELTS.mixture_window([ResinId("PE-HD"), ResinId("PVC-P")])
    assert mixture.reason is not None
    assert mixture.reason.code == "window_forbidden"
    assert dict(mixture.reason.values)["resin"] == "PVC-P"


def test_a_mixture_lies_between_highest_lower_and_lowest_upper_limit() -> None:
    mixture = MELTS.mixture_window([ResinId("PE-HD"), ResinId("PP")])
    assert mixture.window is not None
    assert (mixture.window.low_c, mixture.window.high_c) == (185.0, 210.0)


def test_a_mixture_without_a_window_names_the_two_that_stand_apart() -> None:
    mixture = MELTS.mixture_window([ResinId("PE-HD"), ResinId("PP"), ResinId("PET")])
    assert mixture.reason is not None
    assert dict(mixture.reason.values) == {"hot": "PET", "cool": "PE-HD", "needs_c": 260.0, "limit_c": 210.0}
    assert mixture.reason.code == "window_still_solid"


def test_an_amorphous_resin_that_is_too_cool_is_not_called_solid() -> None:
    mixture = MELTS.mixture_window([ResinId("PC"), ResinId("PE-HD")])
    assert mixture.reason is not None
    assert mixture.reason.code == "window_apart"


@given(resins=resin_lists)
def test_a_mixture_window_lies_inside_every_single_one(resins: list[ResinId]) -> None:
    mixture = MELTS.mixture_window(resins)
    assert (mixture.window is None) == (mixture.reason is not None)
    for resin in resins if mixture.window else ():
        own = MELTS.oven_window(resin)
        assert own is not None
        assert mixture.window is not None
        assert own.low_c <= mixture.window.low_c <= mixture.window.high_c <= own.high_c


@given(resins=resin_lists, extra=st.sampled_from(KNOWN))
def test_one_more_resin_never_widens_a_window(resins: list[ResinId], extra: ResinId) -> None:
    before, after = MELTS.mixture_window(resins), MELTS.mixture_window([*resins, extra])
    if after.window is not None:
        assert before.window is not None
        assert after.window.low_c >= before.window.low_c
        assert after.window.high_c <= before.window.high_c


ORDER = ("heat_solid", "heat_softens_only", "heat_half_melted", "heat_in_window", "heat_too_hot")


@given(resin=st.sampled_from(HEATED), temps=st.lists(st.floats(-50, 500), min_size=2, max_size=6))
def test_a_hotter_resin_never_goes_back_a_state(resin: ResinId, temps: list[float]) -> None:
    states = [ORDER.index(MELTS.state_at(resin, t).code) for t in sorted(temps)]
    assert all(a <= b for a, b in pairwise(states))


@pytest.mark.parametrize(
    ("resin", "temp_c", "code"),
    [
        ("PE-HD", 23.0, "heat_solid"),
        ("PE-HD", 121.0, "heat_softens_only"),
        ("PE-HD", 140.0, "heat_half_melted"),
        ("PE-HD", 160.0, "heat_in_window"),
        ("PE-HD", 210.0, "heat_in_window"),
        ("PE-HD", 211.0, "heat_too_hot"),
        ("PET", 60.0, "heat_solid"),
        ("PET", 90.0, "heat_softens_only"),
        ("PS", 120.0, "heat_softens_only"),
        ("PLA", 65.0, "heat_softens_only"),
        ("PVC", 120.0, "window_forbidden"),
        ("PETG", 120.0, "window_unknown"),
    ],
)
def test_a_resin_says_what_it_does_at_a_temperature(resin: str, temp_c: float, code: str) -> None:
    assert MELTS.state_at(ResinId(resin), temp_c).code == code


@pytest.mark.parametrize("resin", KNOWN)
def test_every_resin_says_what_it_gives_off(resin: str) -> None:
    assert MELTS.rows[ResinId(resin)].fumes


def test_no_window_reaches_a_machine_heat() -> None:
    # resins.json gives moulding-machine windows up to 280 °C for PE-HD and PP; none may leak in
    assert all(
        w.high_c <= 220.0 for r in ("PE-HD", "PE-LD", "PE-LLD", "PP") if (w := MELTS.oven_window(ResinId(r)))
    )
