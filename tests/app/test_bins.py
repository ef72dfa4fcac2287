"""The bins, a passport, a tag and the hold shelf without a browser."""

import asyncio
import re

import flet as ft
import pytest
from app.harness import Harness, plain, said, walk
from app.sample import open_sample, sample_desk, take

from intake.app.root import Root
from intake.app.screens.bin_said import evidence_text, foreign_texts, kind_text
from intake.app.session import Shared
from intake.app.tags import Tags
from intake.desk.views.bins import BinTile, ForeignLine, bins_view
from intake.errors import UnknownName
from intake.handbook.locate import resources
from intake.spread import Interval
from intake.table.compat.decision import Verdict
from intake.table.identify.evidence import Cue, Density, FloatTest, Mark, MarkHow, Outcome
from intake.words import catalogue

WORDS = catalogue(resources() / "words")
FLOATS = ("float:water", "floats")


def run(coroutine):
    return asyncio.run(coroutine)


def shown(route, desk=None, **how):
    return Harness(Root, Shared(desk=desk or sample_desk(), words=WORDS), views=True, route=route, **how)


def jugs(desk, count=4, mass_g=240.0):
    return take(desk, "jug", count, mark="2 HDPE", test=FLOATS, mass_g=mass_g)


async def until(phone, text):
    for _ in range(200):
        if text in phone.texts():
            return
        await phone.settle()
    raise AssertionError(f"{text!r} never came among {phone.texts()!r}")


# the shelf


def test_every_bin_is_a_button_that_says_what_it_takes_and_holds():
    async def go():
        async with shown("/bins") as phone:
            names = [said(b) for b in phone.all(ft.OutlinedButton)]
            assert [n.split()[0] for n in names] == [t.id for t in bins_view(sample_desk())]
            assert re.fullmatch(
                r"QT-01 PE-HD · natural · blow-moulded \d+ g of shred \(\d+ to \d+\) Pieces: 6 · \d+ % full",
                names[0],
            )
            await phone.click(phone.all(ft.OutlinedButton)[1])
            assert phone.page.route == "/bins/QT-02"
            assert phone.crashes == []

    run(go())


def test_a_table_without_bins_says_how_the_first_comes(tmp_path):
    async def go(desk):
        async with shown("/bins", desk) as phone:
            assert "The first accepted item opens one." in phone.texts()
            assert phone.all(ft.OutlinedButton) == []

    with open_sample(tmp_path / "l") as desk:
        run(go(desk))


TILE = BinTile(
    id="QT-01", resin="PP", colour="grey", swatch="#888888", flow="injection", filled=True, items=1, pieces=3,
    shred=Interval(mean=10.0, low=9.0, high=11.0), full=0.1, tagged=False,
)  # fmt: skip


def test_a_bin_for_filled_plastic_says_so():
    assert kind_text(WORDS, TILE) == "PP, filled · grey · injection-moulded"


@pytest.mark.parametrize("width", [800, 1280])
def test_a_wide_window_shows_the_first_passport_beside_the_shelf(width):
    async def go():
        async with shown("/bins", width=width) as phone:
            assert "What lies in it" in phone.texts()
            assert len([b for b in phone.all(ft.OutlinedButton) if "full" in said(b)]) == len(
                bins_view(sample_desk())
            )
            assert phone.crashes == []

    run(go())


# the passport


def test_a_passport_says_what_lies_in_the_bin_and_why_it_is_trusted():
    async def go():
        async with shown("/bins/QT-01") as phone:
            await until(phone, "opened")
            for text in (
                "of clean shred", "Pieces: 6, entered in rows: 1", "of 15.00 kg", "of 60 litres",
                "6 × jug, natural", "Accepted as PE-HD (> 99.9 %)", "Mark 2 HDPE, moulded",
                "Does a piece float in plain water? It floats.", "in: 6 × jug, natural",
            ):  # fmt: skip
                assert text in phone.texts(), text
            assert re.search(r"% [A-Z-]+ expected, up to [\d.]+ % does no harm", phone.texts())
            assert phone.crashes == []

    run(go())


