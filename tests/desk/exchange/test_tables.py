"""What the tables of an export say about a day at the table."""

import csv
import json

import pytest
from ledger_story import create, judged, opened, received, shredded

from intake.desk.exchange import Format, export
from intake.desk.exchange.columns import TABLES
from intake.ledger import Ledger
from intake.ledger.events import (
    Drawn,
    EvidenceAdded,
    Floated,
    LotAdjusted,
    Placed,
    PrepDone,
    TakenBack,
    Undone,
    WrittenOff,
)
from intake.table.identify.evidence import Mark
from intake.table.item import Closure, Label, Weighing


def _rows(folder, name):
    with (folder / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.fixture
def told(tmp_path, handbook):
    """Record acts, export them, and read a table."""

    def run(*bodies):
        with create(tmp_path / "ledger") as ledger:
            for body in bodies:
                ledger.append([body])
        export(tmp_path / "ledger", tmp_path / "out", handbook)
        return lambda name: _rows(tmp_path / "out", name)

    return run


def test_a_move_is_told_from_where_to_where(told) -> None:
    put = Placed(item="a1", bin="QT-01")
    table = told(
        received("a1"), judged("a1"), opened(), put, TakenBack(item="a1", bin="QT-01"), put, shredded()
    )
    moves = [(m["act"], m["from_bin"], m["to_bin"], m["to_lot"]) for m in table("moves")]
    assert moves == [
        ("Placed", "", "QT-01", ""), ("TakenBack", "QT-01", "", ""), ("Placed", "", "QT-01", ""),
        ("Shredded", "QT-01", "", "QT-L01"),
    ]  # fmt: skip


def test_what_was_undone_is_in_no_table_but_among_the_events(told, tmp_path) -> None:
    seen = EvidenceAdded(item="a1", evidence=Mark(text="2"))
    table = told(received("a1"), seen, Undone(event="QT-3f9a1c.2"))
    assert table("evidence") == []
    lines = (tmp_path / "out" / "events.jsonl").read_text(encoding="utf-8").splitlines()
    assert [json.loads(line)["kind"] for line in lines] == ["Received", "EvidenceAdded", "Undone"]


def test_the_mass_of_a_lot_goes_somewhere(told) -> None:
    # common practice, no source: what was weighed = what is gone + what is left
    table = told(
        received("a1"), judged("a1"), opened(), Placed(item="a1", bin="QT-01"), shredded(mass_g=60.0),
        Floated(lot="QT-L01", bath="water", bath_g_cm3=0.998, sinkers_g=1.5),
        Drawn(lot="QT-L01", charge="c1", mass_g=30.0),
        LotAdjusted(lot="QT-L01", mass_g=27.5, reason="again"),
        WrittenOff(reason="spilled", lot="QT-L01", mass_g=2.0),
    )  # fmt: skip
    (lot,) = table("lots")
    gone = sum(float(lot[n]) for n in ("floated_g", "drawn_g", "written_off_g", "adjusted_g"))
    assert float(lot["mass_g"]) == pytest.approx(gone + float(lot["left_g"]))
    lost = {r["what"]: float(r["mass_g"]) for r in table("losses") if r["lot"]}
    assert lost == {"floated": 1.5, "adjusted": 1.0, "written-off": 2.0}
    assert [(m["from_lot"], m["charge"], m["mass_g"]) for m in table("moves") if m["charge"]] == [
        ("QT-L01", "c1", "30.0")
    ]


def test_received_mass_is_net_and_what_comes_off(told) -> None:
    table = told(
        received(
            "a1", count=6, gross_g=396.0, label=Label.PAPER, closure=Closure.ON,
            weighed=Weighing.AS_RECEIVED, kind="jug"
        ),
        judged("a1"),
    )  # fmt: skip
    (item,) = table("items")
    lost = {r["what"]: float(r["mass_g"]) for r in table("losses")}
    off = sum(mass for what, mass in lost.items() if what != "process")
    assert float(item["net_g"]) + off == pytest.approx(396.0, abs=0.01)
    assert float(item["net_g"]) - lost["process"] == pytest.approx(float(item["shred_g"]), abs=0.01)


def test_minutes_of_a_step_stand_in_their_row(told) -> None:
    (row,) = told(received("a1"), PrepDone(item="a1", step="label", minutes=2.5, left_on="partly"))("prep")
    assert (row["step"], row["time_min"], row["left_on"]) == ("label", "2.5", "partly")


@pytest.mark.parametrize(
    "note",
    [
        "=cmd|' /C calc'!A0",
        "n" * 400,
        "🧴♻️",
        "שלום עולם",
        "مرحبا\u200f",
        'a "quoted", b\r\nc\rd',
        "\x00\x1b",
        "'",
        "ünï",
    ],
)
def test_any_note_survives_every_format(note, tmp_path, handbook) -> None:
    from intake.desk.exchange import take

    with create(tmp_path / "one") as ledger:
        ledger.append([received("a1", note=note)])
    for form in Format:
        export(tmp_path / "one", tmp_path / form, handbook, form)
        descriptor = tmp_path / form / "datapackage.json"
        content = json.loads(descriptor.read_text(encoding="utf-8"))
        for resource in content["resources"][:-1]:
            resource["hash"] = "sha256:0"
        descriptor.write_text(json.dumps(content), encoding="utf-8")
        take(tmp_path / form, tmp_path / f"again-{form}", handbook)
        with Ledger.open(tmp_path / f"again-{form}") as again:
            assert again.state.items["a1"].facts.note == note


@pytest.mark.parametrize("table", TABLES, ids=lambda t: t.name)
def test_amounts_carry_their_unit(table) -> None:
    # the house's rule: the unit is the last part of a number's name
    bare = {c.name for c in table.columns if c.type == "number"}
    units = ("_g", "_l", "_min", "_g_cm3")
    assert {n for n in bare if not n.endswith(units)} <= {"probability"}


def test_a_table_without_a_campaign_can_leave_too(told) -> None:
    assert [r["item"] for r in told(received("a1"))("items")] == ["a1"]
