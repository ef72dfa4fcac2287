"""The main job from a file: verdicts, masses that add up, files that are whole or not there."""

import csv
import json
from pathlib import Path

import pytest
from desk_helpers import TWO_CHARGES, rows_of

from intake.errors import BadInput, ManyFaults, Refusal
from intake.ledger import Ledger

SHEET = """item,kind,count,mark,tests,colour,closure,residue,gross,weighed
a1,jug,4,2 HDPE,float:water=floats,natural,off,clean,243 g,prepared
a2,beverage bottle,7,1 PET,,clear,on,rinsed,,
a3,blister pack,1,3 PVC,float:water=sinks,clear,none,clean,8 g,prepared
a4,bottle cap,40,,float:water=floats,mixed,none,clean,91 g,prepared
a5,jerrycan,1,2 HDPE,float:water=floats,natural,on,motor-oil,214 g,as-received
"""


def test_every_row_gets_its_verdict(sort_text, tmp_path: Path) -> None:
    sort_text(SHEET)
    rows = rows_of(tmp_path / "out" / "items.csv")
    assert {r["item"]: (r["verdict"], r["resin"]) for r in rows} == {
        "a1": ("accept", "PE-HD"),
        "a2": ("refuse", "PET"),
        "a3": ("refuse", "PVC"),
        "a4": ("hold", "PE-HD"),
        "a5": ("refuse", "PE-HD"),
    }
    assert "motor oil" in rows[4]["reasons"]
    assert "for somebody else" in rows[1]["reasons"]
    assert [r["bin"] for r in rows] == ["QT-01", "", "", "", ""]


def test_the_mass_balance_closes(sort_text, tmp_path: Path) -> None:
    sort_text(SHEET)
    made = json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))
    parts = made["accepted_g"] + made["held_g"] + made["refused_g"] + made["removed_g"]
    assert parts == pytest.approx(made["received_g"], abs=1e-5)
    line = made["balance"]
    second = line["shred_g"] + line["process_loss_g"] + line["not_yet_shredded_g"] + line["unexplained_g"]
    assert second == pytest.approx(made["accepted_g"], abs=1e-5)
    rows = rows_of(tmp_path / "out" / "items.csv")
    assert sum(float(r["received_g"]) for r in rows) == pytest.approx(made["received_g"], abs=0.01)
    assert sum(float(r["net_g"]) for r in rows if r["verdict"] == "accept") == pytest.approx(
        made["accepted_g"], abs=0.01
    )
    assert sum(float(r["shred_g"]) for r in rows) == pytest.approx(made["shred_g"]["mean"], abs=0.01)


def test_a_weighed_crate_of_jugs_is_what_the_scale_said(sort_text, tmp_path: Path) -> None:
    sort_text(
        "kind,count,mark,closure,residue,label_removed,gross,tare,weighed\n"
        "jug,10,2,none,clean,yes,910 g,310 g,prepared\n"
    )
    row = rows_of(tmp_path / "out" / "items.csv")[0]
    assert float(row["net_g"]) == pytest.approx(
        600, rel=0.02
    )  # clean and bare: all body but for a little moisture
    assert float(row["net_low_g"]) < float(row["net_g"]) < float(row["net_high_g"])


def test_caps_of_weighed_jugs_are_not_received_twice(sort_text, tmp_path: Path) -> None:
    head = "item,kind,count,mark,tests,closure,residue,gross,weighed,parent\n"
    jugs = "a1,jug,6,2 HDPE,float:water=floats,on,clean,396 g,as-received,\n"
    caps = "a2,bottle cap,6,2,float:0.93=sinks,none,clean,16 g,prepared,a1\n"
    whole = sort_text(head + jugs, out="whole").report.balance
    parted = sort_text(head + jugs + caps, out="parted", name="parted.csv").report.balance
    assert whole.received_g == pytest.approx(396, abs=1e-6)
    assert parted.received_g == pytest.approx(396, abs=0.01)
    rows = rows_of(tmp_path / "parted" / "items.csv")
    assert [r["parent"] for r in rows] == ["", "a1"]
    assert float(rows[0]["received_g"]) == pytest.approx(380, abs=0.1)


def test_parts_heavier_than_the_whole_are_told_before_anything_is_written(sort_text, tmp_path: Path) -> None:
    text = (
        "item,kind,closure,gross,weighed,parent\n"
        "a1,jug,on,66 g,as-received,\n"
        "a2,bottle cap,none,70 g,prepared,a1\n"
    )
    with pytest.raises(ManyFaults, match="row 2: Parts split off"):
        sort_text(text)
    assert not (tmp_path / "out" / "items.csv").exists()
    assert not (tmp_path / "out" / "ledger").exists()


def test_a_bad_row_stops_the_sheet_and_nothing_is_written(sort_text, tmp_path: Path) -> None:
    with pytest.raises(ManyFaults) as caught:
        sort_text(SHEET + "a6,jug,-2,,,,,,,\na7,jug,1,,,,,,12 parsec,prepared\n")
    assert len(caught.value.findings) == 2
    assert not (tmp_path / "out").exists()


