"""The walk on a session without a browser: every screen, every answer, Back, double taps, two phones."""

import asyncio
import logging

import flet as ft
import pytest
from app.harness import Harness, said
from app.sample import CAMPAIGN

from intake.app import press
from intake.app.main import session_main
from intake.app.screens.walk import address
from intake.app.screens.walk import test_of_address as named_test
from intake.app.session import Shared
from intake.desk.campaign import campaign_of
from intake.desk.desk import Desk
from intake.desk.views.item import WalkStep, next_step
from intake.handbook.locate import resources
from intake.table.compat.decision import Verdict
from intake.words import catalogue

WORDS = catalogue(resources() / "words")


@pytest.fixture(autouse=True)
def no_waiting(monkeypatch, caplog):
    """Taps count at once, and nothing may have been caught on the way."""
    monkeypatch.setattr(press, "SETTLE_S", 0.0)
    monkeypatch.setattr(press, "RELEASE_S", 0.01)
    yield
    assert [r for r in caplog.records if r.levelno >= logging.ERROR] == []


@pytest.fixture
def desk(tmp_path, handbook):
    with Desk.open(tmp_path / "ledger", handbook, campaign_of(CAMPAIGN, handbook, where="test")) as opened:
        yield opened


class Phone(Harness):
    """A phone at the table; `tap` presses whatever carries the words."""

    def __init__(self, shared, route="/", **how):
        super().__init__(None, route=route, setup=session_main(shared), **how)

    def named(self, text):
        found = [c for c in self.shown() if isinstance(c, ft.Button | ft.OutlinedButton) and said(c) == text]
        assert len(found) == 1, (
            f"{len(found)} called {text!r} in {[said(b) for b in self.all(ft.OutlinedButton)]}"
        )
        return found[0]

    async def tap(self, *names):
        for name in names:
            await self.click(self.named(name))
            await self.settle(4)
        assert self.crashes == []

    def at(self):
        return self.page.route


@pytest.fixture
def walk(desk):
    """Run a coroutine with phones on one table: `walk(go)` where `go(phone, desk)`."""

    def run(go, route="/", **how):
        shared = Shared(desk=desk, words=WORDS)

        async def all_of_it():
            async with Phone(shared, route, **how) as phone:
                await go(phone, desk)

        asyncio.run(all_of_it())

    return run


def last(desk):
    return list(desk.state.items.values())[-1]


async def to_scale(phone):
    await phone.tap("jug", "2 PE-HD", "natural", "All off, clean and dry")


def test_a_jug_walks_from_kind_to_bin(walk):
    async def go(phone, desk):
        await phone.tap("Take an item", "jug")
        assert "What does the mark say?" in phone.texts()
        await phone.tap("2 PE-HD")
        assert "Worth cleaning" in phone.texts()
        assert "counts as mixed" in phone.texts()
        await phone.tap("natural")
        assert "Counts as natural" in phone.texts()
        await phone.tap("All off, clean and dry")
        await phone.tap("6", "1", "Find its bin")
        assert "Put it in a new bin, QT-01" in phone.texts()
        assert "between" in phone.texts()
        assert phone.at() == address(last(desk).id, WalkStep.PLACED)
        assert (last(desk).bin, last(desk).facts.gross_g, last(desk).facts.colour) == (
            "QT-01",
            61.0,
            "natural",
        )
        await phone.tap("Next item")
        assert phone.at() == "/item"

    walk(go)


def test_pvc_is_refused_before_anybody_washes_it(walk):
    async def go(phone, desk):
        await phone.tap("blister pack", "3 PVC")
        assert "Refuse" in phone.texts()
        assert "Never heat PVC" in phone.texts()
        assert "All off, clean and dry" not in phone.texts()
        for step in ("prepare", "weigh", "placed"):
            await phone.goto(f"/item/{last(desk).id}/{step}")
            assert "Refuse" in phone.texts()
        await phone.tap("Same again")
        assert "Refuse" in phone.texts()
        assert [i.verdict for i in desk.state.items.values()] == [Verdict.REFUSE, Verdict.REFUSE]

    walk(go, "/item")


def test_tests_are_asked_until_the_verdict_stands(walk):
    async def go(phone, desk):
        await phone.tap("detergent bottle", "no mark")
        asked = []
        while "/test/" in phone.at():
            asked.append(phone.at())
            answer = phone.all(ft.OutlinedButton)[-3 if "float" in phone.at() else 0]
            await phone.click(answer)
            await phone.settle(4)
        assert len(asked) == len(set(asked)) > 0
        assert phone.at().endswith("/verdict")
        assert len(last(desk).evidence) == len(asked) + 1

    walk(go, "/item")


