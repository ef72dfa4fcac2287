"""A campaign file is validated as a whole; each fault names the file, the place and what would be right."""

from pathlib import Path

import pytest

from intake.desk.campaign import Campaign, campaign_of, read_campaign
from intake.desk.toolbox import Toolbox, spec_of
from intake.errors import BadInput, ManyFaults
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.spread import mean_of

GOOD = """
name = "Slats"
[[charge]]
id = "slat"
resin = "PE-HD"
cavity = "3.4 L"
"""


def _read(tmp_path: Path, handbook: Handbook, text: str | bytes) -> Campaign:
    path = tmp_path / "slats.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_campaign(path, handbook)


def test_the_least_that_a_campaign_needs(tmp_path: Path, handbook: Handbook) -> None:
    campaign = _read(tmp_path, handbook, GOOD)
    assert campaign.charge[0].cavity == pytest.approx(3400)
    assert campaign.hosts == ("PE-HD",)
    assert campaign.limits.accept_probability == 0.9


def test_units_are_read_where_they_are_written(tmp_path: Path, handbook: Handbook) -> None:
    text = GOOD + 'overfill = "7 %"\nflash = "1 oz"\n[scale_]\n'.replace("[scale_]\n", "")
    charge = _read(tmp_path, handbook, 'scale = "0,1 g"\n' + text).charge[0]
    assert charge.overfill == pytest.approx(0.07)
    assert charge.flash == pytest.approx(28.349523125)


def test_two_charges_of_two_resins(tmp_path: Path, handbook: Handbook) -> None:
    second = '[[charge]]\nid = "lid"\nresin = "PP"\ncavity = "12 in3"\n'
    assert _read(tmp_path, handbook, GOOD + second).hosts == ("PE-HD", "PP")


@pytest.mark.parametrize(
    ("old", "new", "place", "expected"),
    [
        ('cavity = "3.4 L"', "", "charge 1 cavity", "a value for 'cavity'"),
        ("3.4 L", "0 cm3", "charge 1 cavity", "a volume above 0"),
        ("3.4 L", "10 m3", "charge 1 cavity", "did you mean cm³"),
        ("3.4 L", "-1 L", "charge 1 cavity", "a volume above 0"),
        ("3.4 L", "3 kg", "charge 1 cavity", "a volume above 0"),
        ("PE-HD", "PE-HDD", "charge 1, resin", "PE-HD"),
        ('id = "slat"', 'id = "Slat 1"', "charge 1 id", "pattern"),
        ('id = "slat"', 'id = "slat"\ncavty = 3', "charge 1 cavty", "cavity"),
        ('id = "slat"', 'id = "slat"\noverfill = "500 %"', "charge 1 overfill", "0 to 100 %"),
        ('id = "slat"', 'id = "slat"\ncolours = ["ultraviolet"]', "charge 1, colours", "a colour group"),
        ('name = "Slats"', "", "name", "a value for 'name'"),
    ],
)
def test_a_fault_names_its_place(
    tmp_path: Path, handbook: Handbook, old: str, new: str, place: str, expected: str
) -> None:
    with pytest.raises(ManyFaults) as caught:
        _read(tmp_path, handbook, GOOD.replace(old, new))
    (finding,) = caught.value.findings
    assert finding.where == f"slats.toml, {place}"
    assert expected in finding.expected


def test_a_campaign_without_a_charge(tmp_path: Path, handbook: Handbook) -> None:
    with pytest.raises(ManyFaults, match="charge"):
        _read(tmp_path, handbook, 'name = "x"\n')


def test_two_charges_may_not_share_an_id(tmp_path: Path, handbook: Handbook) -> None:
    with pytest.raises(ManyFaults, match="an id that no other charge has"):
        _read(tmp_path, handbook, GOOD + '[[charge]]\nid = "slat"\nresin = "PP"\ncavity = "1 L"\n')


