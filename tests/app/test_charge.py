"""The charge: boxes to scale, the filling, the mix that leads to drawing, the fan. Without a browser."""

import asyncio
import shutil

import flet as ft
import pytest
from app.harness import Harness
from app.sample import open_sample, take, work

from intake.app.parts.boxes import HEIGHT, WIDTH, sides
from intake.app.parts.fan_chart import HEIGHT as FAN_HEIGHT
from intake.app.parts.fan_chart import Moment, places
from intake.app.press import SETTLE_S
from intake.app.root import Root
from intake.app.session import Shared
from intake.desk.charge import plan_charge
from intake.desk.desk import Desk
from intake.desk.shred import shred
from intake.desk.views.charge import charge_plan_view, forecast_view, mix_view
from intake.errors import BadInput
from intake.handbook.locate import resources
from intake.spread import mean_of
from intake.words import catalogue

WORDS = catalogue(resources() / "words")


@pytest.fixture(scope="module")
def day(tmp_path_factory):
    folder = tmp_path_factory.mktemp("day") / "day"
    with open_sample(folder) as opened:
        work(opened)
        return folder, opened.handbook


@pytest.fixture
def desk(day, tmp_path):
    folder, handbook = day
    shutil.copytree(folder, tmp_path / "ledger")
    with Desk.open(tmp_path / "ledger", handbook) as table:
        yield table


def play(desk, script, route):
    async def go():
        async with Harness(Root, Shared(desk=desk, words=WORDS), views=True, route=route) as phone:
            await asyncio.sleep(SETTLE_S)
            for _ in range(100):  # until what is worked out beside the event loop has come
                await phone.settle()
                if WORDS("app.charge.working") not in phone.texts():
                    break
            await script(phone)
            assert phone.crashes == []

    asyncio.run(go())


@pytest.mark.parametrize(
    "litres", [(109.0, 2.9, 1.2, 1.0), (8.0, 8.0, 8.0, 8.0), (0.0, 0.0, 0.0, 0.0), (1e6, 1e-6)]
)
def test_the_boxes_compare_as_cubes_and_fit(litres) -> None:
    found = sides(litres)
    assert max(found) <= HEIGHT
    assert sum(found) + 12 * (len(found) - 1) <= WIDTH + 12
    if litres[0] == 109.0:
        assert (found[0] / found[1]) ** 3 == pytest.approx(109.0 / 2.9)


def test_the_fan_stays_inside_its_frame_and_rises() -> None:
    moments = [
        Moment(pieces=n, p5=n / 20, p25=n / 15, p50=n / 10, p75=n / 8, p95=n / 4) for n in range(0, 21, 5)
    ]
    for level in ("p5", "p25", "p50", "p75", "p95"):
        heights = [y for _, y in places(moments, level, 2.0)]
        assert all(0.0 <= y <= FAN_HEIGHT for y in heights)
        assert heights == sorted(heights, reverse=True)


def test_the_plan_is_the_desk_s_own_with_what_parts_taught(desk) -> None:
    view = charge_plan_view(desk, "bench-top")
    plan = plan_charge(desk.handbook, desk.tools.spec("bench-top")).plan
    assert view.charge.mean == pytest.approx(mean_of(plan.charge_g))
    assert view.fills == plan.fills
    assert view.level_fill_g == plan.level_melt_fill_g < view.part.mean
    assert view.boxes.pile.mean > view.boxes.shred.mean > view.boxes.melt.mean > view.boxes.part.mean > 0.9


def test_without_a_lot_the_mix_asks_for_one(desk) -> None:
    assert mix_view(desk, "bench-top").lots == 0

    async def script(phone):
        while WORDS("app.charge.no_lots") not in phone.texts():
            await phone.settle()
        said = phone.texts()
        assert "Top up about" in said
        assert "must stand above the rim" in said

    play(desk, script, "/charge/bench-top")


def test_lots_that_are_too_little_say_what_is_missing(desk) -> None:
    shred(desk, "QT-01", 365.0)
    view = mix_view(desk, "bench-top")
    need = charge_plan_view(desk, "bench-top").charge.mean
    assert (view.taken, view.lots) == ((), 1)
    assert view.short_g == pytest.approx(need - 365.0, abs=1.0)


def test_a_mix_leads_to_where_each_lot_is_drawn(desk) -> None:
    shred(desk, "QT-01", 365.0)
    for mass_g in (500.0, 520.0):
        item = take(desk, "jug", 8, mark="2 HDPE", test=("float:water", "floats"), mass_g=mass_g)
        shred(desk, desk.state.items[item].bin, mass_g, sure=True)
    need = charge_plan_view(desk, "bench-top").charge.mean
    view = mix_view(desk, "bench-top")
    assert sum(t.mass_g for t in view.taken) == pytest.approx(need, abs=0.1)

    async def script(phone):
        while WORDS("app.charge.mix") not in phone.texts():
            await phone.settle()
        await phone.click(phone.find(ft.OutlinedButton, f"of {view.taken[0].lot}"))
        assert phone.page.route == f"/lots/{view.taken[0].lot}/draw"

    play(desk, script, "/charge/bench-top")


def test_the_forecast_is_the_desk_s_own(desk) -> None:
    told = forecast_view(desk, "bench-top")
    assert told.fan[0].arrivals == 0
    assert told.fan[-1].p50 > told.fan[0].p50

    async def script(phone):
        while f"after {told.fan[-1].arrivals} pieces" not in phone.texts():
            await phone.settle()

    play(desk, script, "/charge/bench-top")


def test_a_charge_that_is_not_there_leads_back(desk) -> None:
    with pytest.raises(BadInput, match="bench-top"):
        charge_plan_view(desk, "bench")

    async def script(phone):
        await phone.click(phone.find(ft.FilledButton, WORDS("app.charge.to_today")))
        assert phone.page.route == "/"

    play(desk, script, "/charge/bench")


def test_today_leads_to_the_plan(desk) -> None:
    async def script(phone):
        await phone.click(phone.find(ft.OutlinedButton, WORDS("app.home.plan", id="bench-top")))
        assert phone.page.route == "/charge/bench-top"

    play(desk, script, "/")