def test_with_skip_bad_the_good_rows_go_on_and_the_bad_are_listed(sort_text, tmp_path: Path) -> None:
    done = sort_text(SHEET + "a6,jug,-2,,,,,,,\n", skip_bad=True)
    assert (done.new, len(done.bad)) == (5, 1)
    (rejected,) = rows_of(tmp_path / "out" / "rejected.csv")
    assert (rejected["sheet_row"], rejected["item"], rejected["count"]) == ("7", "a6", "'-2")
    assert "a whole number from 1" in rejected["fault"]


def test_a_ledger_that_exists_is_never_replaced(sort_text, tmp_path: Path) -> None:
    sort_text(SHEET)
    before = (tmp_path / "out" / "ledger" / "journal").read_bytes()
    with pytest.raises(BadInput, match=r"Output folder.*out.ledger.*--ledger"):
        sort_text(SHEET)
    assert (tmp_path / "out" / "ledger" / "journal").read_bytes() == before


def test_the_same_sheet_run_again_adds_nothing(sort_text, tmp_path: Path) -> None:
    first = sort_text(SHEET)
    with Ledger.open(first.ledger) as ledger:
        before = [e.id for e in ledger.events()]
    again = sort_text(SHEET, out="again", ledger=first.ledger)
    assert (again.new, again.known) == (0, 5)
    assert again.report == first.report
    with Ledger.open(first.ledger) as ledger:
        assert [e.id for e in ledger.events()] == before


def test_a_sheet_that_grew_adds_only_what_is_new_to_its_content(sort_text) -> None:
    # another content is another sheet: its ids must be new
    first = sort_text(SHEET)
    with pytest.raises(ManyFaults, match="an id that no item in the ledger has"):
        sort_text(SHEET + "a6,jug,1,,,,,,,\n", out="again", ledger=first.ledger, name="more.csv")
    more = sort_text("item,kind,mark\nb1,jug,2\n", out="again", ledger=first.ledger, name="more.csv")
    assert (more.new, more.report.rows) == (1, 6)


def test_rows_without_ids_from_two_sheets_stand_side_by_side(sort_text) -> None:
    first = sort_text("kind,mark\njug,2\n")
    second = sort_text("kind,mark\ntub,5\n", out="again", ledger=first.ledger, name="more.csv")
    assert second.report.rows == 2


def test_two_charges_collect_side_by_side(sort_text, tmp_path: Path) -> None:
    text = (
        "item,kind,count,mark,tests\n"
        "a1,jug,9,2 HDPE,float:water=floats\n"
        "a2,margarine tub,9,5 PP,float:water=floats\n"
    )
    done = sort_text(text, campaign=TWO_CHARGES)
    assert {b.resin for b in done.report.bins} == {"PE-HD", "PP"}
    assert {c.resin: c.shred_g.mean > 0 for c in done.report.charges} == {"PE-HD": True, "PP": True}


def test_two_charges_of_one_resin_are_filled_in_order(sort_text) -> None:
    twice = (
        'name = "x"\n[[charge]]\nid = "a"\nresin = "PE-HD"\ncavity = "500 cm3"\n'
        '[[charge]]\nid = "b"\nresin = "PE-HD"\ncavity = "500 cm3"\n'
    )
    done = sort_text("kind,count,mark,tests\njug,15,2 HDPE,float:water=floats\n", campaign=twice)
    first, second = done.report.charges
    assert second.shred_g.mean == pytest.approx(first.shred_g.mean - first.charge_g.mean, abs=0.5)
    assert first.probability_met > second.probability_met


def test_text_that_a_spreadsheet_would_run_is_disarmed(sort_text, tmp_path: Path) -> None:
    sort_text('item,kind,note\n=1+1,jug,"=cmd|calc"\n')
    row = rows_of(tmp_path / "out" / "items.csv")[0]
    assert (row["item"], row["note"]) == ("'=1+1", "'=cmd|calc")


def test_a_full_disk_is_a_sentence_and_the_old_file_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from intake.desk import files

    (tmp_path / "items.csv").write_bytes(b"old")

    def full(_fd: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files.os, "fsync", full)
    with pytest.raises(Refusal, match=r"items.csv could not be written: No space left on device"):
        files.write_file(tmp_path / "items.csv", b"new")
    assert (tmp_path / "items.csv").read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["items.csv"]


def test_csv_is_plain(sort_text, tmp_path: Path) -> None:
    sort_text(SHEET)
    with (tmp_path / "out" / "bins.csv").open(encoding="utf-8", newline="") as stream:
        header, *rows = csv.reader(stream)
    assert header[:4] == ["bin", "resin", "colour", "flow"]
    assert [r[0] for r in rows] == ["QT-01"]
