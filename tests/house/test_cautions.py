"""Every place that leads to an act shows the cautions of that act: all commands and all screens are walked."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from intake.app.routes import routes
from intake.cli import COMMANDS as CLI
from intake.cli import main
from intake.desk.campaign import campaign_of
from intake.desk.cautions import COMMANDS, SCREENS, STOP_CARDS, cautions_shown, screen_cautions
from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.observe import add_mark, add_test, revise
from intake.desk.receive import receive
from intake.desk.views.clean import prep_view
from intake.desk.views.item import WalkStep
from intake.desk.views.judged import verdict_view
from intake.desk.views.looks import test_view as view_of_test
from intake.errors import UnknownName
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.table.compat.cautions import UNKNOWN_CONTENT, Act, Level
from intake.table.item import Adhesive, Label, Residue
from intake.table.resins import ResinId
from intake.words import Words, catalogue

BOOK = Handbook()
WORDS = catalogue(resources() / "words")
DEMO = resources() / "demo"
STRONG = (Level.FORBID, Level.REQUIRED)


def _calls(folder: Path) -> dict[str, list[list[str]]]:
    """How each command that leads to an act is called; a new one gets its line here."""
    sheet, campaign = str(DEMO / "sheet.csv"), str(DEMO / "campaign.toml")
    ledger = ["--ledger", str(folder / "table" / "ledger")]
    return {
        "sort": [["sort", sheet, "--campaign", campaign, "--out", str(folder / "sorted")]],
        "demo": [["demo", "--out", str(folder / "demo")]],
        "identify": [
            ["identify", "--kind", "jug"],
            ["identify", "--kind", "blister pack", "--mark", "3 PVC"],
        ],
        "bath": [
            ["bath", "1.08"],
            ["bath", "0.94", "--strength", "70%vol"],
            ["bath", "1.10", "--solute", "sugar"],
        ],
        "check": [["check", "PE-HD", g] for g in ("PE-HD", "PP", "PVC", "POM", "PS", "PS-E")],
        "charge": [["charge", "3.6 L", "--resin", r] for r in ("PE-HD", "PP", "POM", "PS", "ABS")],
        "worth": [["worth", sheet, "--campaign", campaign]],
        "cautions": [["cautions"]],
        "bins": [["bins", *ledger]],
        "shred": [["shred", "QT-01", "630 g", *ledger]],
        "lots": [["lots", *ledger]],
        "float": [["float", "QT-L01", "--sinkers", "1 g", *ledger]],
        "draw": [["draw", "QT-L01", "10 g", "--charge", "bench-slat", *ledger]],
        "melt-test": [
            [
                "melt-test",
                "QT-L01",
                "--smell",
                "waxy",
                "--specks",
                "few",
                "--peel",
                "no",
                "--bend",
                "bends",
                *ledger,
            ]
        ],
        "part": [["part", "bench-slat", "--side", "291/300mm", *ledger]],
    }


def _table(name: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A ledger with bins, and a lot, for the commands that need one."""
    if not any("table" in word for call in _calls(folder)[name] for word in call):
        return
    main(["demo", "--out", str(folder / "table"), "--json"])
    if any("QT-L01" in call for call in _calls(folder)[name]):
        main(["shred", "QT-01", "630 g", "--ledger", str(folder / "table" / "ledger")])
    capsys.readouterr()


def _resins(call: list[str]) -> tuple[ResinId, ...]:
    """The resins that a call speaks of."""
    return tuple(ResinId(w) for w in call if w in BOOK.resins.rows)


def _must_show(name: str, call: list[str]) -> list[str]:
    shown = cautions_shown(BOOK, COMMANDS[name], _resins(call))
    return [c.id for c in shown if c.level is not Level.INFO]


def test_every_command_is_known_here() -> None:
    # a new command says in intake/desk/cautions.py to which acts it leads
    assert set(CLI) <= set(COMMANDS)


