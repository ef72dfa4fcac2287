"""What to clean next: the order, the time that is left, and the way on. Without a browser."""

import asyncio

import flet as ft
import pytest
from app.harness import Harness, said
from app.sample import open_sample

from intake.app.press import SETTLE_S
from intake.app.root import Root
from intake.app.session import Shared
from intake.desk.decide import decide
from intake.desk.observe import add_mark, add_test
from intake.desk.receive import receive
from intake.desk.views.pile import pile_view
from intake.handbook.locate import resources
from intake.words import catalogue

WORDS = catalogue(resources() / "words")
PILE = (("bottle cap", 6, "2 HDPE"), ("jug", 12, "2 HDPE"), ("detergent bottle", 3, "2 HDPE"))


@pytest.fixture
def desk(tmp_path):
    with open_sample(tmp_path / "l") as opened:
        for kind, count, mark in PILE:
            item = receive(opened, kind, count, colour="natural")
            add_mark(opened, item, mark)
            add_test(opened, item, "float:water", "floats")
            decide(opened, item)
        yield opened


async def quiet(phone):
    """Until what is worked out beside the event loop has come."""
    for _ in range(100):
        await phone.settle()
        if WORDS("app.pile.working") not in phone.texts():
            return


def play(desk, script, route="/pile"):
    async def go():
        async with Harness(Root, Shared(desk=desk, words=WORDS), views=True, route=route) as phone:
            await asyncio.sleep(SETTLE_S)
            await quiet(phone)
            await script(phone)
            assert phone.crashes == []

    asyncio.run(go())


def test_the_rows_go_by_clean_grams_a_minute(desk):
    lines = pile_view(desk).lines
    assert [line.g_per_minute for line in lines] == sorted((x.g_per_minute for x in lines), reverse=True)

    async def script(phone):
        rows = [said(b) for b in phone.all(ft.OutlinedButton) if " a minute" in said(b)]
        assert [line.item.name in row for row, line in zip(rows, lines, strict=True)] == [True] * 3
        await phone.click(phone.find(ft.OutlinedButton, lines[0].item.name))
        assert phone.page.route == f"/item/{lines[0].item.id}"

    play(desk, script)


def test_too_little_time_is_told(desk):
    async def script(phone):
        said = []
        for minutes in ("30", "180"):
            await phone.click(phone.find(ft.OutlinedButton, f"{minutes} min"))
            await quiet(phone)
            told = pile_view(desk, float(minutes)).charges[0].reason
            assert WORDS.reason(told) in phone.texts()
            said.append(told.code)
        assert said[0] != "worth_minutes_needed"

    play(desk, script)


def test_today_leads_to_the_order_while_something_waits(desk):
    async def script(phone):
        await phone.click(phone.find(ft.OutlinedButton, WORDS("app.home.pile")))
        assert phone.page.route == "/pile"

    play(desk, script, route="/")


def test_an_empty_pile_says_so(tmp_path):
    async def script(phone):
        assert WORDS("app.pile.none") in phone.texts()

    with open_sample(tmp_path / "empty") as empty:
        play(empty, script)
