"""The parts, called without a browser: what they say, what they call, what they draw."""

import asyncio
import math
from pathlib import Path

import flet as ft
import flet.canvas as cv
import pytest
from app.harness import Harness, said, walk
from hypothesis import given
from hypothesis import strategies as st

from intake.app.parts import strokes
from intake.app.parts.buttons import choice, primary_button, quiet_button
from intake.app.parts.cards import bin_tile, caution_card, reason_card
from intake.app.parts.counter import counter
from intake.app.parts.frame import Panes, Width, step_view
from intake.app.parts.keypad import ERASE, MOST_DECIMALS, MOST_DIGITS, UNITS, keypad, press, unit_switch
from intake.app.parts.kind_tile import kind_tile, tile_grid
from intake.app.parts.mark_tile import mark_tile
from intake.app.parts.odds import Odds, odds_bars
from intake.app.parts.pictures import PICTURES, float_tank, picture
from intake.app.parts.question import question
from intake.app.parts.ring import START, SWEEP, arcs, ring
from intake.app.parts.snack import snack
from intake.app.parts.steps_bar import steps_bar
from intake.app.parts.verdict_card import SHAPES, verdict_card
from intake.app.theme import ACTION, TRACK
from intake.handbook.locate import resources
from intake.spread import Interval
from intake.table.compat.decision import Verdict
from intake.units import number
from intake.words import Words, catalogue

WORDS = catalogue(resources() / "words")
KEYS = [*"0123456789", ".", ",", ERASE]
MASS = Interval(mean=2140.0, low=2010.0, high=2280.0)


def texts(control):
    return [c.value for c in walk(control) if isinstance(c, ft.Text)]


def one(control, kind):
    found = [c for c in walk(control) if isinstance(c, kind)]
    assert len(found) == 1
    return found[0]


def typed(keys):
    text = ""
    for key in keys:
        text = press(text, key)
    return text


# the number pad


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        (["6", "3", ",", "5"], "63,5"),
        (["6", "3", ".", "5"], "63.5"),
        (["1", ".", ",", "5"], "1.5"),
        (["."], "0."),
        ([","], "0,"),
        (["0", "7"], "7"),
        (["0", "0"], "0"),
        (["0", ".", "0", "7"], "0.07"),
        (["1", "2", ERASE], "1"),
        ([ERASE], ""),
        (["9"] * 12, "9" * MOST_DIGITS),
        (["1", ".", *"23456"], "1.234"),
    ],
)
def test_keys_make_the_number_a_person_means(keys, text):
    assert typed(keys) == text


@given(st.lists(st.sampled_from(KEYS), max_size=24))
def test_whatever_is_pressed_stays_a_number_that_can_be_read(keys):
    text = typed(keys)
    if text:
        assert number(text, where="Mass", expected="a mass") >= 0
    whole, _, decimals = text.replace(",", ".").partition(".")
    assert len(whole) <= MOST_DIGITS
    assert len(decimals) <= MOST_DECIMALS


@given(st.lists(st.sampled_from(KEYS[:-1]), max_size=10), st.sampled_from(KEYS[:-1]))
def test_erase_takes_back_the_last_key_or_leaves_less(keys, last):
    before = typed(keys)
    after = press(press(before, last), ERASE)
    assert after in {before, before[:-1], before or "0"} or before == "0"


def test_the_keypad_has_every_digit_both_decimal_signs_and_all_units():
    pad = keypad(WORDS, "63,5", "g", print, print, label="Mass")
    names = [said(c) for c in walk(pad) if isinstance(c, ft.OutlinedButton)]
    assert sorted(names) == sorted([*"0123456789", ",", "."])
    assert [s.value for s in one(pad, ft.SegmentedButton).segments] == list(UNITS)


def test_the_keypad_opens_no_keyboard_of_the_phone_and_still_takes_typing():
    field = one(keypad(WORDS, "", "g", print, print, label="Mass", error="Type a mass"), ft.TextField)
    assert (field.keyboard_type, field.label, field.error) == (ft.KeyboardType.NONE, "Mass", "Type a mass")


