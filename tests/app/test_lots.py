"""From a full bin to a lot, from a lot into a charge, and back again, without a browser."""

import asyncio
import shutil

import flet as ft
import pytest
from app.harness import Harness, said
from app.sample import open_sample, take, work

from intake.app.press import SETTLE_S
from intake.app.root import Root
from intake.app.session import Shared
from intake.desk.cautions import screen_cautions, stop_cards
from intake.desk.desk import Desk
from intake.desk.draw import draw
from intake.desk.shred import shred
from intake.desk.undo import undo_shred
from intake.desk.views.lots import draw_view, lot_view, lots_view
from intake.handbook.locate import resources
from intake.words import catalogue

WORDS = catalogue(resources() / "words")
LOT = "QT-L01"


@pytest.fixture(scope="module")
def day(tmp_path_factory):
    """The ledger of a table after its day, and the handbook it was read with."""
    folder = tmp_path_factory.mktemp("day")
    with open_sample(folder / "day") as opened:
        work(opened)
    return folder / "day", opened.handbook


@pytest.fixture
def desk(day, tmp_path):
    folder, handbook = day
    shutil.copytree(folder, tmp_path / "ledger")
    with Desk.open(tmp_path / "ledger", handbook) as table:
        yield table


@pytest.fixture
def shredded(desk):
    shred(desk, "QT-01", 365.0)
    return desk


def play(desk, route, script, **how):
    async def go():
        shared = Shared(desk=desk, words=WORDS)
        async with Harness(Root, shared, views=True, route=route, **how) as phone:
            await asyncio.sleep(SETTLE_S)
            await script(phone)
            assert phone.crashes == []

    asyncio.run(go())


async def until(phone, text):
    for _ in range(200):
        if text in phone.texts():
            return
        await phone.settle()
    raise AssertionError(f"{text!r} never came among {phone.texts()!r}")


async def weigh(phone, digits, button):
    for digit in digits:
        await phone.click(next(b for b in phone.all(ft.OutlinedButton) if b.key == f"key-{digit}"))
    await phone.click(phone.find(ft.FilledButton, button))
    for _ in range(20):
        await phone.settle()


def test_a_bin_with_something_in_it_offers_that_it_was_shredded(desk):
    async def script(phone):
        await phone.click(phone.find(ft.OutlinedButton, "Shredded"))
        assert phone.page.route == "/bins/QT-01/shred"

    play(desk, "/bins/QT-01", script)


def test_a_believable_weight_makes_a_lot_and_leads_to_it(desk):
    async def script(phone):
        await weigh(phone, "365", "Save as a lot")
        assert phone.page.route == f"/lots/{LOT}"
        await until(phone, "365 g left")

    play(desk, "/bins/QT-01/shred", script)
    assert desk.state.lots[LOT].mass_g == 365.0


@pytest.mark.parametrize("answer", ["It is right", "Type it again"])
def test_a_slip_of_the_decimal_point_is_asked_about_first(desk, answer):
    async def script(phone):
        await weigh(phone, "36", "Save as a lot")
        assert "Is 36 g right?" in phone.texts()
        assert not desk.state.lots
        kind = ft.FilledButton if answer == "It is right" else ft.OutlinedButton
        await phone.click(phone.find(kind, answer))
        for _ in range(20):
            await phone.settle()

    play(desk, "/bins/QT-01/shred", script)
    assert [lot.mass_g for lot in desk.state.lots.values()] == ([36.0] if answer == "It is right" else [])


def test_more_than_went_in_is_not_taken(desk):
    async def script(phone):
        await weigh(phone, "3650", "Save as a lot")
        assert "That cannot be" in phone.texts()

    play(desk, "/bins/QT-01/shred", script)
    assert not desk.state.lots


def test_two_taps_shred_once(desk):
    async def script(phone):
        for digit in "365":
            await phone.click(next(b for b in phone.all(ft.OutlinedButton) if b.key == f"key-{digit}"))
        button = phone.find(ft.FilledButton, "Save as a lot")
        await asyncio.gather(phone.event(button, "click"), phone.event(button, "click"))
        for _ in range(20):
            await phone.settle()

    play(desk, "/bins/QT-01/shred", script)
    assert len(desk.state.lots) == 1


@pytest.mark.parametrize("route", ["/bins/QT-01/shred", "/bins/NO-99/shred", f"/lots/{LOT}0", "/lots/X/draw"])
def test_what_cannot_be_is_said_with_a_way_out(shredded, route):
    async def script(phone):
        assert any(t in phone.texts() for t in ("cannot be shredded", "no such lot", "Nothing can be drawn"))
        assert phone.all(ft.FilledButton)

    play(shredded, route, script)