@pytest.mark.parametrize("text", [b"name = ", b"\xff\xfe", b"[charge"])
def test_what_is_no_toml_is_a_sentence(tmp_path: Path, handbook: Handbook, text: bytes) -> None:
    with pytest.raises(BadInput, match=r"Campaign file slats.toml: cannot use .* TOML in UTF-8"):
        _read(tmp_path, handbook, text)


def test_a_missing_file_is_a_sentence(tmp_path: Path, handbook: Handbook) -> None:
    with pytest.raises(BadInput, match=r"Campaign file: cannot use 'none\.toml'"):
        read_campaign(tmp_path / "none.toml", handbook)


def test_the_demo_campaign_is_a_campaign(handbook: Handbook) -> None:
    assert read_campaign(resources() / "demo" / "campaign.toml", handbook).hosts == ("PE-HD",)


@pytest.mark.parametrize(
    ("extra", "where", "sentence"),
    [
        ({"flow": [2, 0.3]}, "flow", "'2 to 0.3 g/10 min'"),
        ({"flow": ["x", 1]}, "flow 1", "a melt flow rate above 0"),
        ({"flow": [0, 1]}, "flow 1", "a melt flow rate above 0"),
        ({"flow": [1]}, "flow 2", "does not have it"),
        ({"mould_limit": "150 °C"}, "mould_limit", "185 °C or more"),
        ({"mould_limit": "hot"}, "mould_limit", "a temperature"),
    ],
)
def test_a_window_in_which_nothing_lies_is_named(handbook, extra, where, sentence) -> None:
    raw = {"name": "x", "charge": [{"id": "slat", "resin": "PE-HD", "cavity": "1 L", **extra}]}
    with pytest.raises(ManyFaults) as found:
        campaign_of(raw, handbook, where="x.toml")
    assert where in str(found.value)
    assert sentence in str(found.value)


def test_windows_survive_being_written_to_the_ledger(handbook) -> None:
    charge = {"id": "slat", "resin": "PE-HD", "cavity": "1 L", "flow": ["0.3", 2], "mould_limit": "230 °C"}
    read = campaign_of({"name": "x", "charge": [charge]}, handbook, where="x.toml")
    assert (read.charge[0].flow, read.charge[0].mould_limit) == ((0.3, 2.0), 230.0)
    assert campaign_of(read.model_dump(mode="json"), handbook, where="again") == read


def _with_parts(handbook, *charges):
    raw = {"name": "x", "charge": [{"resin": "PE-HD", "cavity": "1 L", **c} for c in charges]}
    return campaign_of(raw, handbook, where="x.toml")


def test_finished_parts_teach_every_mould_of_their_resin(handbook) -> None:
    measured = [{"mass": "845 g", "side": "28.8 cm", "mould": "300 mm"}]
    taught = Toolbox(handbook, _with_parts(handbook, {"id": "a", "part": measured}, {"id": "b"}))
    plain = Toolbox(handbook, _with_parts(handbook, {"id": "a"}, {"id": "b"}))
    for charge in ("a", "b"):
        assert mean_of(taught.plans[charge].charge_g) < mean_of(plain.plans[charge].charge_g)
    again = campaign_of(taught.campaign.model_dump(mode="json"), handbook, where="again")
    assert again == taught.campaign


def test_an_unpressed_part_teaches_nothing(handbook) -> None:
    campaign = _with_parts(handbook, {"id": "a", "pressed": False, "part": [{"mass": "700 g"}]})
    assert spec_of("a", campaign).parts == ()


@pytest.mark.parametrize(
    ("part", "sentence"),
    [
        ({"side": "29 cm"}, "side and mould together"),
        ({"mass": "0"}, "above 0 g"),
        ({"side": "x"}, "a length"),
    ],
)
def test_a_part_that_cannot_be_is_named(handbook, part, sentence) -> None:
    with pytest.raises(ManyFaults, match=sentence):
        _with_parts(handbook, {"id": "a", "part": [part]})