def test_keypad_and_units_call_back_in_a_session():
    @ft.component
    def Weigh():  # noqa: N802
        text, set_text = ft.use_state("")
        unit, set_unit = ft.use_state("g")
        return ft.Column(
            [ft.Text(f"[{text} {unit}]"), keypad(WORDS, text, unit, set_text, set_unit, label="Mass")]
        )

    async def go():
        async with Harness(Weigh) as phone:
            for key in "12,5":
                await phone.click(phone.find(ft.OutlinedButton, key))
            await phone.event(phone.find(ft.SegmentedButton), "change", None, selected=["oz"])
            assert "[12,5 oz]" in phone.texts()
            await phone.click(phone.find(ft.IconButton, "Erase last digit"))
            await phone.type(phone.find(ft.TextField), "12,75")
            assert "[12,75 oz]" in phone.texts()
            assert phone.crashes == []

    asyncio.run(go())


@pytest.mark.parametrize("unit", UNITS)
def test_the_unit_in_use_is_the_chosen_one(unit):
    assert unit_switch(unit, print).selected == [unit]


# counting


@pytest.mark.parametrize(
    ("press_it", "count", "wanted"), [("One more", 1, 2), ("One less", 5, 4), ("One more", 63, 64)]
)
def test_the_counter_calls_back_with_the_next_number(press_it, count, wanted):
    got = []
    buttons = {
        said(b): b
        for b in walk(counter(WORDS, "How many alike?", count, got.append))
        if isinstance(b, ft.IconButton)
    }
    buttons[press_it].on_click()
    assert got == [wanted]


@pytest.mark.parametrize(("count", "dead"), [(1, ["One less"]), (2, []), (9999, ["One more"])])
def test_the_counter_stops_at_its_ends(count, dead):
    buttons = [
        b for b in walk(counter(WORDS, "How many alike?", count, print)) if isinstance(b, ft.IconButton)
    ]
    assert [said(b) for b in buttons if b.disabled] == dead


# pictures


@pytest.mark.parametrize("name", list(PICTURES))
def test_every_picture_stays_in_its_box_and_has_a_dark_tone_too(name):
    drawing = PICTURES[name]
    shape = cv.Path(elements=[], paint=ft.Paint())
    for text in filter(None, (drawing.body, drawing.solid, drawing.lines)):
        shape = strokes.path(text, 1.0, strokes.filled(ACTION))
        assert all(0 <= v <= strokes.BOX for e in shape.elements for v in numbers(e))
    assert drawing.body
    assert drawing.solid or drawing.lines
    assert shape.elements


def numbers(element):
    fields = (getattr(element, n, None) for n in ("x", "y", "cp1x", "cp1y", "cp2x", "cp2y"))
    return [v for v in fields if v is not None]


@pytest.mark.parametrize(
    "kind", ["jug", "bottle", "cap", "tub", "pail", "tray", "bag", "box", "pipe", "toy", "other"]
)
def test_every_family_of_kinds_has_a_picture(kind):
    assert one(picture(kind, 56), cv.Canvas).width == 56


@given(st.floats(0.5, 8.0))
def test_a_picture_grows_in_proportion(scale):
    small = strokes.path("M 4 8 L 40 20", 1.0, strokes.filled(ACTION)).elements
    large = strokes.path("M 4 8 L 40 20", scale, strokes.filled(ACTION)).elements
    assert [(e.x * scale, e.y * scale) for e in small] == [(e.x, e.y) for e in large]


@pytest.mark.parametrize("text", ["M 1", "X 1 2", "M 1 2 L 3", "C 1 2 3 4 5", "M a b"])
def test_a_path_that_is_no_path_is_refused(text):
    with pytest.raises(ValueError, match=r".+"):
        strokes.path(text, 1.0, strokes.filled(ACTION))


@pytest.mark.parametrize(
    ("drawing", "label"),
    [
        (picture("jug", label="a jug"), "a jug"),
        (float_tank(floats="PE", sinks="PET", label="PE floats, PET sinks"), "PE floats, PET sinks"),
        (ring(MASS, 3400.0, big="2.14 kg", lines=(), label="two thirds"), "two thirds"),
    ],
    ids=["kind", "tank", "ring"],
)
def test_a_picture_that_stands_alone_is_an_image_with_words(drawing, label):
    seen = [s for s in walk(drawing) if isinstance(s, ft.Semantics)]
    assert [(s.image, s.label, s.exclude_semantics) for s in seen] == [(True, label, True)]


def test_a_picture_beside_its_name_is_silent():
    tile = kind_tile("milk jug", "jug", print)
    assert [s.label for s in walk(tile) if isinstance(s, ft.Semantics) and s.exclude_semantics] == [None]