def test_an_item_is_taken_back_only_when_it_is_confirmed(tmp_path):
    async def go(desk, item):
        async with shown("/bins/QT-01", desk) as phone:
            await asyncio.sleep(0.4)  # a new screen takes no tap that was meant for the one before
            for answer, bin_id in (("Leave it in", "QT-01"), ("Take it out", None)):
                await phone.click(phone.find(ft.TextButton, "Take it out again"))
                assert "Take 4 × jug, natural out of QT-01?" in phone.texts()
                await phone.click(
                    next(b for k in (ft.FilledButton, ft.OutlinedButton) for b in phone.all(k, answer))
                )
                for _ in range(50):
                    if desk.state.items[item].bin == bin_id:
                        break
                    await phone.settle()
                assert desk.state.items[item].bin == bin_id
            await until(phone, "out again: 4 × jug, natural")
            assert "Nothing lies in it now." in phone.texts()
            assert phone.crashes == []

    with open_sample(tmp_path / "l") as desk:
        run(go(desk, jugs(desk)))


def test_what_one_phone_takes_back_the_other_sees_gone(tmp_path):
    async def go(desk, item):
        both = Shared(desk=desk, words=WORDS)
        async with (
            Harness(Root, both, views=True, route="/bins/QT-01") as one,
            Harness(Root, both, views=True, route="/bins") as two,
        ):
            assert "4 × jug" in one.texts()
            from intake.desk.place import take_back

            await both.act(take_back, desk, item)
            await one.settle()
            assert "4 × jug, natural" not in one.texts().split("What happened")[0]
            assert "Nothing lies in it now." in two.texts()
            assert one.crashes == two.crashes == []

    with open_sample(tmp_path / "l") as desk:
        run(go(desk, jugs(desk)))


@pytest.mark.parametrize("route", ["/bins/QT-99", "/bins/QT-99/label"])
@pytest.mark.parametrize("width", [360, 1280])
def test_a_bin_that_is_not_there_leads_to_the_bins(route, width):
    async def go():
        async with shown(route, width=width) as phone:
            assert "There is no such bin" in phone.texts()
            await phone.click(phone.all(ft.FilledButton, "Go to the bins")[-1])
            assert phone.page.route == "/bins"
            assert phone.crashes == []

    run(go())


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            ForeignLine(material="PP", expected=0.002, tolerated=0.05, over=0.0002),
            "0.2 % PP expected, up to 5.0 % does no harm. Chance of more: < 0.1 %.",
        ),
        (
            ForeignLine(material="label", expected=0.0001, tolerated=0.01, over=0.018),
            "< 0.1 % label expected, up to 1.0 % does no harm. Chance of more: 1.8 %.",
        ),
        (
            ForeignLine(material="PVC", expected=7e-6, tolerated=2e-4, over=None),
            "7 parts per million of PVC expected, 200 is the most allowed.",
        ),
    ],
    ids=["a resin", "what stays on", "a hazard"],
)
def test_foreign_material_is_told_so_that_it_can_be_compared(line, told):
    assert plain(foreign_texts(WORDS, (line,))[0]) == told


def test_a_bin_without_anything_foreign_says_so():
    assert foreign_texts(WORDS, ()) == ("Nothing foreign is to be expected in it.",)


@pytest.mark.parametrize(
    ("piece", "told"),
    [
        (Mark(text="2 HDPE"), "Mark 2 HDPE, moulded"),
        (Mark(text="5", how=MarkHow.STICKER), "Mark 5, sticker"),
        (
            FloatTest(bath="water", bath_g_cm3=0.998, outcome=Outcome.FLOATS),
            "Does a piece float in plain water? It floats.",
        ),
        (
            FloatTest(bath="0.93", bath_g_cm3=0.93, outcome=Outcome.HOVERS),
            "In a bath of 0.930 g/cm3: It hangs in between.",
        ),
        (Density(density_g_cm3=0.953, sd_g_cm3=0.004),
         "Weighed hanging in water: 0.953 g/cm3, give or take 0.004"),
        (Cue(name="crease", value="no_mark"), "What does a sharp fold do? No mark stays."),
        (Cue(name="crease", value="unsure"), "What does a sharp fold do? Not sure."),
    ],
    ids=["mark", "sticker", "house bath", "own bath", "density", "cue", "unsure"],
)  # fmt: skip
def test_evidence_is_told_in_words(piece, told):
    assert evidence_text(WORDS, piece) == told


