"""The first screen without a browser: what it says, what it leads to."""

import asyncio
import re
from dataclasses import replace

import flet as ft
import pytest
from app.harness import Harness, plain, said, walk
from app.sample import open_sample, sample_desk, take

from intake.app.parts.text_size import columns
from intake.app.places import SECTIONS
from intake.app.root import Root
from intake.app.screens.home import charge_ring, counts_card, more_card, more_text, other_charges
from intake.app.session import Shared
from intake.app.texts import kept_together
from intake.desk.receive import receive
from intake.desk.views.home import ChargeView, MoreView, Pieces, home_view
from intake.handbook.locate import resources
from intake.spread import Interval
from intake.words import catalogue

WORDS = catalogue(resources() / "words")
BENCH = ChargeView(
    id="bench-top",
    resin="PE-HD",
    shred=Interval(mean=2140.0, low=2010.0, high=2280.0),
    charge=Interval(mean=3400.0, low=3250.0, high=3560.0),
    missing=Interval(mean=1260.0, low=1100.0, high=1420.0),
    probability_met=0.0008,
)


def run(coroutine):
    return asyncio.run(coroutine)


def texts(*controls):
    return plain("\n".join(c.value for c in walk(list(controls)) if isinstance(c, ft.Text)))


def home(desk=None, **how):
    return Harness(Root, Shared(desk=desk or sample_desk(), words=WORDS), views=True, **how)


def test_the_ring_says_what_there_is_with_its_doubt():
    shown = charge_ring(WORDS, BENCH)
    image = next(s for s in walk(shown) if isinstance(s, ft.Semantics) and s.image)
    assert image.label == "PE-HD: 2.14 kg of clean shred, between 2.01 and 2.28 kg. The mould takes 3.40 kg."
    assert texts(shown) == "of 3.40 kg\nbetween 2.01 and 2.28 kg\npale: not sure yet"


def test_an_amount_without_doubt_is_not_told_as_a_range():
    sure = replace(BENCH, shred=Interval(mean=0.0, low=0.0, high=0.0))
    assert texts(charge_ring(WORDS, sure)) == "of 3.40 kg"


JUGS = Pieces(kind="jug", name="jug", count=14)
BOTTLES = Pieces(kind="detergent-bottle", name="detergent bottle", count=22)


@pytest.mark.parametrize(
    ("pieces", "told"),
    [
        ((JUGS, BOTTLES), "About 14 more jugs, or 22 detergent bottles"),
        ((JUGS,), "About 14 more jugs"),
        ((replace(JUGS, count=1), replace(BOTTLES, count=1)), "About 1 more jug, or 1 detergent bottle"),
    ],
    ids=["two kinds", "one kind", "one piece"],
)
def test_what_is_missing_is_told_in_pieces(pieces, told):
    assert more_text(WORDS, pieces) == told


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (None, ""),
        ({}, ""),
        ({"bench-top": MoreView(wanted=0.9, pieces=(JUGS,), enough=False)}, "90 % chance of filling"),
        ({"bench-top": MoreView(wanted=0.9, pieces=(), enough=False)}, "Weigh what was only counted"),
        ({"bench-top": MoreView(wanted=0.9, pieces=(), enough=True)}, "That is enough for the mould"),
    ],
    ids=["not worked out yet", "no such charge", "pieces", "no number of pieces", "enough"],
)
def test_the_card_says_what_helps_most(more, told):
    cards = more_card(WORDS, BENCH, more)
    assert bool(cards) is bool(told)
    assert told in texts(*cards)


def test_the_pieces_come_beside_the_drawing_and_are_shown_when_they_are_there():
    async def go():
        async with home() as phone:
            for _ in range(100):
                if "About" in phone.texts():
                    break
                await phone.settle()
            assert re.search(r"About \d+ more jugs, or \d+ detergent bottles", phone.texts())
            assert phone.crashes == []

    run(go())


@pytest.mark.parametrize(
    ("changes", "there"),
    [({"charges": ()}, 0), ({"charges": (BENCH,)}, 0), ({"charges": (BENCH, replace(BENCH, id="b"))}, 2)],
    ids=["no charge", "one charge", "two charges"],
)
def test_only_where_there_is_a_choice_of_charges_one_is_offered(changes, there):
    view = replace(home_view(sample_desk()), **changes)
    assert len(other_charges(WORDS, view, BENCH, lambda _: None)) == there


def test_another_charge_can_be_looked_at():
    async def go():
        async with home() as phone:
            await phone.click(phone.find(ft.OutlinedButton, "PP for small-crate"))
            assert any(s.image and "PP: " in (s.label or "") for s in phone.all(ft.Semantics))

    run(go())


def test_the_counts_are_told_in_one_line():
    view = replace(home_view(sample_desk()), accepted=41, held=3, refused=9)
    assert "41 accepted, 3 held, 9 refused" in texts(counts_card(WORDS, view))


