"""The prep screen logs time, hidden parts, how a label came off and how much it covered. Without a browser."""

import asyncio

import flet as ft
import pytest
from app.harness import Harness
from app.sample import open_sample

from intake.app.press import SETTLE_S
from intake.app.root import Root
from intake.app.session import Shared
from intake.desk.decide import decide
from intake.desk.observe import add_mark, add_test
from intake.desk.prep_log import parts_off, runs
from intake.desk.receive import receive
from intake.handbook.locate import resources
from intake.words import catalogue

WORDS = catalogue(resources() / "words")


@pytest.fixture
def desk(tmp_path):
    with open_sample(tmp_path / "l") as opened:
        yield opened


def test_everything_that_is_logged_beside_the_answers(desk):
    item = receive(desk, "jug", 2, colour="natural")
    add_mark(desk, item, "2 HDPE")
    add_test(desk, item, "float:water", "floats")
    decide(desk, item)

    async def go():
        shared = Shared(desk=desk, words=WORDS)
        async with Harness(Root, shared, views=True, route=f"/item/{item}/prepare") as phone:

            async def tap(text):
                await asyncio.sleep(SETTLE_S)
                await phone.click(phone.find(ft.OutlinedButton, text))
                for _ in range(3):
                    await phone.settle()

            def state():
                return desk.state.items[item]

            assert WORDS("walk.prep.covers") not in phone.texts()
            await tap(WORDS("walk.prep.clock.start"))
            assert runs(state())
            await tap(WORDS("walk.prep.clock.stop"))
            assert not runs(state())
            await tap("Liner")
            assert parts_off(state()) == {"liner"}
            await tap("partly")
            await tap(WORDS("walk.prep.how.soak"))
            await tap(WORDS("walk.prep.covers.band"))
            told = state().prep[-1]
            assert (told.step, told.left_on, told.how, told.covers) == ("label", "partly", "soak", "band")
            assert phone.crashes == []

    asyncio.run(go())
