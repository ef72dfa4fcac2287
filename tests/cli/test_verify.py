"""`intake verify`: says what is wrong in sentences or JSON, and its exit code says it too."""

import json

import pytest
from ledger_story import STATION, a_day, create

from intake.cli import main


@pytest.fixture
def run(capsys):
    def _run(*args):
        try:
            main(["verify", *map(str, args)])
            code = 0
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return _run


@pytest.fixture
def folder(tmp_path):
    with create(tmp_path / "l") as ledger:
        a_day(ledger, 20)
    return tmp_path / "l"


def hurt(folder, how):
    data = bytearray((folder / "journal").read_bytes())
    if how == "torn":
        del data[-7:]
    if how == "damaged":
        data[700] ^= 1
    (folder / "journal").write_bytes(data)


def test_a_whole_ledger_is_exit_0_and_says_what_cannot_be_seen(run, folder):
    code, out, err = run(folder)
    assert (code, err) == (0, "")
    assert "20 events" in out
    assert "only a copy or another table could tell" in out


@pytest.mark.parametrize(
    ("how", "says"),
    [("torn", "--repair cuts it off"), ("damaged", "Damage at byte "), ("damaged", "Restore a backup")],
)
def test_anything_wrong_is_exit_1_and_told(run, folder, how, says):
    hurt(folder, how)
    code, out, _ = run(folder)
    assert code == 1
    assert says in out


def test_repair_cuts_the_tail_keeps_it_and_ends_well(run, folder):
    hurt(folder, "torn")
    code, out, _ = run(folder, "--repair")
    assert code == 0
    assert "its bytes are kept in cut-" in out
    assert run(folder)[0] == 0


@pytest.mark.parametrize("how", ["whole", "torn", "damaged"])
def test_json_is_one_document_with_the_same_verdict(run, folder, how):
    hurt(folder, how)
    code, out, err = run(folder, "--json")
    found = json.loads(out)
    assert err == ""
    assert found["ok"] == (how == "whole") == (code == 0)
    assert (found["first_bad_byte"] is not None) == (how == "damaged")
    assert (found["torn"] is not None) == (how == "torn")
    assert found["station"] == STATION
    assert found["good_bytes"] <= found["bytes"]
    assert set(found["stations"]) == {STATION}


def test_json_after_a_repair_names_the_file_with_the_cut_bytes(run, folder):
    hurt(folder, "torn")
    code, out, _ = run(folder, "--json", "--repair")
    torn = json.loads(out)["torn"]
    assert code == 0
    assert (folder / torn["kept_in"]).stat().st_size == torn["bytes"]


def test_many_findings_are_cut_short_for_people_only(run, tmp_path):
    from ledger_story import received

    with create(tmp_path / "l") as ledger:
        ledger.append([received(f"a{n}", gross_g=1.0, tare_g=2.0) for n in range(30)])
    code, out, _ = run(tmp_path / "l")
    assert code == 1
    assert "And 10 more; --json lists all." in out
    assert len(json.loads(run(tmp_path / "l", "--json")[1])["findings"]) == 30


@pytest.mark.parametrize("extra", [(), ("--json",), ("--repair",)])
def test_where_there_is_no_ledger_it_is_exit_2_and_one_sentence(run, tmp_path, extra):
    code, out, err = run(tmp_path / "none", *extra)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert "a folder that holds a ledger" in err
