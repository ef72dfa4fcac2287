from math import inf, nan
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_lots import BOOK, LONGEST, lot

from intake.errors import BadInput, UnknownName
from intake.spread import Interval
from intake.table.bins.key import BinKey
from intake.table.compat.cautions import CautionId
from intake.table.kinds import Flow
from intake.table.labels.payload import MAX_BYTES, Found, LabelKind, read_payload
from intake.table.resins import ResinId


@pytest.mark.parametrize("colour", sorted(BOOK.colours.swatches))
@pytest.mark.parametrize("filled", [False, True])
@pytest.mark.parametrize("resin", ["PP", "PE-LLD", "PMMA", "PS"])
@pytest.mark.parametrize("ids", [("QT-L07", "QT-04"), ("L1", "H2-123"), ("QTXX-L999", "QTXX-9999")])
def test_every_lot_has_a_payload_that_reads_back(colour: str, filled: bool, resin: str, ids) -> None:
    found = lot(resin, colour, Flow.INJECTION, filled, *ids)
    scan = read_payload(found.payload.text)
    assert (scan.found, scan.payload) == (Found.OURS, found.payload)
    assert found.payload.kind is LabelKind.LOT
    assert len(found.payload.text.encode()) <= MAX_BYTES
    assert resin in found.payload.line


def test_the_example_of_the_format_is_what_a_lot_says() -> None:
    page = (Path(__file__).parents[3] / "shared" / "bin-label.md").read_text(encoding="utf-8")
    assert f"```\n{lot().payload.text}\n```" in page


def test_a_lot_and_its_bin_are_both_named_where_they_fit_and_the_lot_alone_where_not() -> None:
    assert lot().payload.ids == ("QT-L07", "QT-04")
    assert lot(**LONGEST).payload.ids == ("QTXX-L999",)


@pytest.mark.parametrize(
    ("mass_g", "shown"),
    [(8.4, "8 g"), (840.0, "840 g"), (999.6, "1000 g"), (1243.0, "1.24 kg"), (12430.0, "12.43 kg")],
)
def test_the_line_tells_the_mass(mass_g: float, shown: str) -> None:
    assert shown in lot(net_g=Interval(mean=mass_g, low=mass_g, high=mass_g)).payload.line


@given(
    lot_id=st.from_regex(r"[A-Z]{1,4}-L[0-9]{1,3}", fullmatch=True),
    bin_id=st.from_regex(r"[A-Z]{1,4}-[0-9]{2,4}", fullmatch=True),
    mass_g=st.floats(0.1, 1e6),
)
def test_any_lot_fits_the_symbol(lot_id: str, bin_id: str, mass_g: float) -> None:
    found = lot(
        lot_id=lot_id, bin_id=bin_id, net_g=Interval(mean=mass_g, low=0.9 * mass_g, high=1.1 * mass_g)
    )
    assert read_payload(found.payload.text).payload == found.payload
    assert found.payload.ids[0] == lot_id


@pytest.mark.parametrize(
    ("what", "value"),
    [
        ("net_g", Interval(mean=0.0, low=0.0, high=0.0)),
        ("net_g", Interval(mean=-3.0, low=-4.0, high=-2.0)),
        ("net_g", Interval(mean=nan, low=1.0, high=2.0)),
        ("net_g", Interval(mean=1.0, low=0.5, high=inf)),
        ("net_g", Interval(mean=3.0, low=4.0, high=5.0)),
        ("purity_share", Interval(mean=96.3, low=94.0, high=98.0)),
        ("purity_share", Interval(mean=0.9, low=-0.1, high=1.0)),
        ("purity_share", Interval(mean=0.9, low=0.8, high=1.01)),
        ("purity_share", Interval(mean=nan, low=nan, high=nan)),
        ("cautions", ()),
        ("cautions", tuple(CautionId(c) for c in ("ventilate", "dedicated-oven", "styrenics"))),
        ("date", "24.11.2026"),
        ("date", "٢٠٢٦-١١-٢٤"),
        ("lot_id", "lot seven"),
        ("lot_id", ""),
        ("lot_id", "L" * 30),
    ],
)
def test_what_no_lot_can_be_is_refused_with_a_sentence(what: str, value: object) -> None:
    with pytest.raises(BadInput, match="Expected"):
        lot(**{what: value})


def test_an_unknown_resin_is_refused_with_the_nearest_names() -> None:
    with pytest.raises(UnknownName, match="PE-HD"):
        lot(resin="PE-HDX")


@pytest.mark.parametrize(
    ("resin", "first"),
    [
        pytest.param("PS", "styrenics", id="judgement, ours: styrene first"),
        pytest.param("ABS", "styrenics", id="judgement, ours: ABS gives styrene too"),
        pytest.param("PVC-P", "pvc-heat", id="judgement, ours: a caution on PVC holds for PVC-P"),
        pytest.param("POM", "pom-heat", id="judgement, ours: formaldehyde first"),
        pytest.param("PE-HD", "ventilate", id="judgement, ours: fresh air"),
        pytest.param("PP", "ventilate", id="judgement, ours: fresh air, PP"),
    ],
)
def test_what_a_resin_gives_off_comes_first(resin: str, first: str) -> None:
    found = BOOK.cautions.for_label(ResinId(resin))
    assert found[0] == first
    assert len(found) == 2


@pytest.mark.parametrize("resin", sorted(BOOK.resins.rows))
def test_every_resin_has_two_cautions_for_its_label_and_all_have_words(resin: str, words) -> None:
    found = BOOK.cautions.for_label(ResinId(resin))
    assert len(set(found)) == 2
    assert all(len(words(f"label.caution.{c}")) <= 40 and f"label.caution.{c}" in words.texts for c in found)


def test_a_lot_keeps_its_key_and_the_swatch_of_its_colour() -> None:
    found = lot("PP", "blue", Flow.FILM)
    key = BinKey(resin=found.resin, colour=found.colour, flow=found.flow, filled=found.filled)
    assert (key.resin, key.colour, key.flow, key.filled) == ("PP", "blue", Flow.FILM, False)
    assert found.swatch == BOOK.colours.swatches[found.colour]
    assert (found.mark, found.code) == (">PP<", 5)
