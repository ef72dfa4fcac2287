"""The walk in a real browser at phone size, through the accessibility tree: taps, seconds, Back, restart."""

import re
import time

import pytest
from app.browser import PHONE, Served, Sight

from intake.app.texts import kept_together

SETTLED_MS = 400
"""A person does not press a screen the moment it appears; and ours takes no tap before 350 ms."""
DIGITS = set("0123456789,.")


def serve(folder, log):
    return Served(log, "-m", "intake", "serve", "--ledger", folder, "--port", "0")


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    folder = tmp_path_factory.mktemp("walk")
    server = serve(folder / "ledger", folder / "server.log")
    yield server
    server.stop()


class Hand:
    """A scripted person: waits for the screen, presses one thing at a time, counts what is no digit."""

    def __init__(self, sight):
        self.sight, self.taps = sight, 0

    def tap(self, *names):
        for name in names:
            button = self.sight.button(name)
            button.wait_for()
            if name not in DIGITS:
                self.sight.page.wait_for_timeout(SETTLED_MS)
                self.taps += 1
            button.click()
        return self

    def sees(self, heading):
        self.sight.heading(heading).wait_for(timeout=8000)
        return self

    @property
    def item(self):
        return self.sight.page.url.split("/item/")[1].split("/")[0]


def shred_of(sight):
    """What the ring says in words."""
    return sight.page.get_by_role("img", name=re.compile("^PE.HD:")).get_attribute("aria-label")


WAY = ("Take an item", "jug", "PE-HD 2", "natural", "All off, clean and dry", "6", "1", "Find its bin")


def test_a_known_marked_item_takes_six_taps_and_less_than_twelve_seconds(sight):
    sight.open()
    before = shred_of(sight)
    hand, start = Hand(sight), time.perf_counter()
    hand.tap(*WAY).sees("Accept")
    assert kept_together("T-01") in sight.tree()
    seconds = time.perf_counter() - start
    print(f"\n{hand.taps} taps beside the digits, {seconds:.1f} s from the first screen to the bin")
    assert hand.taps <= 6
    assert seconds <= 12
    sight.button("Back").click()
    sight.heading("First charge").wait_for()
    assert shred_of(sight) != before


def test_same_again_takes_one_tap_and_the_weight(sight):
    sight.open()
    Hand(sight).tap(*WAY).sees("Accept")
    hand, start = Hand(sight), time.perf_counter()
    hand.tap("Same again").sees("What does it weigh?").tap("5", "9", "Find its bin").sees("Accept")
    print(f"\nsame again: {hand.taps} taps beside the digits, {time.perf_counter() - start:.1f} s")
    assert hand.taps == 2


def test_pvc_is_refused_before_anybody_washes_it(sight):
    sight.open("/item")
    Hand(sight).tap("blister pack", "PVC 3").sees("Refuse")
    assert "Never heat PVC" in sight.tree()
    assert sight.button("All off, clean and dry").count() == 0


def test_back_in_the_middle_changes_the_answer_and_adds_no_item(sight):
    sight.open("/item")
    hand = Hand(sight).tap("jug", "PVC 3")
    hand.sees("Can you see through it?")  # the kind and the mark disagree
    item = hand.item
    sight.page.go_back()
    hand.sees("What does the mark say?").tap("PE-HD 2").sees("Accept")
    assert hand.item == item
    sight.page.go_back()
    hand.sees("What does the mark say?")
    assert sight.button("PE-HD 2").count() == 1


@pytest.mark.parametrize("name", ["jug", "Find its bin"])
def test_a_double_tap_enters_nothing_twice_and_answers_no_second_question(sight, name):
    sight.open("/item")
    hand = Hand(sight)
    way = WAY[1:]
    hand.tap(*way[: way.index(name)])
    button = sight.button(name)
    button.wait_for()
    sight.page.wait_for_timeout(SETTLED_MS)
    box = button.bounding_box()
    sight.page.mouse.dblclick(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    nexts = {"jug": "What does the mark say?", "Find its bin": "Accept"}
    hand.sees(nexts[name])
    sight.page.wait_for_timeout(SETTLED_MS)
    hand.sees(nexts[name])


TALL = {**PHONE, "viewport": {"width": 360, "height": 3000}}
"""What lies under the fold is cut in the tree, so a phone that shows everything at once."""
SCREENS = ("kind", "mark", "verdict", "prepare", "weigh", "test/float~water")


@pytest.mark.parametrize("sight", [TALL], indirect=True, ids=["phone"])
def test_everything_to_press_on_the_walk_is_named_and_large_enough(sight):
    sight.open("/item")
    hand = Hand(sight).tap("jug", "PE-HD 2").sees("Accept")
    item, small = hand.item, []
    for screen in SCREENS:
        sight.open(f"/item/{item}/{screen}")
        for button in sight.page.get_by_role("button").all():
            box, text = button.bounding_box(), button.inner_text().strip()
            if box and (not text or min(box["width"], box["height"]) < 47.5):
                small.append((screen, text, round(box["width"]), round(box["height"])))
    assert small == []


def test_a_half_entered_item_outlives_reload_and_restart(browser, tmp_path):
    log = tmp_path / "server.log"
    server = serve(tmp_path / "ledger", log)
    try:
        context = browser.new_context(**PHONE)
        sight = Sight(context.new_page(), server.url).open("/item")
        hand = (
            Hand(sight).tap("jug", "PE-HD 2", "natural", "All off, clean and dry").sees("What does it weigh?")
        )
        item = hand.item
        sight.open(f"/item/{item}")
        hand.sees("What does it weigh?")
        assert (sight.errors, sight.failed, sight.abroad) == ([], [], [])
        context.close()
        server.stop()
        server = serve(tmp_path / "ledger", tmp_path / "second.log")
        context = browser.new_context(**PHONE)
        sight = Sight(context.new_page(), server.url).open(f"/item/{item}")
        hand = Hand(sight).sees("What does it weigh?").tap("6", "1", "Find its bin").sees("Accept")
        assert hand.item == item
        assert kept_together("T-01") in sight.tree()
        assert (sight.errors, sight.failed, sight.abroad) == ([], [], [])
        context.close()
    finally:
        server.stop()
    assert "Traceback" not in log.read_text() + (tmp_path / "second.log").read_text()