def test_the_tank_says_what_floats_and_what_sinks():
    canvas = one(float_tank(floats="PE, PP", sinks="PET, PVC", label="tank"), cv.Canvas)
    assert [s.value for s in canvas.shapes if isinstance(s, cv.Text)] == ["PE, PP", "PET, PVC"]


# the ring


@pytest.mark.parametrize(
    ("low", "high", "full", "sure", "doubtful"),
    [
        (0.0, 0.0, 100.0, 0.0, 0.0),
        (50.0, 75.0, 100.0, 0.5, 0.25),
        (90.0, 130.0, 100.0, 0.9, 0.1),
        (120.0, 150.0, 100.0, 1.0, 0.0),
        (5.0, 6.0, 0.0, 1.0, 0.0),
    ],
)
def test_the_ring_shows_the_sure_part_and_then_the_doubtful_one(low, high, full, sure, doubtful):
    first, second = arcs(Interval(mean=(low + high) / 2, low=low, high=high), full)
    assert first == pytest.approx((START, SWEEP * sure))
    assert second == pytest.approx((START + SWEEP * sure, SWEEP * doubtful))


@given(st.floats(0, 1e5), st.floats(0, 1e5), st.floats(0, 1e5))
def test_the_ring_is_never_more_than_full(low, more, full):
    (_, sure), (_, doubtful) = arcs(Interval(mean=low, low=low, high=low + more), full)
    assert sure >= 0
    assert doubtful >= 0
    assert sure + doubtful <= SWEEP + 1e-9


def test_an_empty_ring_has_only_its_track():
    nothing = Interval(mean=0.0, low=0.0, high=0.0)
    shapes = one(ring(nothing, 3400.0, big="0 g", lines=(), label="empty"), cv.Canvas).shapes
    assert [s.paint.color for s in shapes if isinstance(s, cv.Arc)] == [TRACK]
    assert math.isclose(shapes[0].sweep_angle, SWEEP)


# verdicts, reasons, odds


@pytest.mark.parametrize(
    ("verdict", "word"), [(Verdict.ACCEPT, "Accept"), (Verdict.HOLD, "Hold"), (Verdict.REFUSE, "Refuse")]
)
def test_a_verdict_is_a_word_an_act_and_a_shape_and_is_announced(verdict, word):
    card = verdict_card(verdict, word, "Put it in bin H-4", detail="PE-HD")
    assert texts(card) == [word, "Put it in bin H-4", "PE-HD"]
    assert card.live_region
    assert one(card, cv.Canvas).shapes


def test_no_two_verdicts_share_a_shape():
    assert len(set(SHAPES.values())) == len(Verdict)


@pytest.mark.parametrize("share", [-0.1, 0.0, 0.5, 1.0, 1.2])
def test_a_bar_stays_between_nothing_and_all(share):
    row = odds_bars("So far", (Odds(name="PP", share=share, text="50 %"),))
    assert 0.0 <= one(row, ft.ProgressBar).value <= 1.0


def test_odds_are_read_out_in_their_order():
    bars = odds_bars(
        "So far", (Odds(name="PP", share=0.6, text="60 %"), Odds(name="PS", share=0.4, text="40 %"))
    )
    assert [s.label for s in walk(bars) if isinstance(s, ft.Semantics)] == ["PP 60 %", "PS 40 %"]


@pytest.mark.parametrize("make", [reason_card, caution_card])
def test_cards_are_one_stop_with_all_their_sentences(make):
    made = make("Why", ("It floats.", "It is a jug."))
    assert isinstance(made, ft.MergeSemantics)
    assert texts(made) == ["Why", "It floats.", "It is a jug."]


def test_a_caution_has_a_sign_beside_its_colour():
    assert one(caution_card("Do not heat it", ()), ft.Icon).icon == ft.Icons.WARNING_AMBER_ROUNDED


# things to press


