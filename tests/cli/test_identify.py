"""`intake identify`: its JSON keeps the schema, its words are whole, and what cannot be is one sentence."""

import json
from pathlib import Path

import jsonschema
import pytest

from intake.cli import main

SCHEMA = json.loads(
    (Path(__file__).parents[2] / "shared" / "identification.schema.json").read_text(encoding="utf-8")
)


@pytest.fixture
def run(capsys, monkeypatch, handbook):
    monkeypatch.setattr("intake.handbook.Handbook", lambda: handbook)  # read once, not for every call

    def _run(*args):
        try:
            main(["identify", *args])
            code = 0
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return _run


def document(run, *args):
    code, out, err = run(*args, "--json")
    assert (code, err) == (0, "")
    value = json.loads(out)
    jsonschema.validate(value, SCHEMA)
    return value


WEIGHED = "dry=62.1g,hanging=-2.6g,bath=water,temperature=20°C,resolution=0.1g"


@pytest.mark.parametrize(
    ("args", "resin", "least"),
    [
        pytest.param((), "PP", 0.1, id="nothing known"),
        pytest.param(("--kind", "jug"), "PE-HD", 0.9, id="a kind alone"),
        pytest.param(
            ("--kind", "jug", "--mark", "2 HDPE", "--float", "water=floats"), "PE-HD", 0.99, id="a jug"
        ),
        pytest.param(
            ("--kind", "bottle cap", "--float", "water=floats", "--float", "0.93=sinks"),
            "PE-HD",
            0.95,
            id="a cap",
        ),
        pytest.param(("--density", "0.955±0.004"), "PE-HD", 0.9, id="a density"),
        pytest.param(("--density", "0,955 +/- 0,004"), "PE-HD", 0.9, id="a density with commas"),
        pytest.param(("--weighed", WEIGHED), "PE-HD", 0.9, id="a hanging weighing"),
        pytest.param(
            ("--kind", "cd case", "--cue", "crease=snaps", "--cue", "sound=rings"),
            "PS",
            0.8,
            id="short words",
        ),
        pytest.param(
            ("--kind", "pipe", "--float", "SALT-1.19=sinks", "--mark", "PVC"), "PVC", 0.9, id="a bath by name"
        ),
    ],
)
def test_the_document_keeps_its_schema_and_says_the_resin(run, args, resin, least):
    value = document(run, *args)
    assert value["most_likely"] == resin
    assert value["probabilities"][resin] >= least
    assert sum(value["probabilities"].values()) == pytest.approx(1.0, abs=1e-6)


def test_a_hanging_weighing_becomes_the_density_of_the_formula(run):
    """ISO 1183-1 method A with water of 0.9982 g/cm3: 62.1 * 0.99820 / 64.7 = 0.9581."""
    (piece,) = document(run, "--weighed", WEIGHED)["evidence"]
    value, doubt = (float(x) for x in piece["result"].split("±"))
    assert value == pytest.approx(62.1 * 0.99820 / 64.7, abs=2e-4)
    assert 0.0005 < doubt < 0.003


def test_every_piece_of_evidence_is_shown_with_its_likelihoods(run):
    args = ("--mark", "2", "--mark-how", "sticker", "--float", "water=floats", "--cue", "nail_scratch=faint")
    value = document(run, "--kind", "tub", *args)
    assert [(e["name"], e["result"]) for e in value["evidence"]] == [
        ("mark", "2"),
        ("float:water", "floats"),
        ("nail_scratch", "faint_mark"),
    ]
    assert all(set(e["log_likelihood"]) == set(value["probabilities"]) for e in value["evidence"])


def test_a_conflict_is_a_sentence_and_its_values(run):
    value = document(run, "--kind", "tub", "--mark", "PP", "--float", "water=sinks")
    assert "PP" in value["conflict"]
    assert "filler" in value["conflict"]
    assert value["conflicts"][0]["values"] == {"bath": "water", "mark": "PP"}
    assert document(run, "--kind", "tub", "--mark", "PP", "--float", "water=floats")["conflict"] is None


def test_a_clear_blister_is_sent_to_a_second_look(run):
    value = document(run, "--kind", "blister", "--float", "water=sinks", "--cue", "transparency=clear")
    assert value["second_look"]["code"] == "second_look_pvc"


