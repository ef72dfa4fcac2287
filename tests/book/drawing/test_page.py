"""Text on a page wraps, shapes stand where they should, and black alone tells the patterns apart."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.drawing.fonts import Fonts
from intake.drawing.ink import Paper, Pattern, Rect, Tone
from intake.drawing.page import Page
from intake.drawing.paths import curve, outlines
from intake.drawing.pictures import PICTURES, draw_picture
from intake.drawing.sketches import LEVELS, draw_sketch
from intake.errors import UnknownName
from intake.handbook.locate import resources


@pytest.fixture(scope="module")
def page() -> Page:
    return Page(Paper.A4, Fonts.of(resources() / "fonts"))


def _grey(page: Page, box: Rect) -> np.ndarray:
    places = [page.px(v) for v in (box.left, box.top, box.right, box.bottom)]
    return np.asarray(page.image.convert("L").crop(tuple(places)), dtype=float)


@settings(max_examples=60, deadline=None)
@given(
    text=st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=300),
    width=st.floats(15, 180),
    cap=st.floats(1.5, 6),
)
def test_no_line_is_wider_than_its_column(page, text, width, cap) -> None:
    for line in page.lines(text, width, cap):
        assert page.text(line, 10, 10, cap) <= width + 0.2


@given(st.lists(st.text("abcdefghij", min_size=1, max_size=8), max_size=30))
def test_wrapping_loses_no_word(page, words) -> None:
    assert " ".join(page.lines(" ".join(words), 60.0, 3.0)) == " ".join(words)


def test_a_word_of_400_letters_is_broken(page) -> None:
    lines = page.lines("n" * 400, 60.0, 4.0)
    assert "".join(lines) == "n" * 200  # the font looks at no more of one word
    assert len(lines) > 3


@pytest.mark.parametrize("text", ["up to 10 cm away", "take 2 L of it", "at 60 °C and no more"])
def test_a_number_stays_with_its_unit(page, text) -> None:
    number = next(w for w in text.split() if w.isdigit())
    for width in range(12, 60):
        assert not [
            line
            for line in page.lines(text, float(width), 4.0)
            if line.endswith(f" {number}") or line == number
        ]


@pytest.mark.parametrize(
    ("paper", "size"),
    [
        pytest.param(Paper.A4, (210.0, 297.0), id="ISO 216, A4"),
        pytest.param(Paper.LETTER, (8.5 * 25.4, 11 * 25.4), id="ANSI A, 8.5 x 11 inch"),
    ],
)
def test_papers_have_their_size(paper, size) -> None:
    assert paper.size_mm == pytest.approx(size)


@pytest.mark.parametrize("text", ["A4", "letter", " Letter "])
def test_a_paper_is_named_in_any_case(text) -> None:
    assert Paper.named(text).value == text.strip().lower()


@pytest.mark.parametrize("text", ["A5", "", "legal"])
def test_another_paper_is_refused(text) -> None:
    with pytest.raises(UnknownName, match="a4"):
        Paper.named(text)


def test_black_alone_tells_the_patterns_apart(page) -> None:
    # how much of the area is white, and how it changes along a row and down a column
    looks = {}
    for number, pattern in enumerate(Pattern):
        box = Rect(20.0 + 40.0 * number, 100.0, 30.0, 30.0)
        page.shape(box.outline, Tone.REFUSE, pattern)
        grey = _grey(page, Rect(box.left + 2, box.top + 2, 26.0, 26.0))
        looks[pattern] = (grey.mean(), grey.std(axis=0).mean(), grey.std(axis=1).mean())
    solid, stripes, hatch, dots = (looks[p] for p in Pattern)
    assert solid[1] == solid[2] == 0.0
    assert stripes[2] < 1.0 < stripes[1]
    assert min(hatch[1:]) > 1.0
    assert dots[0] > hatch[0] + 20.0 > solid[0] + 20.0


def test_a_shape_stands_where_it_should(page) -> None:
    page.shape(Rect(50.0, 200.0, 20.0, 10.0).outline, Tone.INK)
    dark = _grey(page, Rect(45.0, 195.0, 30.0, 20.0)) < 128
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    mm = 25.4 / 300
    assert [rows[0] * mm, rows.size * mm] == pytest.approx([5.0, 10.0], abs=0.2)
    assert [columns[0] * mm, columns.size * mm] == pytest.approx([5.0, 20.0], abs=0.2)


@pytest.mark.parametrize("name", [*PICTURES, "nobody drew this"])
def test_a_picture_stays_in_its_square(name) -> None:
    page = Page(Paper.A4, Fonts.of(resources() / "fonts"))
    draw_picture(page, name, 50.0, 50.0, 20.0)
    rows, columns = np.nonzero(np.asarray(page.image.convert("L")) < 250)
    mm = 25.4 / 300
    assert rows.size > 1000
    assert min(rows.min(), columns.min()) * mm >= 49.5
    assert max(rows.max(), columns.max()) * mm <= 70.5


@pytest.mark.parametrize("name", LEVELS)
def test_a_sketch_has_a_panel_for_each_level(name) -> None:
    page = Page(Paper.A4, Fonts.of(resources() / "fonts"))
    panels = draw_sketch(page, name, Rect(20.0, 20.0, 90.0, 24.0))
    assert len(panels) == len(LEVELS[name])
    for panel in panels:
        assert (_grey(page, panel) < 200).any()


def test_a_curve_keeps_its_ends() -> None:
    points = curve((0.0, 0.0), (1.0, 5.0), (2.0, -5.0), (3.0, 1.0))
    assert (points[0], points[-1]) == ((0.0, 0.0), (3.0, 1.0))


@pytest.mark.parametrize("text", ["X 1 2", "M 1", "L 1 2 3 Q"])
def test_a_path_with_a_fault_is_refused(text) -> None:
    with pytest.raises((ValueError, IndexError)):
        outlines(text, 0.0, 0.0, 1.0)


def test_the_app_draws_the_same_pictures() -> None:
    from intake.app.parts import pictures as app

    assert {n: (p.body, p.solid, p.lines) for n, p in app.PICTURES.items()} == {
        n: (p.body, p.solid, p.lines) for n, p in PICTURES.items()
    }
