"""`intake compose` and `intake forecast` on a table with three lots and two bins."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped]
import pytest

from intake.cli import main
from intake.cli.compose import parse_window
from intake.cli.forecast import parse_mix
from intake.desk.campaign import Campaign, campaign_of
from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.draw import draw
from intake.desk.observe import add_mark, add_test
from intake.desk.place import place_in_bin
from intake.desk.prepare import prep_all, weigh
from intake.desk.receive import receive
from intake.desk.shred import outlook, shred
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.table.bins.ciede2000 import delta_e_2000
from intake.table.bins.colour import NATURAL, GroupId, lab_of

SHARED = Path(__file__).resolve().parents[2] / "shared"
CHARGES = [
    {"id": "slat", "resin": "PE-HD", "cavity": "1.2 L"},
    {"id": "lid", "resin": "PP", "cavity": "0.2 L"},
]
SHREDDED = (
    ("jug", 20, "natural", 1250.0),
    ("detergent bottle", 12, "blue", 700.0),
    ("bottle cap", 150, "red", 430.0),
)
WAITING = (("jug", 5, "white", 310.0), ("shampoo bottle", 9, "green", 290.0))

Run = Callable[..., Any]


def placed(desk: Desk, kind: str, count: int, colour: str, mass_g: float) -> str:
    """The bin that so many pieces went into."""
    item = receive(desk, kind, count, colour=colour)
    add_mark(desk, item, "2 HDPE")
    add_test(desk, item, "float:water", "floats")
    decide(desk, item)
    prep_all(desk, item)
    weigh(desk, item, mass_g)
    place_in_bin(desk, item)
    found = desk.state.items[item].bin
    assert found is not None
    return found


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ledger with three lots and two bins."""
    folder, book = tmp_path_factory.mktemp("table") / "ledger", Handbook()
    campaign = campaign_of({"name": "Slats", "letters": "QT", "charge": CHARGES}, book, where="test")
    with Desk.open(folder, book, campaign) as desk:
        for row in SHREDDED:
            bin_id = placed(desk, *row)
            shred(desk, bin_id, round(outlook(desk, bin_id).expected.mean))
        for row in WAITING:
            placed(desk, *row)
    return folder