@pytest.mark.parametrize("name", [n for n in CLI if COMMANDS.get(n)])
def test_a_command_tells_a_person_the_cautions_of_its_act(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _table(name, tmp_path, capsys)
    for call in _calls(tmp_path)[name]:
        main(call)
        said = " ".join(capsys.readouterr().out.split())
        missing = [c for c in _must_show(name, call) if WORDS(f"caution.{c}.title") not in said]
        assert not missing, call


@pytest.mark.parametrize("name", [n for n in CLI if COMMANDS.get(n)])
def test_a_command_tells_a_program_the_cautions_of_its_act(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _table(name, tmp_path, capsys)
    for call in _calls(tmp_path)[name]:
        main([*call, "--json"])
        made = json.loads(capsys.readouterr().out)
        listed = made.get("caution_ids", made["cautions"])
        told = {c["id"] if isinstance(c, dict) else c for c in listed}
        assert set(_must_show(name, call)) <= told, call


@pytest.mark.parametrize("resin", ["PVC", "POM", "PS", "ABS", "PS-E"])
def test_a_check_says_what_its_resin_gives_off(resin: str, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "PE-HD", resin])
    said = " ".join(capsys.readouterr().out.split())
    own = [c for c in BOOK.cautions.cautions_for(Act.HEAT, [ResinId(resin)]) if c.applies_to]
    assert own
    assert all(" ".join(WORDS(f"caution.{c.id}.text").split()) in said for c in own)


# --- the app ------------------------------------------------------------------------------------------------------


def _screens() -> set[str]:
    """The names of all screens that have an address: its last fixed word, and the steps of the walk."""
    found = {step.value for step in WalkStep}

    def walk(all_routes: list, parents: tuple[str, ...]) -> None:
        for route in all_routes:
            words = (*parents, *[w for w in route.path.split("/") if w])
            found.add(_name(words))
            walk(route.children or [], words)

    walk(routes(), ())
    return found


def _name(words: tuple[str, ...]) -> str:
    """`home`, a step of the walk for what begins with `item`, one bin for `bins/:bin`, else the last fixed word."""
    if not words:
        return "home"
    if words[0] == "item":
        return "kind"
    if words[-1].startswith(":"):
        return words[-1][1:]
    return words[-1]


def test_every_screen_is_known_here() -> None:
    # a new screen says in intake/desk/cautions.py to which acts it leads
    assert _screens() <= set(SCREENS)


@pytest.mark.parametrize("screen", [s for s, acts in SCREENS.items() if acts])
def test_a_screen_that_leads_to_an_act_has_its_cautions(screen: str) -> None:
    shown = screen_cautions(BOOK, screen, [ResinId("PE-HD")])
    assert shown
    if Act.RECEIVE in SCREENS[screen]:
        assert shown == STOP_CARDS
        return
    owed = {
        c.id
        for act in SCREENS[screen]
        for c in BOOK.cautions.cautions_for(act, [ResinId("PE-HD")])
        if c.level in STRONG
    }
    assert set(shown) == owed


def test_a_screen_nobody_knows_is_told() -> None:
    with pytest.raises(UnknownName, match="Screen"):
        screen_cautions(BOOK, "juggle")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    campaign = {"name": "x", "letters": "QT", "charge": [{"id": "slat", "resin": "PE-HD", "cavity": "1 L"}]}
    with Desk.open(tmp_path / "l", BOOK, campaign_of(campaign, BOOK, where="test")) as opened:
        yield opened


def _dirty_jug(desk: Desk) -> str:
    item = receive(desk, "jug", colour="natural")
    add_mark(desk, item, "2 HDPE")
    add_test(desk, item, "float:water", "floats")
    worn = {"label": Label.PAPER, "adhesive": Adhesive.HEAVY, "residue": Residue.FOOD}
    revise(desk, item, worn)
    decide(desk, item)
    return item


@pytest.mark.parametrize("view", [prep_view, verdict_view], ids=["prepare", "verdict"])
def test_a_screen_before_the_tub_shows_all_that_washing_forbids_and_asks_for(
    desk: Desk, view: Callable[[Desk, str], object]
) -> None:
    shown = set(view(desk, _dirty_jug(desk)).cautions)  # type: ignore[attr-defined]
    owed = {c.id for c in BOOK.cautions.cautions_for(Act.WASH, [ResinId("PE-HD")]) if c.level in STRONG}
    assert owed <= shown
    assert UNKNOWN_CONTENT in shown


def test_the_screen_before_the_knife_says_how_to_cut(desk: Desk) -> None:
    assert "hand-cutting" in prep_view(desk, _dirty_jug(desk)).cautions


@pytest.mark.parametrize(
    "test",
    [
        *(t for t, c in BOOK.identify.cues.cues.items() if c.effort.cautions and not c.effort.heat),
        *(f"float:{b}" for b in BOOK.identify.cues.baths),
    ],
)
def test_the_screen_of_a_test_shows_the_cautions_of_that_test(desk: Desk, test: str) -> None:
    cues = BOOK.identify.cues
    effort = cues.baths[test[6:]].effort if test.startswith("float:") else cues.cues[test].effort
    assert effort.cautions
    assert set(effort.cautions) <= set(view_of_test(desk, receive(desk, "jug"), test).cautions)


@pytest.mark.parametrize("test", [t for t, c in BOOK.identify.cues.cues.items() if c.effort.heat])
def test_a_hot_test_has_no_screen_and_its_cautions_anyway(desk: Desk, test: str) -> None:
    assert BOOK.identify.cues.cues[test].effort.cautions
    with pytest.raises(UnknownName):
        view_of_test(desk, receive(desk, "jug"), test)


@pytest.mark.parametrize(
    ("kind", "mark", "changes", "caution"),
    [
        ("blister pack", "3 PVC", {}, "pvc-heat"),
        ("jug", "2", {"residue": Residue.HAZARDOUS}, "unknown-content"),
        ("crate", "2", {"colour": "red"}, "old-pigments"),
    ],
)
def test_the_verdict_shows_what_the_item_itself_calls_for(
    desk: Desk, kind: str, mark: str, changes: dict[str, object], caution: str
) -> None:
    item = receive(desk, kind)
    add_mark(desk, item, mark)
    if changes:
        revise(desk, item, changes)
    assert caution in verdict_view(desk, item).cautions


@pytest.mark.parametrize(
    "wanted", ["battery", "aerosol", "vape", "sharps", "unknown-content", "bleach-and-acid", "old-pigments"]
)
def test_the_stop_cards_stop(wanted: str) -> None:
    assert wanted in STOP_CARDS
    card = BOOK.cautions.rows[wanted]
    assert card.level in STRONG
    text = WORDS(f"caution.{wanted}.text")
    assert any(word in text for word in ("Stop", "Do not", "never", "Keep them apart"))


def test_what_must_not_be_offered_is_offered_nowhere(words: Words) -> None:
    # the reference's cautions forbid caustic soda, acetone and strong solvents at a table
    for method in BOOK.prep.methods:
        text = words(f"method.{method.id}").casefold()
        assert not any(bad in text for bad in ("caustic", "acetone", "thinner", "petrol", "flame", "lye"))


def test_every_lot_is_not_for_food_and_not_for_children(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["demo", "--out", str(tmp_path / "d")])
    said = " ".join(capsys.readouterr().out.split())
    assert "Not for food, not for children's articles" in said
