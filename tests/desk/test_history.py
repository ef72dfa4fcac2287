"""The whole history of an item, a bin or a lot, with what was undone and what was renamed; and undoing by name."""

import json
from pathlib import Path

import jsonschema
import pytest

from intake.cli import main
from intake.desk.campaign import Campaign
from intake.desk.copies import merge_into
from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.draw import draw
from intake.desk.history import histories, line_text
from intake.desk.labels import record_printed, tag_of
from intake.desk.observe import add_mark
from intake.desk.place import place_in_bin
from intake.desk.prepare import weigh
from intake.desk.receive import receive
from intake.desk.scan import _looked_up, read_text
from intake.desk.shred import shred
from intake.desk.undo import undo_item, undo_last, undo_named
from intake.errors import BadInput, Refusal, UnknownName
from intake.handbook import Handbook
from intake.ledger.events import KINDS
from intake.table.identify.evidence import Cue, Density, FloatTest, Mark
from intake.words import Words

SHARED = Path(__file__).resolve().parents[2] / "shared"
KINDS_SPLIT = {
    "EvidenceAdded": [cls.__name__ for cls in (Mark, FloatTest, Density, Cue)],
    "Judged": ["resin", "placing"],
    "WrittenOff": ["bin", "lot"],
}


def placed(desk: Desk, colour: str = "natural") -> str:
    item = receive(desk, "jug", colour=colour)
    add_mark(desk, item, "2 HDPE")
    decide(desk, item)
    weigh(desk, item, 60.0)
    place_in_bin(desk, item)
    return item


def told(desk: Desk, name: str, words: Words) -> list[str]:
    (one,) = histories(desk.ledger, name)
    return [line_text(line, words) for line in one.lines]


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_event_has_its_words(kind: str, words: Words) -> None:
    keys = [f"history.{kind}.{part}" for part in KINDS_SPLIT.get(kind, [])] or [f"history.{kind}"]
    assert all(key in words.texts for key in keys)


def test_an_item_from_hand_to_charge(desk: Desk, words: Words) -> None:
    item = placed(desk)
    lot = shred(desk, "QT-01", 58.0).lot
    draw(desk, lot, "slat", 20.0, by="Ada")
    lines = told(desk, item, words)
    for text in (
        "received: 1 × jug",
        "Mark read: 2 HDPE",
        "Judged: accept, PE-HD",
        "went into bin QT-01",
        f"lot {lot}",
    ):
        assert sum(text in line for line in lines) == 1, text
    assert any("20 g of lot QT-L01 went into charge slat. By Ada." in line for line in told(desk, lot, words))
    assert "{" not in "".join(lines + told(desk, lot, words) + told(desk, "QT-01", words))


def test_what_was_undone_is_told_and_marked(desk: Desk, words: Words) -> None:
    item = placed(desk)
    undo_last(desk, item)
    lines = told(desk, item, words)
    assert sum("(Undone: it does not count.)" in line for line in lines) == 2  # the verdict and the placing
    assert sum("was undone." in line for line in lines) == 2
    undo_item(desk, item)
    (one,) = histories(desk.ledger, item)
    assert one.of.what == "undone"
    assert "received: 1 × jug" in line_text(one.lines[0], words)


@pytest.mark.parametrize("name", ["nobody", "", "QT-77"])
def test_a_name_nobody_knows_is_told(desk: Desk, name: str) -> None:
    placed(desk)
    with pytest.raises(UnknownName, match="Name"):
        histories(desk.ledger, name)


# --- two tables that merged ---


@pytest.fixture
def merged(tmp_path: Path, handbook: Handbook, campaign: Campaign) -> tuple[Path, str, str]:
    """The folder of a table that took in another one which had used the same bin id; the texts of both tags."""
    texts = []
    for name, colour in (("a", "natural"), ("b", "black")):
        with Desk.open(tmp_path / name, handbook, campaign) as desk:
            placed(desk, colour)
            texts.append(tag_of(desk, "QT-01").payload.text)
            record_printed(desk, ["QT-01"])
    merge_into(tmp_path / "a", tmp_path / "b")
    return tmp_path / "a", texts[0], texts[1]


def test_an_old_label_still_leads_to_its_own_bin(merged: tuple[Path, str, str], handbook: Handbook) -> None:
    folder, first, second = merged
    with Desk.read(folder, handbook) as desk:
        renamed = next(b for b in desk.state.bins if b.startswith("QT-01~"))
        found = [_looked_up(read_text(text), desk) for text in (first, second)]
        assert [scan.bin.id for scan in found if scan.bin] == ["QT-01", renamed]


