"""`cues.toml`: every row is whole, and a faulty one is told by name."""

import copy
import tomllib

import pytest

from intake.errors import HandbookGap
from intake.handbook import cues as cue_file
from intake.handbook.figures import RawTable
from intake.handbook.locate import resources

DATA = tomllib.loads((resources() / "cues.toml").read_text(encoding="utf-8"))


@pytest.fixture
def read(handbook, monkeypatch):
    def _read(change):
        data = copy.deepcopy(DATA)
        change(data)
        table = RawTable(name="cues.toml", edition="2026-11", data=data)
        monkeypatch.setattr(cue_file, "raw_table", lambda _name: table)
        return cue_file.read_cues(handbook.resins, handbook.kinds)

    return _read


def test_every_resin_has_a_row_in_every_cue_and_its_ways_fill_it(read, handbook):
    table = read(lambda _data: None)
    assert len(table.variants) == len(handbook.resins.judged)
    for ways in table.variants:
        assert sum(v.share for v in ways) == pytest.approx(1.0)
        assert ways[0].name == "plain"
        assert all(v.sd_g_cm3 > 0.0 for v in ways)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        pytest.param(
            lambda d: d["cues"]["sound"]["likelihood"].pop("PP"), "sound, PP", id="a resin without a row"
        ),
        pytest.param(
            lambda d: d["cues"]["sound"]["likelihood"].update(PP=[0.5, 0.5, 0.5, 0.5]),
            "sum to 1",
            id="a row over 1",
        ),
        pytest.param(
            lambda d: d["cues"]["sound"]["likelihood"].update(PP=[1.5, -0.5, 0.0, 0.0]),
            "sound, PP",
            id="a negative share",
        ),
        pytest.param(
            lambda d: d["cues"]["crease"].update(why=""), "a one-line why", id="a judgement without a why"
        ),
        pytest.param(
            lambda d: d["cues"]["crease"].update(basis="read"), "a source", id="read, but no source"
        ),
        pytest.param(lambda d: d["cues"]["crease"].update(kit=["laser"]), "kit item", id="a kit nobody has"),
        pytest.param(
            lambda d: d["cues"]["crease"].update(called={"bends": "bent"}),
            "crease, bends",
            id="a word for no level",
        ),
        pytest.param(
            lambda d: d["cues"]["forming_mark"].update(skip_kinds=["ship"]),
            "a kind of kinds.toml",
            id="no such kind",
        ),
        pytest.param(
            lambda d: d["baths"]["water"]["minutes"].update(low=0, typical=0),
            "minutes above 0",
            id="a free bath",
        ),
        pytest.param(
            lambda d: d["density"]["PP"]["filled"]["share"].update(typical=1.0, high=1.0),
            "shares below 1",
            id="nothing left plain",
        ),
    ],
)
def test_a_faulty_row_is_told_by_name(read, change, told):
    with pytest.raises(HandbookGap, match=told):
        read(change)


def test_all_faults_are_told_at_once(read):
    def spoil(data):
        data["cues"]["sound"]["likelihood"].pop("PP")
        data["cues"]["crease"]["kit"] = ["laser"]

    with pytest.raises(HandbookGap) as gap:
        read(spoil)
    assert "sound, PP" in str(gap.value)
    assert "laser" in str(gap.value)


@pytest.mark.parametrize(
    ("cue", "said", "level"),
    [
        pytest.param("crease", "whitens", "white_line_whole", id="a shorter word"),
        pytest.param("crease", "White-Line Whole", "white_line_whole", id="its own words, written freely"),
        pytest.param("nail_scratch", " FAINT ", "faint_mark", id="case and blanks"),
        pytest.param("sound", "unsure", "unsure", id="nobody was sure"),
        pytest.param("sound", "whistles", None, id="a word nobody knows"),
    ],
)
def test_a_level_is_known_by_the_words_people_use(handbook, cue, said, level):
    assert handbook.identify.cues.cues[cue].level(said) == level
