"""The label of a lot: what stands on it, when it is printed, and that a scan finds the lot again."""

from dataclasses import replace
from pathlib import Path

import pytest
from lot_desk import fill
from PIL import Image
from pyzbar.pyzbar import decode as zbar_decode

from intake.cli import main
from intake.desk.desk import Desk
from intake.desk.draw import draw, melt_tested, write_off_lot
from intake.desk.float_shred import float_shred
from intake.desk.labels import bins_to_tag, label_picture, tags_of
from intake.desk.lot_labels import (
    is_labelled,
    label_of,
    lot_label_png,
    lot_labels_of,
    lot_labels_pdf,
    record_lots_printed,
    write_lot_label,
)
from intake.desk.lots import lot_facts, the_lot
from intake.desk.scan import scan_file, sentence
from intake.desk.shred import shred
from intake.desk.undo import undo_last_of_lot, undo_shred
from intake.errors import BadInput, Refusal
from intake.handbook import Handbook
from intake.ledger.checks import state_findings
from intake.table.bins.melt_test import Bend, MeltTest, Peel, Smell, Specks
from intake.table.labels.payload import LabelKind, read_payload
from intake.table.resins import ResinId
from intake.words import Words

SHARP = MeltTest(smell=Smell.SHARP, specks=Specks.NONE, peel=Peel.NO, bend=Bend.BENDS)


@pytest.fixture
def lot(desk: Desk) -> Desk:
    """A desk with one lot of 178 g and one open bin."""
    fill(desk, [62.0, 60.0, 64.0])
    shred(desk, "QT-01", 178.0)
    fill(desk, [30.0])
    return desk


def test_a_label_says_what_the_lot_is(lot: Desk) -> None:
    label = label_of(lot, "qt-l01")
    assert (label.lot_id, label.bin_id, label.resin, label.code) == ("QT-L01", "QT-01", "PE-HD", 2)
    assert label.net_g.low < label.net_g.mean == 178.0 < label.net_g.high
    assert label.purity_share == lot_facts(lot, the_lot(lot, "QT-L01")).purity
    assert label.window == lot.handbook.melts.oven_window(ResinId("PE-HD"))
    assert label.edition == lot.handbook.edition
    assert len(label.cautions) == 2
    assert label.payload.kind is LabelKind.LOT
    assert label.payload.ids == ("QT-L01", "QT-01")
    assert len(label.payload.text.encode("ascii")) <= 74


def test_what_a_bath_and_a_charge_took_is_gone_from_the_next_label(lot: Desk) -> None:
    first = label_of(lot, "QT-L01")
    float_shred(lot, "QT-L01", 3.0)
    draw(lot, "QT-L01", "slat", 100.0)
    second = label_of(lot, "QT-L01")
    assert second.net_g.mean == 75.0
    assert second.purity_share.mean >= first.purity_share.mean
    assert second.date == first.date


def test_a_lot_that_failed_its_test_melt_has_no_oven_window(lot: Desk) -> None:
    melt_tested(lot, "QT-L01", SHARP)
    assert label_of(lot, "QT-L01").window is None


@pytest.mark.parametrize("lot_id", ["QT-L09", "", "QT-01"])
def test_a_lot_that_is_not_there_has_no_label(lot: Desk, lot_id: str) -> None:
    with pytest.raises(BadInput, match="one of the lots: QT-L01"):
        label_of(lot, lot_id)


def test_an_empty_lot_has_no_label(lot: Desk) -> None:
    write_off_lot(lot, "QT-L01", "spilled")
    with pytest.raises(Refusal, match="Nothing is left of lot QT-L01"):
        lot_labels_of(lot, ["QT-L01"])


def test_a_shredded_bin_hangs_no_tag_unless_it_is_named(lot: Desk) -> None:
    assert bins_to_tag(lot) == ("QT-02",)
    assert [t.bin_id for t in tags_of(lot)] == ["QT-02"]
    assert [t.bin_id for t in tags_of(lot, ["qt-01"])] == ["QT-01"]


@pytest.mark.parametrize("stock", ["single", "roll-58", "a4-3x8"])
def test_another_reader_finds_the_lot_on_every_stock(
    lot: Desk, words: Words, tmp_path: Path, stock: str
) -> None:
    # zbar, a decoder that is not ours
    path = tmp_path / "l.png"
    path.write_bytes(lot_label_png(lot, "QT-L01", words, stock=stock))
    texts = [r.data.decode("ascii") for r in zbar_decode(Image.open(path).convert("L"))]
    assert texts == [label_of(lot, "QT-L01").payload.text]
    assert lot_labels_pdf(lot, words, ["QT-L01"], stock=stock).startswith(b"%PDF")