@pytest.mark.parametrize(
    ("args", "there", "missing"),
    [
        pytest.param(
            (), {"float:water", "float:salt-1.08", "density"}, {"float:alcohol", "burn_smell"}, id="usual kit"
        ),
        pytest.param(("--kit", "water"), {"float:water"}, {"density"}, id="water alone"),
        pytest.param(
            ("--kit", "water,alcohol-bath", "--kit", "kitchen-scale"),
            {"float:alcohol", "density"},
            {"float:sugar"},
            id="a longer list",
        ),
        pytest.param(
            ("--kit", "burner", "--hot-tests"), {"crease"}, {"burn_smell"}, id="hot, but could be PVC"
        ),
        pytest.param(
            ("--kind", "jug", "--mark", "2", "--float", "water=floats", "--kit", "burner", "--hot-tests"),
            {"burn_smell"},
            set(),
            id="hot, and surely PE-HD",
        ),
    ],
)
def test_the_kit_decides_what_is_proposed(run, args, there, missing):
    tests = {t["test"] for t in document(run, *args)["next_tests"]}
    assert there <= tests
    assert not missing & tests


def test_people_read_a_short_table_the_conflict_and_the_next_test(run):
    code, out, err = run("--kind", "tub", "--mark", "PP", "--float", "water=sinks")
    text = " ".join(out.split())
    assert (code, err) == (0, "")
    assert "Resin Chance PP" in text
    assert "check for a separate part, a filler" in text
    assert "Next: " in text
    assert "{" not in text


def test_a_caution_stands_before_the_test_it_belongs_to(run, words):
    """With water as the whole kit and all looks had, the float test comes first."""
    looks = (
        "transparency=unsure",
        "stiffness=unsure",
        "crease=unsure",
        "feel=unsure",
        "nail_scratch=unsure",
        "sound=unsure",
        "forming_mark=unsure",
        "living_hinge=unsure",
    )
    _, out, _ = run("--kind", "tub", "--kit", "water", *(x for look in looks for x in ("--cue", look)))
    text = " ".join(out.split())
    caution = " ".join(words("caution.float-water.text").split())
    assert text.index(caution) < text.index("Next: ")


@pytest.mark.parametrize(
    "args",
    [
        pytest.param(("--density", "12"), id="a density no plastic has"),
        pytest.param(("--density", "-0.9"), id="a negative density"),
        pytest.param(("--density", "nan"), id="no number"),
        pytest.param(("--density", "heavy"), id="a word"),
        pytest.param(("--float", "water"), id="no outcome"),
        pytest.param(("--float", "water=swims"), id="no such outcome"),
        pytest.param(("--float", "0.2=floats"), id="a bath lighter than any"),
        pytest.param(("--float", "7=sinks"), id="a bath denser than any"),
        pytest.param(("--float", "broth=sinks"), id="no such bath"),
        pytest.param(("--cue", "nail_scrach=no_mark"), id="a cue misspelt"),
        pytest.param(("--cue", "nail_scratch=deep"), id="no such level"),
        pytest.param(("--cue", "nail_scratch"), id="no level"),
        pytest.param(("--kind", "spaceship"), id="no such kind"),
        pytest.param(("--kit", "laboratory"), id="no such kit"),
        pytest.param(("--mark", " "), id="an empty mark"),
        pytest.param(("--weighed", "dry=62g"), id="a weighing without its hanging mass"),
        pytest.param(("--weighed", "dry=62g,hanging=70g"), id="heavier in water than in air"),
        pytest.param(("--weighed", "dry=62g,hanging=1g,hanging=2g"), id="a part twice"),
        pytest.param(("--weighed", "dry=62g,hanging=1g,colour=red"), id="a part nobody knows"),
        pytest.param(("--weighed", "dry=62g,hanging=1g,bath=soup"), id="weighed in soup"),
        pytest.param(("--weighed", "dry=inf,hanging=1g"), id="an endless mass"),
    ],
)
def test_what_cannot_be_is_one_sentence_and_exit_2(run, args):
    code, out, err = run(*args, "--json")
    assert (code, out) == (2, "")
    assert "Expected" in err
    assert "Traceback" not in err
    assert len(err.strip().splitlines()) == 1