@pytest.mark.parametrize(
    ("make", "kind", "name"),
    [
        (lambda f: primary_button("Next", f), ft.FilledButton, "Next"),
        (lambda f: quiet_button("Undo", f), ft.OutlinedButton, "Undo"),
        (
            lambda f: choice("It floats", f, hint="in plain water"),
            ft.OutlinedButton,
            "It floats in plain water",
        ),
        (lambda f: kind_tile("milk jug", "jug", f), ft.OutlinedButton, "milk jug"),
        (lambda f: mark_tile("2", "PE-HD", f), ft.OutlinedButton, "2 PE-HD"),
        (lambda f: mark_tile("", "no mark", f), ft.OutlinedButton, "no mark"),
        (lambda f: bin_tile("H-4", "PE-HD", "2.1 kg", f), ft.OutlinedButton, "H-4 PE-HD 2.1 kg"),
    ],
    ids=["primary", "quiet", "choice", "kind", "mark", "no mark", "bin"],
)
def test_what_can_be_pressed_is_a_named_button_that_calls_back(make, kind, name):
    got = []
    button = one(make(lambda: got.append(1)), kind)
    assert said(button) == name
    button.on_click()
    assert got == [1]


@pytest.mark.parametrize(("chosen", "spoken"), [(None, None), (False, False), (True, True)])
@pytest.mark.parametrize(
    "make", [lambda c: choice("a", print, chosen=c), lambda c: kind_tile("a", "jug", print, chosen=c)]
)
def test_only_what_can_be_chosen_says_whether_it_is(make, chosen, spoken):
    assert next(s for s in walk(make(chosen)) if isinstance(s, ft.Semantics)).selected is spoken


@pytest.mark.parametrize(
    ("count", "per_row", "rows"), [(0, 3, 0), (1, 3, 1), (3, 3, 1), (4, 3, 2), (8, 4, 2)]
)
def test_tiles_fill_rows_of_one_width(count, per_row, rows):
    grid = tile_grid([ft.Text(str(i)) for i in range(count)], per_row=per_row)
    assert [len(r.controls) for r in grid.controls] == [per_row] * rows


# steps, questions, frames


@pytest.mark.parametrize(("done", "total"), [(0, 5), (2, 5), (5, 5)])
def test_the_bar_shows_how_far_the_item_has_come(done, total):
    bar = steps_bar(done, total, label=f"Step {done} of {total}")
    pieces = [c.bgcolor for c in walk(bar) if isinstance(c, ft.Container)]
    assert pieces == [ACTION] * done + [TRACK] * (total - done)
    assert bar.label == f"Step {done} of {total}"


def test_a_question_is_the_first_level_heading():
    head = next(
        s for s in walk(question("What is it?", hint="Look under the base.")) if isinstance(s, ft.Semantics)
    )
    assert (head.header, head.heading_level) == (True, 1)


@pytest.mark.parametrize(
    ("width", "seen"),
    [
        (Width.PHONE, ["body", "foot"]),
        (Width.TABLET, ["body", "foot", "bins", "pile"]),
        (Width.DESKTOP, ["pile", "body", "foot", "bins"]),
    ],
)
def test_panes_stand_where_there_is_room(width, seen):
    view = step_view(
        "/", [ft.Text("body")], [ft.Text("foot")], steps=steps_bar(1, 5, label="1"), back="Back", on_back=print,
        width=width, panes=Panes(left=(ft.Text("pile"),), right=(ft.Text("bins"),)),
    )  # fmt: skip
    assert texts(view) == seen


@pytest.mark.parametrize(
    ("px", "width"),
    [(None, Width.PHONE), (360, Width.PHONE), (719, Width.PHONE), (720, Width.TABLET), (1120, Width.DESKTOP)],
)
def test_a_window_has_the_class_of_its_width(px, width):
    assert Width.of(px) is width


def test_a_snack_goes_by_itself_and_is_announced():
    bar = snack("Saved", action="Undo", on_action=print)
    assert (bar.action, bar.persist) == ("Undo", False)
    assert one(bar, ft.Semantics).live_region


# no text of their own

PARTS = Path(strokes.__file__).parent


def test_parts_say_only_what_they_are_told():
    """Called with an empty catalogue, whatever a part says itself comes out as its key."""
    silent = Words("xx", {})
    made = [counter(silent, "", 1, print), keypad(silent, "", "g", print, print, label="")]
    spoken = {c.semantics_label for m in made for c in walk(m) if isinstance(c, ft.Icon)}
    assert spoken == {"app.counter.less", "app.counter.more", "app.keypad.erase"}


@pytest.mark.parametrize("file", sorted(PARTS.glob("*.py")), ids=lambda p: p.stem)
def test_a_part_needs_no_desk_and_no_session(file):
    text = file.read_text()
    assert "intake.desk" not in text
    assert "intake.app.session" not in text
    assert "use_state" not in text