def test_every_cue_and_bath_of_the_handbook_has_its_words():
    cues = sample_desk().handbook.identify.cues
    seen = [
        Cue(name=c.id, value=level) for c in cues.cues.values() if not c.effort.heat for level in c.levels
    ]
    seen += [FloatTest(bath=b, bath_g_cm3=1.0, outcome=o) for b in cues.baths for o in Outcome]
    told = [evidence_text(WORDS, piece) for piece in seen]
    assert [t for t in told if "walk." in t or "In a bath of" in t] == []
    assert len(set(told)) == len(told)


# the tag


def test_the_tag_is_drawn_beside_the_event_loop_and_offered_as_files():
    async def go():
        async with shown("/bins/QT-01/label") as phone:
            for _ in range(400):
                if phone.all(ft.Image):
                    break
                await phone.settle()
            image = phone.find(ft.Image)
            assert image.src.startswith(b"\x89PNG")
            assert plain(image.semantics_label) == "The tag of QT-01 as it will be printed"
            urls = [b.url for k in (ft.FilledButton, ft.OutlinedButton) for b in phone.all(k) if b.url]
            assert urls == ["/download/tag/QT-01.pdf", "/download/tag/QT-01.png"]
            assert phone.crashes == []

    run(go())


def test_a_tag_is_drawn_once_and_recorded_once_however_often_it_is_fetched(tmp_path):
    told = []
    with open_sample(tmp_path / "l") as desk:
        jugs(desk)
        tags = Tags(desk, WORDS, lambda: told.append(1))
        assert tags.known("QT-01") is None
        files = [tags.download(f"QT-01.{kind}") for kind in ("pdf", "png", "pdf")]
        assert files[0].data is files[2].data
        assert [f.media_type for f in files] == ["application/pdf", "image/png", "application/pdf"]
        assert files[0].data.startswith(b"%PDF")
        assert tags.known("QT-01") is files[1].data
        assert len(desk.state.bins["QT-01"].labels) == 1
        assert told == [1]


@pytest.mark.parametrize("name", ["QT-99.pdf", "QT-01.exe", "QT-01", "", "../QT-01.pdf"])
def test_a_file_that_is_no_tag_is_refused_and_nothing_recorded(name, tmp_path):
    with open_sample(tmp_path / "l") as desk:
        jugs(desk)
        with pytest.raises(UnknownName, match="nearest known"):
            Tags(desk, WORDS, lambda: None).download(name)
        assert desk.state.bins["QT-01"].labels == ()


# the hold shelf


def test_the_hold_shelf_says_why_how_long_and_what_would_settle_it():
    async def go():
        async with shown("/hold") as phone:
            await until(phone, "Begin with this one")
            assert "Waiting: 1." in phone.texts()
            assert f"Tag: {sample_desk().with_verdict(Verdict.HOLD)[0].id}" in phone.texts()
            assert re.search(r"Here for \d+ min|It just came", phone.texts())
            await phone.click(phone.find(ft.OutlinedButton, "3 × tub, white"))
            held = sample_desk().with_verdict(Verdict.HOLD)[0].id
            assert phone.page.route == f"/item/{held}"
            assert phone.crashes == []

    run(go())


def test_an_empty_hold_shelf_says_what_comes_there(tmp_path):
    async def go(desk):
        async with shown("/hold", desk) as phone:
            assert "Nothing waits." in phone.texts()

    with open_sample(tmp_path / "l") as desk:
        run(go(desk))


def test_a_long_hold_shelf_is_shown_in_steps(tmp_path):
    async def go(desk):
        async with shown("/hold", desk) as phone:
            assert len(phone.all(ft.OutlinedButton, None)) == 21
            await phone.click(phone.find(ft.OutlinedButton, "Show more (3)"))
            assert len(phone.all(ft.OutlinedButton)) == 23
            assert phone.crashes == []

    with open_sample(tmp_path / "l") as desk:
        for _ in range(23):
            take(desk, "tub", 3, colour="white")
        run(go(desk))


@pytest.mark.parametrize("route", ["/bins", "/bins/QT-01", "/bins/QT-01/label", "/hold"])
@pytest.mark.parametrize("width", [360, 1280])
def test_everything_to_press_has_a_name(route, width):
    async def go():
        async with shown(route, width=width) as phone:
            kinds = (ft.FilledButton, ft.OutlinedButton, ft.TextButton, ft.IconButton)
            buttons = [b for b in walk([phone.page.views]) if isinstance(b, kinds)]
            assert buttons
            assert all(said(b) for b in buttons)

    run(go())