def test_a_scan_finds_the_lot_and_says_what_is_left_of_it(lot: Desk, words: Words, tmp_path: Path) -> None:
    write_lot_label(lot, "QT-L01", tmp_path / "l.png", words)
    draw(lot, "QT-L01", "slat", 100.0)
    (seen,) = scan_file(tmp_path / "l.png", lot)
    assert seen.opens
    assert seen.bin is None
    assert seen.lot is not None
    assert (seen.lot.id, seen.lot.bin, seen.lot.left_g) == ("QT-L01", "QT-01", 78.0)
    assert "This table knows lot QT-L01: 78 g left" in sentence(seen, words)


def test_a_label_of_another_table_with_the_same_number_does_not_open_ours(
    lot: Desk, words: Words, tmp_path: Path
) -> None:
    label = label_of(lot, "QT-L01")
    other = replace(label, payload=replace(label.payload, ids=("QT-L01", "QT-07")))
    label_picture(lot, other, words).save(tmp_path / "l.png")
    (seen,) = scan_file(tmp_path / "l.png", lot)
    assert (seen.opens, seen.lot) == (False, None)


def test_a_label_is_recorded_once_for_what_it_says(lot: Desk, words: Words, tmp_path: Path) -> None:
    assert not is_labelled(lot, "QT-L01")
    write_lot_label(lot, "QT-L01", tmp_path / "l.pdf", words)
    record_lots_printed(lot, ["QT-L01", "qt-l01"])
    assert is_labelled(lot, "QT-L01")
    (told,) = the_lot(lot, "QT-L01").labels
    assert (told.lot, told.bin, told.edition) == ("QT-L01", "QT-01", lot.edition)
    assert read_payload(told.payload).payload == label_of(lot, "QT-L01").payload
    assert not lot.state.bins["QT-01"].labels
    float_shred(lot, "QT-L01", 5.0)
    assert not is_labelled(lot, "QT-L01")


@pytest.mark.parametrize("how", [undo_shred, undo_last_of_lot])
def test_a_label_does_not_stand_in_the_way_of_an_undo(lot: Desk, how) -> None:
    record_lots_printed(lot, ["QT-L01"])
    draw(lot, "QT-L01", "slat", 100.0)
    assert undo_last_of_lot(lot, "QT-L01") == "Drawn"
    how(lot, "QT-L01")
    assert not lot.state.lots
    assert len(lot.state.bins["QT-01"].items) == 3
    assert not state_findings(lot.state)


# --- from the command line ---


@pytest.fixture
def ledger(lot: Desk, tmp_path: Path) -> str:
    lot.close()
    return str(tmp_path / "ledger")


@pytest.mark.parametrize(
    ("more", "wanted"),
    [
        ((), {"QT-02"}),
        (("--lot", "qt-l01"), {"QT-L01"}),
        (("--lot", "QT-L01", "--bin", "QT-02"), {"QT-L01", "QT-02"}),
        (("--bin", "QT-01"), {"QT-01"}),
    ],
)
def test_labels_prints_what_is_named(ledger: str, tmp_path: Path, capsys, more, wanted) -> None:
    out = tmp_path / "out.png"
    main(["labels", "--ledger", ledger, *more, "--sheet", "a4-3x8", "--out", str(out)])
    texts = {
        r.data.decode("ascii").split("\n")[1].split()[1] for r in zbar_decode(Image.open(out).convert("L"))
    }
    assert texts == wanted
    assert f"Labels: {len(wanted)}." in capsys.readouterr().out


def test_shred_writes_the_label_or_says_how(ledger: str, tmp_path: Path, capsys) -> None:
    out = tmp_path / "lot.pdf"
    main(["shred", "QT-02", "28 g", "--ledger", ledger, "--label", str(out)])
    assert "Its label is in" in " ".join(capsys.readouterr().out.split())
    assert out.read_bytes().startswith(b"%PDF")
    with Desk.read(Path(ledger), Handbook()) as desk:
        assert len(desk.state.lots["QT-L02"].labels) == 1


def test_shred_says_that_the_label_can_be_printed(ledger: str, capsys) -> None:
    main(["shred", "QT-02", "28 g", "--ledger", ledger])
    assert "intake labels --lot QT-L02" in " ".join(capsys.readouterr().out.split())


def test_a_file_that_is_no_label_stops_the_shredding_before_it(ledger: str, tmp_path: Path, capsys) -> None:
    before = (Path(ledger) / "journal").read_bytes()
    with pytest.raises(SystemExit) as stop:
        main(["shred", "QT-02", "28 g", "--ledger", ledger, "--label", str(tmp_path / "lot.doc")])
    assert stop.value.code == 2
    assert ".pdf or .png" in capsys.readouterr().err
    assert (Path(ledger) / "journal").read_bytes() == before
