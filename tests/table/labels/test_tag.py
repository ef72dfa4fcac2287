import pytest

from intake.errors import BadInput, UnknownName
from intake.handbook import Handbook
from intake.table.bins.colour import GroupId
from intake.table.bins.key import BinKey
from intake.table.kinds import Flow
from intake.table.labels.payload import Found, read_payload
from intake.table.labels.tag import BinTag, bin_tag
from intake.table.resins import ResinId

BOOK = Handbook()


def tag(bin_id="QT-04", resin="PE-HD", colour="natural", flow=Flow.BLOW, filled=False, **words) -> BinTag:
    key = BinKey(resin=ResinId(resin), colour=GroupId(colour), flow=flow, filled=filled)
    given = {"table": "Quayside table", "date": "2026-11-24", **words}
    return bin_tag(bin_id, key, resins=BOOK.resins, colours=BOOK.colours, **given)


@pytest.mark.parametrize(
    ("resin", "code", "mark"),
    [
        pytest.param("PE-HD", 2, ">PE-HD<", id="ASTM D7611 code 2"),
        pytest.param("PP", 5, ">PP<", id="ASTM D7611 code 5"),
        pytest.param("PET", 1, ">PET<", id="ASTM D7611 code 1"),
        pytest.param("PE-LLD", 4, ">PE-LLD<", id="its wider term's code 4"),
    ],
)
def test_a_tag_carries_code_and_mark_of_its_resin(resin: str, code: int, mark: str) -> None:
    found = tag(resin=resin)
    assert (found.code, found.mark) == (code, mark)


def test_the_tag_of_an_open_bin_carries_no_mass() -> None:
    assert not [name for name in BinTag.__dataclass_fields__ if name.endswith("_g") or "mass" in name]


@pytest.mark.parametrize("bin_id", ["QT-04", "H2-123", "QTXX-9999"])
@pytest.mark.parametrize("colour", sorted(BOOK.colours.swatches))
@pytest.mark.parametrize("filled", [False, True])
@pytest.mark.parametrize("resin", ["PP", "PE-LLD", "PMMA"])
def test_every_tag_has_a_payload_that_reads_back(bin_id: str, colour: str, filled: bool, resin: str) -> None:
    found = tag(bin_id=bin_id, resin=resin, colour=colour, flow=Flow.INJECTION, filled=filled)
    scan = read_payload(found.payload.text)
    assert (scan.found, scan.payload) == (Found.OURS, found.payload)
    assert found.payload.ids == (bin_id,)
    assert resin in found.payload.line


def test_names_in_other_scripts_are_printed_and_not_encoded() -> None:
    assert tag(name="سلال", table="Стол").payload == tag().payload


@pytest.mark.parametrize("date", ["", "24.11.2026", "2026-11-24T10:00", "2026-1-4", "٢٠٢٦-١١-٢٤"])
def test_a_date_in_another_form_is_refused(date: str) -> None:
    with pytest.raises(BadInput, match="2026-11-24"):
        tag(date=date)


def test_an_unknown_resin_is_refused_with_the_nearest_names() -> None:
    with pytest.raises(UnknownName, match="PE-HD"):
        tag(resin="PE-HDX")


def test_a_bin_id_that_is_none_is_refused() -> None:
    with pytest.raises(BadInput, match="QT-04"):
        tag(bin_id="bin four")