@pytest.mark.parametrize(
    ("button", "route"),
    [("Take an item", "/item"), ("on the hold shelf", "/hold"), ("pail", "/item/i006")],
    ids=["the next item", "the hold shelf", "what is not finished"],
)
def test_everything_on_it_leads_somewhere(button, route):
    async def go():
        async with home() as phone:
            buttons = [
                b for k in (ft.FilledButton, ft.OutlinedButton) for b in phone.all(k) if button in said(b)
            ]
            await phone.click(buttons[0])
            assert phone.page.route.startswith(route)
            assert phone.crashes == []

    run(go())


def test_an_empty_table_says_so_without_shelf_or_pile(tmp_path):
    async def go(desk):
        async with home(desk) as phone:
            assert "0 accepted, 0 held, 0 refused" in phone.texts()
            assert "on the hold shelf" not in phone.texts()
            assert "Not finished" not in phone.texts()
            assert phone.crashes == []

    with open_sample(tmp_path / "l") as desk:
        run(go(desk))


def test_progress_moves_when_somebody_places_an_item(tmp_path):
    async def go(desk):
        both = Shared(desk=desk, words=WORDS)
        async with Harness(Root, both, views=True) as phone:
            assert "0 g" in phone.texts()
            await both.act(
                lambda: take(desk, "jug", 4, mark="2 HDPE", test=("float:water", "floats"), mass_g=240.0)
            )
            await phone.settle()
            assert "1 accepted" in phone.texts()
            image = next(s for s in phone.all(ft.Semantics) if s.image)
            grams = int(re.search(r"PE-HD: (\d+) g", image.label).group(1))
            assert 200 < grams < 240

    with open_sample(tmp_path / "l") as desk:
        run(go(desk))


def test_more_than_fit_are_counted(tmp_path):
    async def go(desk):
        async with home(desk) as phone:
            assert "Not finished (9)" in phone.texts()
            assert len([b for b in phone.all(ft.OutlinedButton) if said(b).startswith("jug")]) == 6

    with open_sample(tmp_path / "l") as desk:
        for _ in range(9):
            receive(desk, "jug")
        run(go(desk))


@pytest.mark.parametrize(("width", "bars"), [(360, 1), (800, 0), (1280, 0)])
def test_the_sections_stand_below_on_a_phone_and_beside_on_a_wide_window(width, bars):
    async def go():
        async with home(width=width) as phone:
            assert len(phone.all(ft.NavigationBar)) == bars
            assert len(phone.all(ft.NavigationRail)) == 1 - bars
            names = [
                d.label
                for k in (ft.NavigationBarDestination, ft.NavigationRailDestination)
                for d in phone.all(k)
            ]
            assert names == ["Today", "Bins", "Lots", "Hold"]

    run(go())


@pytest.mark.parametrize("at", range(len(SECTIONS)))
def test_a_section_is_reached_from_any_other(at):
    async def go():
        async with home(route="/hold") as phone:
            bar = phone.find(ft.NavigationBar)
            await phone.event(bar, "change", at, selected_index=at)
            assert phone.page.route == SECTIONS[at].path
            assert phone.find(ft.NavigationBar).selected_index == at

    run(go())


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("PE-HD", "PE\u2011HD"),
        ("QT-01", "QT\u201101"),
        ("chance < 0.1 %.", "chance <\u00a00.1\u00a0%."),
        ("41 g of shred", "41\u00a0g of shred"),
        ("2.14 kg (2.01 to 2.28)", "2.14\u00a0kg (2.01 to 2.28)"),
        ("0.953 g/cm3", "0.953\u00a0g/cm3"),
        ("10 glasses", "10 glasses"),
        ("blow-moulded", "blow-moulded"),
    ],
)
def test_a_name_and_an_amount_are_never_broken(text, kept):
    assert kept_together(text) == kept


@pytest.mark.parametrize(
    ("usual", "large", "told"), [(3, False, 3), (4, False, 4), (3, True, 2), (4, True, 2), (2, True, 2)]
)
def test_large_text_puts_fewer_tiles_side_by_side(usual, large, told):
    assert columns(usual, large=large) == told


@pytest.mark.parametrize(("height", "per_row"), [(10.0, 3), (14.0, 3), (20.0, 2)])
def test_the_kinds_stand_in_columns_that_fit_the_text(height, per_row):
    async def go():
        async with home(route="/item") as phone:
            probe = next(c for c in walk([phone.page._overlay]) if getattr(c, "on_size_change", None))
            await phone.event(probe, "size_change", {"w": 9.0, "h": height})
            rows = [r for r in phone.all(ft.Row) if r.intrinsic_height]
            assert len(rows[0].controls) == per_row
            assert phone.crashes == []

    run(go())
