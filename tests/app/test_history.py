"""What was done last and its undo, a thing by its name, and the pages to print, without a browser."""

import io
import shutil
import subprocess

import flet as ft
import pytest
from app.harness import plain
from app.sample import open_sample, work
from app.test_lots import LOT, WORDS, play, until
from PIL import Image

from intake.app.main import downloads_of
from intake.app.session import Shared
from intake.desk.desk import Desk
from intake.desk.last_acts import Why, last_acts
from intake.desk.shred import shred
from intake.desk.undo import undo_named
from intake.errors import BadInput, IntakeError, UnknownName


@pytest.fixture(scope="module")
def day(tmp_path_factory):
    """The ledger of a table after its day with one bin shredded, and the handbook it was read with."""
    folder = tmp_path_factory.mktemp("day")
    with open_sample(folder / "day") as opened:
        work(opened)
        shred(opened, "QT-01", 365.0)
    return folder / "day", opened.handbook


@pytest.fixture
def desk(day, tmp_path):
    folder, handbook = day
    shutil.copytree(folder, tmp_path / "ledger")
    with Desk.open(tmp_path / "ledger", handbook) as table:
        yield table


@pytest.fixture(scope="module")
def looked(day):
    """The same table for tests that change nothing that others count."""
    folder, handbook = day
    with Desk.open(folder, handbook) as table:
        yield table


# --- what was done last -------------------------------------------------------------------------------------------


def test_the_newest_act_comes_first_and_every_one_has_an_undo_or_a_reason(looked):
    acts = last_acts(looked)
    orders = [a.line.event.order for a in acts]
    assert orders == sorted(orders, reverse=True)
    assert acts[0].line.event.kind == "Shredded"
    assert acts[0].undo == LOT
    assert all(bool(a.undo) != bool(a.why) for a in acts)


def test_what_is_offered_can_be_undone_and_undoes_just_that_act(day, looked, tmp_path):
    # the source of truth is `undo_named`: each offer is tried on a table of its own
    folder, handbook = day
    offers = [(a.line.event.id, a.undo) for a in last_acts(looked, 500) if a.undo]
    assert len(offers) > 3
    for number, (event, name) in enumerate(offers):
        shutil.copytree(folder, tmp_path / str(number))
        with Desk.open(tmp_path / str(number), handbook) as table:
            undo_named(table, name)
            assert event in table.state.undone


def test_an_item_in_a_lot_says_that_the_shredding_goes_first(looked):
    item = looked.state.lots[LOT].items[0]
    last = looked.state.items[item].history[-1]
    act = next(a for a in last_acts(looked, 500) if a.line.event.id == last)
    assert act.undo in ("", LOT)
    assert act.why is not Why.TABLE


def test_an_undo_is_asked_for_then_done_and_then_shown_as_undone(desk):
    async def script(phone):
        await until(phone, "What was done last")
        await until(phone, f"Undo this at {LOT}")
        await phone.click(phone.find(ft.TextButton, f"Undo this at {LOT}"))
        assert LOT in desk.state.lots
        await phone.click(phone.find(ft.FilledButton, "Undo it"))
        await until(phone, WORDS("app.history.why.undone"))

    play(desk, "/history", script)
    assert LOT not in desk.state.lots


def test_an_act_that_was_overtaken_is_not_undone_in_place_of_another(desk):
    async def script(phone):
        await until(phone, f"Undo this at {LOT}")
        await phone.click(phone.find(ft.TextButton, f"Undo this at {LOT}"))
        undo_named(desk, LOT)  # another phone was faster
        before = len(list(desk.ledger.events()))
        await phone.click(phone.find(ft.FilledButton, "Undo it"))
        for _ in range(20):
            await phone.settle()
        assert len(list(desk.ledger.events())) == before

    play(desk, "/history", script)


@pytest.mark.parametrize(
    ("name", "title"), [("QT-01", "Bin QT-01"), (LOT, f"Lot {LOT}"), ("zz", "Nothing here")]
)
def test_one_thing_has_its_whole_history(looked, name, title):
    async def script(phone):
        await until(phone, title)

    play(looked, f"/history/{name}", script)