def test_what_cannot_be_tested_now_is_held_and_can_be_settled_later(walk):
    async def go(phone, desk):
        await phone.tap("detergent bottle", "no mark", "Cannot test now")
        assert "Put it on the hold shelf" in phone.texts()
        await phone.click(next(b for b in phone.all(ft.OutlinedButton) if "Settle it with a test" in said(b)))
        await phone.settle(4)
        assert "/test/" in phone.at()
        await phone.goto(f"/item/{last(desk).id}/test/float~water")
        assert "Does a piece float in plain water?" in phone.texts()
        assert "Float test" in phone.texts()  # the caution of the act
        await phone.tap("It floats")
        assert desk.state.items[last(desk).id].evidence[-1].bath == "water"

    walk(go, "/item")


def test_a_mistyped_mark_is_put_right_by_going_back(walk):
    async def go(phone, desk):
        await phone.tap("jug", "3 PVC")
        item = last(desk).id
        await phone.goto(address(item, WalkStep.MARK))  # the phone's own Back
        await phone.tap("2 PE-HD")
        assert "Worth cleaning" in phone.texts()
        assert [e.text for e in desk.state.items[item].evidence] == ["2"]
        assert len(desk.state.items) == 1

    walk(go, "/item")


def test_a_wrong_kind_is_corrected_not_entered_twice(walk):
    async def go(phone, desk):
        await phone.tap("jug")
        await phone.event(phone.find(ft.IconButton, "Back"), "click")
        await phone.settle(4)
        assert phone.at().endswith("/kind")
        await phone.tap("pail")
        assert [i.facts.kind for i in desk.state.items.values()] == ["pail"]
        await phone.event(phone.find(ft.IconButton, "Back"), "click")
        await phone.settle(4)
        await phone.tap("Take it off the list")
        assert desk.state.items == {}

    walk(go, "/item")


def test_letters_are_explained_before_they_are_used(walk):
    async def go(phone, desk):
        await phone.tap("other")
        await phone.type(phone.find(ft.TextField), ">PP-TD20<")
        assert "Filled plastic gets a bin of its own" in phone.texts()
        await phone.tap("Use these letters")
        assert last(desk).evidence[0].text == ">PP-TD20<"

    walk(go, "/item")


@pytest.mark.parametrize("how", ["printed", "sticker"])
def test_how_a_mark_stands_there_is_recorded_with_it(walk, how):
    async def go(phone, desk):
        await phone.tap("jug")
        await phone.tap(how, "2 PE-HD")
        assert last(desk).evidence[0].how == how

    walk(go, "/item")


def test_what_stays_on_is_asked_step_by_step(walk):
    async def go(phone, desk):
        await phone.tap("jug", "2 PE-HD", "Something stays on")
        assert "Take the closure off" in phone.texts()
        partly = next(b for b in phone.all(ft.OutlinedButton) if said(b).endswith("partly"))
        await phone.click(partly)
        await phone.settle(4)
        await phone.tap("The rest is off and dry")
        assert "label partly on" in phone.texts()
        assert last(desk).facts.label_off == "partly"

    walk(go, "/item")


@pytest.mark.parametrize(
    ("keys", "unit", "grams"),
    [("61", "g", 61.0), ("0,5", "kg", 500.0), ("2.5", "oz", 70.874), ("1", "lb", 453.592)],
    ids=["g", "kg with a comma", "oz: 28.349523 g (NIST SP 811)", "lb: 453.59237 g (NIST SP 811)"],
)
def test_the_scale_may_show_any_unit(walk, keys, unit, grams):
    async def go(phone, desk):
        await to_scale(phone)
        await phone.event(phone.find(ft.SegmentedButton), "change", selected=[unit])
        await phone.tap(*keys, "Find its bin")
        assert last(desk).facts.gross_g == pytest.approx(grams, abs=0.001)

    walk(go, "/item")


@pytest.mark.parametrize("keys", ["0", "9999999"])
def test_a_weight_that_cannot_be_is_said_and_nothing_is_saved(walk, keys):
    async def go(phone, desk):
        await to_scale(phone)
        await phone.event(phone.find(ft.SegmentedButton), "change", selected=["kg"])
        await phone.tap(*keys, "Find its bin")
        assert phone.find(ft.TextField).error == WORDS("walk.weigh.error")
        assert last(desk).facts.gross_g is None

    walk(go, "/item")


def test_without_a_scale_the_mass_is_an_estimate_and_says_so(walk):
    async def go(phone, desk):
        await to_scale(phone)
        await phone.tap("No scale")
        assert "Not weighed" in phone.texts()
        assert last(desk).bin == "QT-01"

    walk(go, "/item")


def test_undo_goes_back_to_the_scale_and_same_again_needs_only_a_weight(walk):
    async def go(phone, desk):
        await to_scale(phone)
        await phone.tap("6", "1", "Find its bin", "Undo")
        assert phone.at().endswith("/weigh")
        assert last(desk).bin is None
        await phone.tap("Find its bin", "Same again")
        assert "closure off" in phone.texts()
        await phone.tap("5", "9", "Find its bin")
        assert [i.bin for i in desk.state.items.values()] == ["QT-01", "QT-01"]

    walk(go, "/item")


