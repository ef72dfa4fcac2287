"""Every screen that leads to heat, blades, water or shred shows what must be minded there. Without a browser."""

import asyncio

import pytest
from app.harness import Harness
from app.sample import open_sample, take, work

from intake.app.press import SETTLE_S
from intake.app.root import Root
from intake.app.session import Shared
from intake.desk.cautions import SCREENS, screen_cautions
from intake.desk.decide import decide
from intake.desk.observe import add_mark, add_test
from intake.desk.receive import receive
from intake.desk.shred import shred
from intake.handbook.locate import resources
from intake.words import catalogue

WORDS = catalogue(resources() / "words")
APART = ("kind", "test")
"""Screens that show less than all of their act, each with a test of its own."""


@pytest.fixture(scope="module")
def places(tmp_path_factory):
    """A table at work, and where each screen stands there."""
    with open_sample(tmp_path_factory.mktemp("day") / "day") as desk:
        work(desk)
        told = receive(desk, "jug", 2, colour="natural")
        add_mark(desk, told, "2 HDPE")
        add_test(desk, told, "float:water", "floats")
        decide(desk, told)
        unknown = receive(desk, "tub", 1, colour="white")
        placed = take(desk, "jug", 1, mark="2", test=("float:water", "floats"), mass_g=60.0)
        shred(desk, "QT-02", 224.0)
        yield (
            desk,
            {
                "kind": "/item",
                "stop": "/stop",
                "pile": "/pile",
                "charge": "/charge/bench-top",
                "test": f"/item/{unknown}/test/float~water",
                "verdict": f"/item/{told}/verdict",
                "prepare": f"/item/{told}/prepare",
                "placed": f"/item/{placed}/placed",
                "hold": "/hold",
                "bins": "/bins",
                "bin": "/bins/QT-01",
                "label": "/bins/QT-01/label",
                "shred": "/bins/QT-01/shred",
                "lot": "/lots/QT-L01",
                "draw": "/lots/QT-L01/draw",
            },
        )


def texts_at(desk, route):
    """Everything that can be read on a screen."""
    found = []

    async def go():
        async with Harness(Root, Shared(desk=desk, words=WORDS), views=True, route=route) as phone:
            await asyncio.sleep(SETTLE_S)
            for _ in range(5):
                await phone.settle()
            found.append(phone.texts())
            assert phone.crashes == []

    asyncio.run(go())
    return found[0]


@pytest.mark.parametrize("screen", [name for name, acts in SCREENS.items() if acts and name not in APART])
def test_a_screen_shows_what_must_be_minded(places, screen):
    desk, routes = places
    shown = texts_at(desk, routes[screen])
    owed = screen_cautions(desk.handbook, screen, ["PE-HD"])
    assert owed
    assert [c for c in owed if WORDS(f"caution.{c}.title") not in shown] == []


def test_where_items_come_in_one_touch_leads_to_the_stop_cards(places):
    desk, routes = places
    assert WORDS("app.stop.ask") in texts_at(desk, routes["kind"])


def test_a_float_test_shows_its_own_caution(places):
    desk, routes = places
    assert desk.handbook.identify.ladder
    assert WORDS("caution.float-water.title") in texts_at(desk, routes["test"])