def test_the_lots_are_buttons_that_say_what_is_left_and_how_pure(shredded):
    async def script(phone):
        await until(phone, "365 g left")
        row = phone.find(ft.OutlinedButton, LOT)
        for text in ("PE-HD · natural", "Purity", "test melt not made yet", "100 % of the lot"):
            assert text in said(row)
        await phone.click(row)
        assert phone.page.route == f"/lots/{LOT}"

    play(shredded, "/lots", script)


@pytest.mark.parametrize(
    "text",
    ["365 g left", "Purity", "Oven: ", "its fumes harm", "A bath in plain water", "Test melt: not made yet",
     "6 × jug, natural", "Undo the shredding"],
)  # fmt: skip
def test_a_lot_says_all_there_is_to_say(shredded, text):
    async def script(phone):
        await until(phone, text)

    play(shredded, f"/lots/{LOT}", script)


def test_the_window_of_a_lot_is_the_house_s_own(shredded):
    window = shredded.handbook.melts.oven_window("PE-HD")
    assert lot_view(shredded, LOT).window == window


def test_drawing_takes_from_the_lot_and_undo_gives_it_back(shredded):
    async def script(phone):
        await phone.click(phone.find(ft.FilledButton, "Draw for the charge"))
        await asyncio.sleep(SETTLE_S)
        await weigh(phone, "100", "Draw it")
        assert phone.page.route == f"/lots/{LOT}"
        assert shredded.state.lots[LOT].left_g == 265.0
        await until(phone, "100 g drawn for charges")
        await phone.click(phone.find(ft.OutlinedButton, "Undo the last step"))
        await asyncio.sleep(SETTLE_S)
        await phone.click(phone.find(ft.FilledButton, "Undo it"))
        for _ in range(20):
            await phone.settle()
        assert shredded.state.lots[LOT].left_g == 365.0

    play(shredded, f"/lots/{LOT}", script)


def test_undoing_the_shredding_leads_to_the_bin(shredded):
    async def script(phone):
        await phone.click(phone.find(ft.OutlinedButton, "Undo the shredding"))
        await phone.click(phone.find(ft.FilledButton, "Undo it"))
        for _ in range(20):
            await phone.settle()
        assert phone.page.route == "/bins/QT-01"

    play(shredded, f"/lots/{LOT}", script)
    assert not shredded.state.lots
    assert shredded.state.bins["QT-01"].lot is None


def test_a_lot_that_another_phone_undid_says_that_it_is_gone(shredded, caplog):
    async def script(phone):
        undo_shred(shredded, LOT)
        phone.args[0].hub.publish()
        await until(phone, "There is no such lot")

    play(shredded, f"/lots/{LOT}", script)
    assert not caplog.records


def test_more_than_is_left_is_not_drawn(shredded):
    async def script(phone):
        await weigh(phone, "900", "Draw it")
        assert "That cannot be" in phone.texts()

    play(shredded, f"/lots/{LOT}/draw", script)
    assert not shredded.state.lots[LOT].draws


def test_what_is_used_up_stands_last_and_is_drawn_from_no_more(shredded):
    take(shredded, "jug", 2, mark="2 HDPE", test=("float:water", "floats"), mass_g=120.0)
    draw(shredded, LOT, "bench-top", 365.0)
    shred(
        shredded,
        next(b.id for b in shredded.state.bins.values() if not b.closed and b.items),
        90.0,
        sure=True,
    )
    assert [t.left_share for t in lots_view(shredded)][-1] == 0.0
    assert draw_view(shredded, LOT).charges == ()


def test_what_ends_the_work_is_one_tap_from_the_items(desk):
    async def script(phone):
        await phone.click(phone.find(ft.TextButton, "Battery, aerosol, needle, unknown liquid?"))
        assert phone.page.route == "/stop"
        for card in stop_cards(desk.handbook):
            assert WORDS(f"caution.{card.id}.title") in phone.texts()

    play(desk, "/item", script)


def test_drawing_says_what_to_mind_at_the_oven(shredded):
    async def script(phone):
        for caution in screen_cautions(shredded.handbook, "draw", ["PE-HD"]):
            assert WORDS(f"caution.{caution}.title") in phone.texts()

    play(shredded, f"/lots/{LOT}/draw", script)