def test_a_label_that_nobody_recorded_names_both_bins(
    merged: tuple[Path, str, str], handbook: Handbook
) -> None:
    from intake.table.labels.payload import LabelKind, Payload

    with Desk.read(merged[0], handbook) as desk:
        text = Payload(kind=LabelKind.TAG, ids=("QT-01",), line="QT-01 written by hand").text
        scan = _looked_up(read_text(text), desk)
        assert (scan.bin, scan.opens) == (None, False)
        assert scan.reason is not None
        assert scan.reason.code == "scan_name_twice"
        assert "QT-01~" in str(dict(scan.reason.values)["names"])


def test_the_history_of_a_name_given_out_twice_is_that_of_both(
    merged: tuple[Path, str, str], handbook: Handbook
) -> None:
    with Desk.read(merged[0], handbook) as desk:
        both = histories(desk.ledger, "QT-01")
        assert [one.of.id.partition("~")[0] for one in both] == ["QT-01", "QT-01"]
        stations = [{line.event.station for line in one.lines} for one in both]
        assert stations[0].isdisjoint(stations[1])
        renamed = both[1].of.id
        assert [one.of.id for one in histories(desk.ledger, renamed)] == [renamed]


# --- undo by name ---


def test_undo_finds_the_item_the_lot_and_the_bin(desk: Desk) -> None:
    item = placed(desk)
    lot = shred(desk, "QT-01", 58.0).lot
    with pytest.raises(Refusal):
        undo_named(desk, item)
    draw(desk, lot, "slat", 20.0)
    assert [undo_named(desk, lot), undo_named(desk, lot), undo_named(desk, item)] == [
        "Drawn",
        "Shredded",
        "Placed",
    ]
    assert desk.state.items[item].bin is None


@pytest.mark.parametrize("name", ["qt-01", " QT-01 "])
def test_a_name_that_means_two_bins_is_not_guessed(
    merged: tuple[Path, str, str], handbook: Handbook, name: str
) -> None:
    with Desk.open(merged[0], handbook) as desk, pytest.raises(BadInput, match="one of QT-01, QT-01~"):
        undo_named(desk, name)


# --- the commands ---


def _json(capsys: pytest.CaptureFixture[str], *args: object) -> dict:
    main([*map(str, args), "--json"])
    return json.loads(capsys.readouterr().out)


def test_the_commands_speak_json_that_fits_their_schemas(
    merged: tuple[Path, str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = _json(capsys, "history", "QT-01", "--ledger", merged[0])
    jsonschema.validate(found, json.loads((SHARED / "history.schema.json").read_text()))
    made = _json(capsys, "merge", tmp_path / "b", merged[0])
    jsonschema.validate(made, json.loads((SHARED / "merge.schema.json").read_text()))
    assert made["renamed"]
    assert _json(capsys, "merge", tmp_path / "b", merged[0])["added"] == 0
    kept = _json(capsys, "backup", merged[0], tmp_path / "k")
    assert _json(capsys, "restore", tmp_path / "k", "--ledger", tmp_path / "r")["events"] == kept["events"]


def test_the_commands_speak_in_sentences(
    merged: tuple[Path, str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for args in (
        ["merge", tmp_path / "b", merged[0]], ["merge", tmp_path / "b", merged[0]],
        ["backup", merged[0], tmp_path / "k"], ["restore", tmp_path / "k", "--ledger", tmp_path / "r"],
        ["history", "QT-01", "--ledger", tmp_path / "r"], ["undo", "QT-L01", "--ledger", tmp_path / "r"],
    ):  # fmt: skip
        try:
            main([str(a) for a in args])
        except SystemExit as stop:
            assert (args[0], stop.code) == ("undo", 2)  # noqa: PT017  there is no such lot
    out = capsys.readouterr().out
    for text in (
        "New here: ",
        "is called QT-01~",
        "Nothing new",
        "read again and whole",
        "writes as QT-",
        "Bin QT-01",
    ):
        assert text in out
    assert "{" not in out


def test_a_desk_that_opens_after_a_crash_says_so_on_stderr(
    merged: tuple[Path, str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    with (merged[0] / "journal").open("ab") as file:
        file.write(b"000000")
    main(["bins", "--ledger", str(merged[0]), "--json"])
    said = capsys.readouterr()
    json.loads(said.out)
    assert (
        said.err
        == "At the end of the ledger stands a step that was never confirmed (6 bytes). It does not count.\n"
    )
    main(["merge", str(merged[0]), str(merged[0].parent / "b")])
    assert "was cut off (6 bytes) and is kept in cut-" in capsys.readouterr().err
    main(["bins", "--ledger", str(merged[0]), "--json"])
    assert capsys.readouterr().err == ""