# --- a thing by its name ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("typed", "leads"), [("qt-02", "/bins/QT-02"), (LOT.lower(), f"/lots/{LOT}")])
def test_a_typed_id_opens_its_bin_or_lot(looked, typed, leads):
    async def script(phone):
        await phone.type(phone.find(ft.TextField), typed)
        await phone.click(phone.find(ft.FilledButton, "Open it"))
        assert phone.page.route == leads

    play(looked, "/find", script)


def test_an_id_nobody_knows_is_told_with_the_nearest(looked):
    async def script(phone):
        await phone.type(phone.find(ft.TextField), "QT-09")
        await phone.click(phone.find(ft.FilledButton, "Open it"))
        assert phone.page.route == "/find"
        assert "QT-0" in plain(phone.find(ft.TextField).error)

    play(looked, "/find", script)


def test_an_item_in_a_lot_leads_to_its_history(looked):
    item = looked.state.lots[LOT].items[0]

    async def script(phone):
        await phone.type(phone.find(ft.TextField), item)
        await phone.click(phone.find(ft.FilledButton, "Open it"))
        assert phone.page.route == "/find"
        assert f"History of {item}" in phone.texts()

    play(looked, "/find", script)


# --- pages to print -----------------------------------------------------------------------------------------------


def pages(data, tmp_path):
    """Pages and their size [mm], as poppler's pdfinfo reads them."""
    (tmp_path / "x.pdf").write_bytes(data)
    told = subprocess.run(["pdfinfo", tmp_path / "x.pdf"], capture_output=True, text=True, check=True).stdout
    lines = dict(line.split(":", 1) for line in told.splitlines() if ":" in line)
    width, height = (float(lines["Page size"].split()[n]) * 25.4 / 72 for n in (0, 2))
    return int(lines["Pages"]), round(width), round(height)


@pytest.mark.parametrize(
    ("kind", "name", "size"),
    [
        pytest.param("report", "day.pdf", (210, 297), id="ISO 216 A4"),
        pytest.param("card", "card.pdf", (210, 297), id="ISO 216 A4, card"),
        pytest.param("sheet", "a4-3x8.1.pdf", (210, 297), id="ISO 216 A4, sheet"),
        pytest.param("sheet", "letter-3x10.30.pdf", (216, 279), id="US Letter 8.5 x 11 in"),
    ],
)
def test_a_page_is_a_pdf_of_its_paper(looked, kind, name, size, tmp_path):
    made = downloads_of(Shared(desk=looked, words=WORDS))[kind](name)
    count, *found = pages(made.data, tmp_path)
    assert tuple(found) == size
    # with only the last label of a page free, the second one starts a page
    assert count == (2 if name.startswith("letter") else 1)


def test_a_sheet_that_starts_beyond_its_last_label_is_told(looked):
    sheet = downloads_of(Shared(desk=looked, words=WORDS))["sheet"]
    for name in ("a4-3x8.25.pdf", "a4-3x8.0.pdf", "a4-3x8.pdf", "a4-9x9.1.pdf", "a4-3x8.²"):
        with pytest.raises(BadInput):
            sheet(name)


def test_the_label_of_a_lot_is_handed_out_and_recorded_once(desk):
    lot = downloads_of(Shared(desk=desk, words=WORDS))["lot"]
    Image.open(io.BytesIO(lot(f"{LOT}.png").data)).verify()
    lot(f"{LOT}.pdf")
    assert len(desk.state.lots[LOT].labels) == 1
    with pytest.raises(UnknownName):
        lot("QT-L99.pdf")
    with pytest.raises(IntakeError):
        lot(f"{LOT}.exe")


def test_the_print_screen_counts_the_first_label_and_links_the_sheet(looked):
    async def script(phone):
        links = [b.url for b in phone.all(ft.FilledButton) if b.url]
        assert links == ["/download/sheet/a4-3x8.1.pdf"]
        await phone.click(phone.all(ft.IconButton)[-1])
        assert [b.url for b in phone.all(ft.FilledButton) if b.url] == ["/download/sheet/a4-3x8.2.pdf"]

    play(looked, "/papers", script)
