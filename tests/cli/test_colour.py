"""`intake colour`: a proposal in words and JSON, the preview of a bin, and what cannot be read."""

import json
from pathlib import Path

import jsonschema
import pytest
from drawn_items import LAMP, WOOD, photo
from labels_table import table
from spoilt_pictures import SPOILT

from intake.cli import main
from intake.desk.colour import hex_of, mix_with
from intake.desk.desk import Desk
from intake.desk.sort_file import sort_file
from intake.errors import UnknownName
from intake.table.bins.light import light_of, mixed, rgb_of

SCHEMA = json.loads((Path(__file__).parents[2] / "shared" / "colour.schema.json").read_text(encoding="utf-8"))
BLUE = (42, 98, 181)


@pytest.fixture
def run(capsys):
    def _run(*args):
        try:
            main(["colour", *map(str, args)])
            code = 0
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, " ".join(said.out.split()), said.err

    return _run


@pytest.fixture
def blue(tmp_path):
    photo(BLUE, LAMP, WOOD, paper_box=(0, 0, 480, 50), exposure=0.9).save(tmp_path / "jug.png")
    return tmp_path / "jug.png"


def test_a_photo_gets_a_proposal(run, blue) -> None:
    code, out, err = run(blue)
    assert (code, err) == (0, "")
    assert "Colour group: blue." in out
    assert "white paper at the edge" in out
    document = json.loads(run(blue, "--json")[1])
    jsonschema.validate(document, SCHEMA)
    assert (document["group"], document["bin"]) == ("blue", None)


def test_without_paper_the_light_is_not_corrected(run, blue) -> None:
    document = json.loads(run(blue, "--no-paper", "--json")[1])
    jsonschema.validate(document, SCHEMA)
    assert document["paper"] is None
    assert "photo_no_paper" in document["reasons"]


@pytest.mark.parametrize(
    "args", [("--bin", "QT-01"), ("--mass", "40 g"), ("--bin", "QT-01", "--mass", "40 g")]
)
def test_a_preview_needs_ledger_bin_and_mass(run, blue, args) -> None:
    code, _, err = run(blue, *args)
    assert code == 2
    assert "--ledger, --bin and --mass together" in err


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("QT-99", "40 g"), "Bin: cannot use 'QT-99'"), (("QT-01", "-3 g"), "--mass"),
        (("QT-01", "nan"), "--mass"), (("QT-01", "blue"), "--mass"),
    ],
)  # fmt: skip
def test_a_preview_of_what_is_not_there_is_told(run, blue, tmp_path, handbook, args, said) -> None:
    folder = table(tmp_path / "l", handbook, 2)
    code, out, err = run(blue, "--ledger", folder, "--bin", args[0], "--mass", args[1])
    assert (code, out) == (2, "")
    assert said in err


def test_the_first_item_of_a_bin_is_its_colour(run, blue, tmp_path, handbook) -> None:
    folder = table(tmp_path / "l", handbook, 2)
    document = json.loads(run(blue, "--ledger", folder, "--bin", "qt-01", "--mass", "40 g", "--json")[1])
    jsonschema.validate(document, SCHEMA)
    assert document["bin"]["after"] == document["body"]
    assert document["bin"]["before"] is None
    assert "Bin QT-01 would look like" in run(blue, "--ledger", folder, "--bin", "QT-01", "--mass", "40 g")[1]


SHEET = """kind,count,mark,tests,colour,closure,residue,gross,weighed
milk bottle,3,2 HDPE,float:water=floats,natural,none,clean,150 g,prepared
milk bottle,2,2 HDPE,float:water=floats,natural,none,clean,100 g,prepared
"""


def test_a_bin_is_mixed_by_mass_in_linear_light(tmp_path, handbook, words) -> None:
    (tmp_path / "bag.csv").write_text(SHEET, encoding="utf-8")
    (tmp_path / "c.toml").write_text(
        'name = "x"\nletters = "QT"\n[[charge]]\nid = "s"\nresin = "PE-HD"\ncavity = "1 L"\n',
        encoding="utf-8",
    )
    sort_file(tmp_path / "bag.csv", tmp_path / "c.toml", tmp_path / "out", handbook, words)
    with Desk.read(tmp_path / "out" / "ledger", handbook) as desk:
        bin_id = next(b for b, state in desk.state.bins.items() if state.items)
        mass_g = sum(
            float(desk.numbers(i).yields.shred_g.nominal_value) for i in desk.state.bins[bin_id].items
        )
        mix = mix_with(desk, bin_id, light_of(BLUE), mass_g)
        with pytest.raises(UnknownName):
            mix_with(desk, "QT-77", light_of(BLUE), 10.0)
    natural = handbook.colours.swatches["natural"]
    half = rgb_of(mixed([(light_of(natural), 1.0), (light_of(BLUE), 1.0)]))
    assert mix.before == natural
    assert mix.after == pytest.approx(half, abs=1)
    assert mix.delta_e is not None
    assert mix.delta_e > 10.0
    assert mix.unknown_g == 0.0


@pytest.mark.parametrize("name", SPOILT)
def test_a_spoilt_picture_is_one_sentence(run, tmp_path, name) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(SPOILT[name][0])
    code, out, err = run(path)
    assert (code, out) == (2, "")
    assert err.startswith("Picture: cannot use 'photo.jpg'. Expected")


@pytest.mark.parametrize("rgb", [(0, 0, 0), (255, 255, 255), (143, 187, 224)])
def test_a_colour_is_written_as_people_write_it(rgb) -> None:
    assert bytes.fromhex(hex_of(rgb)[1:]) == bytes(rgb)