@pytest.mark.parametrize("step", ["mark", "verdict", "prepare", "weigh", "placed", "nonsense"])
def test_every_address_of_a_placed_item_shows_its_bin(walk, step):
    async def go(phone, desk):
        await to_scale(phone)
        await phone.tap("6", "1", "Find its bin")
        await phone.goto(f"/item/{last(desk).id}/{step}")
        assert "QT-01" in phone.texts()

    walk(go, "/item")


def test_an_address_of_nothing_says_so(walk):
    async def go(phone, desk):
        assert "not at the table any more" in phone.texts()
        await phone.tap("Next item")
        assert phone.at() == "/item"

    walk(go, "/item/i999-zz/weigh")


def test_several_alike_are_counted_before_they_are_named(walk):
    async def go(phone, desk):
        for _ in range(2):
            await phone.click(phone.find(ft.IconButton, "One more"))
        await phone.tap("bottle cap")
        assert last(desk).facts.count == 3
        assert "3 × bottle cap" in phone.texts()

    walk(go, "/item")


def test_a_search_finds_kinds_that_are_no_tiles(walk):
    async def go(phone, desk):
        await phone.type(phone.find(ft.TextField), "flower")
        await phone.tap("plant pot")
        assert last(desk).facts.kind == "plant-pot"

    walk(go, "/item")


@pytest.mark.parametrize("name", ["jug", "2 PE-HD", "All off, clean and dry", "Find its bin"])
def test_the_second_half_of_a_double_tap_does_nothing(walk, name):
    """Both taps are in the queue before the first is done, as they come from a phone."""

    async def go(phone, desk):
        way = ["jug", "2 PE-HD", "All off, clean and dry", "6", "1", "Find its bin"]
        await phone.tap(*way[: way.index(name)])
        button = phone.named(name)
        await asyncio.gather(*(phone.session.dispatch_event(button._i, "click", None) for _ in range(3)))
        await phone.settle(20)
        kinds = [e.kind for e in desk.ledger.events()]
        assert len(desk.state.items) == 1
        for kind in ("Received", "EvidenceAdded", "Judged", "Placed", "Revised"):
            assert kinds.count(kind) <= (2 if kind == "Judged" else 1)
        assert phone.crashes == []

    walk(go, "/item")


def test_a_tap_meant_for_the_screen_before_is_not_taken(walk, monkeypatch):
    monkeypatch.setattr(press, "SETTLE_S", 0.3)

    async def go(phone, desk):
        await asyncio.sleep(0.3)
        await phone.tap("jug")
        await phone.tap("3 PVC")
        assert last(desk).evidence == ()
        await asyncio.sleep(0.3)
        await phone.tap("2 PE-HD")
        assert [e.text for e in last(desk).evidence] == ["2"]

    walk(go, "/item")


def test_a_second_phone_sees_the_item_and_goes_on_with_it(desk):
    shared = Shared(desk=desk, words=WORDS)

    async def go():
        async with Phone(shared, "/item") as one, Phone(shared, width=1280) as two:
            await one.tap("jug", "2 PE-HD")
            item = last(desk).id
            await two.goto(address(item))
            assert "Worth cleaning" in two.texts()
            await one.tap("natural", "All off, clean and dry", "6", "1", "Find its bin")
            await two.settle(12)
            assert "QT-01" in two.texts()
            assert one.crashes == two.crashes == []

    asyncio.run(go())


def test_a_wide_window_shows_the_pile_and_the_bins_beside(walk):
    async def go(phone, desk):
        await to_scale(phone)
        assert "In hand" in phone.texts()
        assert "No bin is open yet." in phone.texts()
        await phone.tap("6", "1", "Find its bin")
        assert "Nothing is waiting." in phone.texts()

    walk(go, "/item", width=1280)


@pytest.mark.parametrize("width", [360, 800, 1280])
@pytest.mark.parametrize("step", ["kind", "mark", "verdict", "prepare", "weigh", "test/float~salt-1,08"])
def test_every_screen_is_drawn_whole_at_every_width(walk, step, width):
    async def go(phone, desk):
        await phone.tap("jug", "2 PE-HD")
        await phone.goto(f"/item/{last(desk).id}/{step}")
        shown = phone.texts()
        assert WORDS("app.error.not_shown") not in shown
        assert "walk." not in shown
        assert "reason." not in shown

    walk(go, "/item", width=width)


def test_nothing_depends_on_the_session(walk, tmp_path):
    """A new phone, and after it a new process, stand where the old one stood."""

    async def go(phone, desk):
        await to_scale(phone)
        item = last(desk).id
        async with Phone(Shared(desk=desk, words=WORDS), address(item)) as other:
            assert "What does it weigh?" in other.texts()
        assert next_step(desk, item) is WalkStep.WEIGH

    walk(go, "/item")


@pytest.mark.parametrize("test", ["float:water", "float:salt-1.08", "nail_scratch"])
def test_an_address_names_its_test(test):
    assert named_test(address("i1", WalkStep.TEST, test).rsplit("/", 1)[-1]) == test
    assert "." not in address("i1", WalkStep.TEST, test)