@pytest.fixture
def run(table: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run one of the two commands on the table; a document where JSON is asked for."""

    def go(command: str, *args: str, charge: str = "slat") -> Any:
        main([command, "--ledger", str(table), "--charge", charge, *args])
        out = capsys.readouterr().out
        if "--json" not in args:
            return " ".join(out.split())
        found = json.loads(out)
        name = {"compose": "composition", "forecast": "forecast"}[command]
        jsonschema.validate(found, json.loads((SHARED / f"{name}.schema.json").read_text(encoding="utf-8")))
        return found

    return go


def test_the_mix_meets_the_charge_from_as_few_lots_as_do(run: Run) -> None:
    found = run("compose", "--json")
    assert found["feasible"]
    taken = found["mix"]["taken"]
    assert sum(t["mass_g"] for t in taken) == pytest.approx(found["mass_g"], abs=0.2)
    assert found["mass_g"] == found["need_g"]["mean"]
    assert [t["colour"] for t in taken] == ["natural"]
    assert found["mix"]["mixing_de00"] == 0.0
    assert found["lots_considered"] == 3
    assert all(t["weighed"] for t in taken)


def test_a_larger_mass_opens_a_second_lot_of_the_nearest_colour(run: Run) -> None:
    found = run("compose", "--mass", "1.4 kg", "--json")
    taken = {t["colour"]: t for t in found["mix"]["taken"]}
    swatches = {g: lab_of(rgb) for g, rgb in Handbook().colours.swatches.items() if rgb is not None}
    natural = swatches[NATURAL]
    nearest = min(("blue", "red"), key=lambda g: delta_e_2000(natural, swatches[GroupId(g)]))
    assert set(taken) == {"natural", nearest}
    assert found["mix"]["mixing_de00"] > 5
    assert taken["natural"]["mass_g"] == taken["natural"]["of_g"]


def test_a_flow_window_calls_for_caps(run: Run) -> None:
    # log-additive by hand (S29): blow 0.5 and injection 5 g/10 min meet 1 at a cap share of ln 2 / ln 10
    found = run("compose", "--flow", "1-3", "--json")["mix"]
    masses = {t["colour"]: t["mass_g"] for t in found["taken"]}
    assert masses["red"] / sum(masses.values()) == pytest.approx(0.30103, abs=1e-3)
    assert found["flow_g_10min"] == pytest.approx(1.0, rel=1e-3)
    low, high = found["flow_range_g_10min"]
    assert low < 1.0 < high


def test_planning_ahead_counts_bins_by_what_they_give_for_sure(run: Run) -> None:
    plain, ahead = (run("compose", "--mass", "2.5kg", "--json", *more) for more in ((), ("--plan-ahead",)))
    assert (plain["feasible"], ahead["feasible"]) == (False, True)
    bins = [t for t in ahead["mix"]["taken"] if not t["weighed"]]
    assert bins
    assert all(t["of_g"] < 310 for t in bins)


@pytest.mark.parametrize(
    ("args", "limit"),
    [
        (("--mass", "1kg", "--flow", "6-9"), "flow_low"),
        (("--mass", "1kg", "--flow", "0.1-0.2"), "flow_high"),
        (("--mass", "1.6kg", "--flow", "2-"), "flow_low"),
    ],
)
def test_the_limit_that_cannot_be_met_is_named_with_what_it_would_take(
    run: Run, args: tuple[str, ...], limit: str
) -> None:
    found = run("compose", *args, "--json")["misfit"]
    assert [r["limit"] for r in found["one_limit_alone"]] == [limit]
    needed = found["one_limit_alone"][0]["needed"]
    eased = {"flow_low": f"{needed * 0.999}-9", "flow_high": f"0.01-{needed * 1.001}"}[limit]
    assert run("compose", *args[:2], "--flow", eased, "--json")["feasible"]


def test_too_little_of_everything_says_how_much(run: Run) -> None:
    found = run("compose", "--mass", "5kg", "--json")["misfit"]
    assert found["short_g"] == pytest.approx(5000 - found["available_g"], abs=0.2)
    assert "too little of everything" in run("compose", "--mass", "5kg")


@pytest.mark.parametrize(
    ("args", "wanted"),
    [
        ((), "of lot QT-L01 (natural;"),
        ((), "The mix flows at about 0.5 g/10 min (0.15 to 0.9"),
        (("--plan-ahead", "--mass", "2.4 kg"), "not shredded yet"),
        (("--flow", "6-9"), "It would do to allow"),
        (("--mass", "1.7kg"), "colours are"),
    ],
)
def test_a_person_reads_a_weighing_list(run: Run, args: tuple[str, ...], wanted: str) -> None:
    assert wanted in run("compose", *args)


def test_without_a_lot_the_bins_are_pointed_at(run: Run) -> None:
    assert "--plan-ahead" in run("compose", charge="lid")


def test_another_campaign_file_is_used_and_not_recorded(run: Run, table: Path, tmp_path: Path) -> None:
    path = tmp_path / "other.toml"
    path.write_text(
        'name = "y"\n[[charge]]\nid = "slat"\nresin = "PE-HD"\ncavity = "0.5 L"\nflow = [1, 3]\n',
        encoding="utf-8",
    )
    before = {p.name: p.read_bytes() for p in sorted(table.iterdir()) if p.is_file()}
    found = run("compose", "--campaign", str(path), "--json")
    assert found["flow_window_g_10min"] == [1.0, 3.0]
    assert found["need_g"]["mean"] < 500
    assert {p.name: p.read_bytes() for p in sorted(table.iterdir()) if p.is_file()} == before


def test_an_empty_window_in_the_campaign_changes_nothing(
    table: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "empty.toml"
    path.write_text(
        'name = "y"\n[[charge]]\nid = "slat"\nresin = "PE-HD"\ncavity = "0.5 L"\nflow = [3, 1]\n',
        encoding="utf-8",
    )
    before = {p.name: p.read_bytes() for p in sorted(table.iterdir()) if p.is_file()}
    with pytest.raises(SystemExit) as stopped:
        main(["compose", "--ledger", str(table), "--campaign", str(path)])
    assert stopped.value.code == 2
    assert "nothing lies between" in capsys.readouterr().err
    assert {p.name: p.read_bytes() for p in sorted(table.iterdir()) if p.is_file()} == before


def test_what_was_drawn_is_not_asked_for_again(tmp_path: Path, handbook: Handbook) -> None:
    from intake.desk.charge import charge_of
    from intake.desk.compose import compose_charge

    campaign: Campaign = campaign_of({"name": "s", "charge": CHARGES[:1]}, handbook, where="test")
    with Desk.open(tmp_path / "ledger", handbook, campaign) as desk:
        bin_id = placed(desk, "jug", 40, "natural", 2500.0)
        lot = shred(desk, bin_id, round(outlook(desk, bin_id).expected.mean)).lot
        spec = charge_of(campaign, None)
        whole = compose_charge(desk, spec).wish.mass_g
        draw(desk, lot, "slat", 400.0)
        assert compose_charge(desk, spec).wish.mass_g == pytest.approx(whole - 400.0)
        draw(desk, lot, "slat", whole - 400.0)
        with pytest.raises(BadInput, match="drawn already"):
            compose_charge(desk, spec)


@pytest.mark.parametrize(
    ("text", "window"),
    [
        ("0.3-2", (0.3, 2)),
        ("0,3–2 g/10 min", (0.3, 2)),
        ("0.3-", (0.3, None)),
        ("-2", (None, 2)),
        ("1..3", (1, 3)),
    ],
)
def test_a_window_reads(text: str, window: tuple[float | None, float | None]) -> None:
    assert parse_window(text) == window


@pytest.mark.parametrize("text", ["", "-", "a-b", "1", "1-2-3", "nan-2"])
def test_a_window_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="a window"):
        parse_window(text)


@pytest.mark.parametrize(
    ("args", "wanted"),
    [
        (("compose", "--flow", "3-1"), "not above the high end"),
        (("compose", "--flow", "0-1"), "above 0 g/10 min"),
        (("compose", "--mass", "0"), "a mass above 0 g"),
        (("compose", "--charge", "sled"), "one of: slat, lid"),
        (("compose",), "one of: slat, lid"),
        (("forecast", "--charge", "slat", "--mix", "jug"), "such as jug=3"),
        (("forecast", "--charge", "slat", "--mix", "jug=-1"), "such as jug=3"),
        (("forecast", "--charge", "slat", "--mix", "jgu=1"), "jug"),
        (("forecast", "--charge", "slat", "--mix", "jug=0"), "weights of 0 or more"),
    ],
)
def test_bad_input_is_a_sentence_and_exit_2(
    table: Path, capsys: pytest.CaptureFixture[str], args: tuple[str, ...], wanted: str
) -> None:
    given = args if "--charge" in args or args == ("compose",) else (*args, "--charge", "slat")
    with pytest.raises(SystemExit) as stopped:
        main([given[0], "--ledger", str(table), *given[1:]])
    assert stopped.value.code == 2
    assert wanted in capsys.readouterr().err


@pytest.mark.parametrize("command", ["compose", "forecast"])
def test_no_ledger_is_a_sentence_and_none_is_made(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main([command, "--ledger", str(tmp_path / "none")])
    assert stopped.value.code == 2
    assert "ledger" in capsys.readouterr().err
    assert not (tmp_path / "none").exists()


def test_the_forecast_of_what_is_there(run: Run) -> None:
    found = run("forecast", "--json")
    assert found["probability_met"] > 0.99
    assert found["arrivals_for_90_percent"] == 0
    assert set(found["more_for_90_percent"].values()) == {0}
    assert found["mix_from_log"]
    assert sum(m["share"] for m in found["mix"]) == pytest.approx(1.0, abs=1e-3)


def test_the_forecast_of_what_is_missing(run: Run) -> None:
    found = run(
        "forecast", "--arrivals", "60", "--mix", "pail=1", "--mix", "bottle cap=3", "--json", charge="lid"
    )
    assert (found["probability_met"], found["mix_from_log"]) == (0.0, False)
    assert [m["share"] for m in found["mix"]] == [0.25, 0.75]
    assert [p["arrivals"] for p in found["fan"]][-1] == 60
    chances = [p["probability_met"] for p in found["fan"]]
    assert chances == sorted(chances)


def test_a_person_sees_the_fan(run: Run) -> None:
    text = run("forecast", charge="lid")
    for wanted in ("The chance that it is enough today is", "90 % sure", "●", "━", "│"):
        assert wanted in text


def test_a_mix_reads() -> None:
    assert parse_mix(("jug=3", "bottle cap = 1,5")) == {"jug": 3.0, "bottle cap": 1.5}
    assert parse_mix(()) is None
