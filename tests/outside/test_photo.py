"""Colours read out of drawn photos, against the colours they were drawn with (numpy draws, Pillow reads)."""

import numpy as np
import pytest
from drawn_items import DAY, LAMP, PAPER, SHADE, SLATE, WOOD, photo
from PIL import Image

from intake.drawing.photo import lab_in_photo, read_photo
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.table.bins.ciede2000 import delta_e_2000
from intake.table.bins.colour import lab_of, lab_of_light
from intake.table.bins.light import light_of, mixed, rgb_of
from intake.table.bins.proposal import propose_group

TABLE = Handbook().colours
LIGHTS = {"lamp": LAMP, "shade": SHADE}
SHEET = (0, 0, 480, 50)
GROUPS = [g for g, rgb in TABLE.swatches.items() if rgb and g != "natural"]
HUES = [g for g in GROUPS if g != "white"]


def read(image, **how):
    found = read_photo(image, TABLE, **how)
    return found, propose_group(lab_in_photo(found.body), TABLE)


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("group", HUES)
def test_a_body_on_paper_keeps_its_colour_in_any_light(group, light: str) -> None:
    found, proposal = read(photo(TABLE.swatches[group], LIGHTS[light]))
    assert proposal.group == group
    assert delta_e_2000(lab_in_photo(found.body), lab_of(TABLE.swatches[group])) < 4.0
    assert found.paper is not None


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("group", GROUPS)
def test_a_body_beside_a_sheet_keeps_its_colour_in_any_light(group, light: str) -> None:
    image = photo(TABLE.swatches[group], LIGHTS[light], WOOD, paper_box=SHEET, exposure=0.9)
    found, proposal = read(image)
    assert proposal.group == group
    assert delta_e_2000(lab_in_photo(found.body), lab_of(TABLE.swatches[group])) < 5.0
    assert not found.on_paper


@pytest.mark.parametrize("group", GROUPS)
def test_without_paper_the_camera_is_trusted_by_day(group) -> None:
    found, proposal = read(photo(TABLE.swatches[group], DAY, SLATE))
    assert proposal.group == group
    assert found.paper is None


def test_the_light_matters_where_there_is_no_paper() -> None:
    """The same white body under a lamp is yellow to the camera; only paper tells."""
    under_lamp = photo(TABLE.swatches["white"], LAMP, SLATE)
    assert read(under_lamp)[1].group != "white"


@pytest.mark.parametrize("label", [(250, 250, 250), (30, 60, 160), (200, 40, 40)])
@pytest.mark.parametrize("printed", [False, True], ids=["plain", "printed"])
@pytest.mark.parametrize("group", ["green", "black"])
def test_a_label_does_not_change_the_colour_of_the_body(group, label, printed: bool) -> None:
    bare, _ = read(photo(TABLE.swatches[group]))
    found, proposal = read(photo(TABLE.swatches[group], label=label, print_on=printed))
    assert proposal.group == group
    assert delta_e_2000(lab_in_photo(found.body), lab_in_photo(bare.body)) < 2.0
    assert found.looked_share < bare.looked_share - 0.1


def test_a_white_body_on_white_paper_is_not_seen_and_the_answer_says_what_it_lies_on() -> None:
    with pytest.raises(BadInput, match="ground of another colour"):
        read(photo(TABLE.swatches["white"]))
    found, _ = read(photo(TABLE.swatches["white"], label=(30, 60, 160)))
    assert found.on_paper
    assert found.item_share < 0.1


def test_a_light_table_may_be_told_to_be_no_paper() -> None:
    cream = tuple(light_of((240, 222, 190)))
    image = photo(TABLE.swatches["white"], DAY, cream)
    trusted, _ = read(image, paper=False)
    assert trusted.paper is None
    assert read(photo(TABLE.swatches["blue"], DAY, cream))[0].paper is not None


def test_two_colours_mix_by_area_in_linear_light() -> None:
    """A two-coloured piece: the mix is the mean that numpy takes of the drawn light."""
    scene = np.full((300, 400, 3), 241, np.uint8)
    scene[80:220, 80:200], scene[80:220, 200:320] = (200, 50, 43), (42, 98, 181)
    found, _ = read(Image.fromarray(scene))
    assert [p.share for p in found.patches] == pytest.approx([0.5, 0.5], abs=0.03)
    scale = PAPER[0] / light_of((241, 241, 241))[0]
    wanted = mixed([(light_of((200, 50, 43)), 0.5), (light_of((42, 98, 181)), 0.5)])
    assert found.mix == pytest.approx([v * scale for v in wanted], abs=0.02)


def test_a_pile_of_flakes_is_read_although_it_is_busy_everywhere() -> None:
    chance = np.random.default_rng(5)
    scene = np.full((300, 400, 3), 241, np.uint8)
    colours = np.array([(200, 50, 43), (42, 98, 181), (242, 201, 30)], np.uint8)
    flakes = colours[chance.integers(0, 3, (50, 65))].repeat(4, 0).repeat(4, 1)
    scene[50:250, 70:330] = flakes
    found, _ = read(Image.fromarray(scene))
    wanted = mixed([(light_of(tuple(int(v) for v in c)), 1.0) for c in colours])
    assert delta_e_2000(lab_of_light(found.mix), lab_of_light(wanted)) < 6.0
    assert len(found.patches) >= 3


@pytest.mark.parametrize("size", [(1, 1), (8, 8), (3000, 20), (40, 30)])
@pytest.mark.parametrize("mode", ["L", "RGB"])
def test_an_even_picture_has_no_item(size, mode: str) -> None:
    with pytest.raises(BadInput, match="one even colour"):
        read(Image.new(mode, size, "white"))


@pytest.mark.parametrize("seed", range(6))
def test_noise_gives_an_answer_or_a_sentence(seed: int) -> None:
    noise = np.random.default_rng(seed).integers(0, 256, (90 + seed, 120, 3), dtype=np.uint8)
    try:
        found, proposal = read(Image.fromarray(noise))
    except BadInput:
        return
    assert proposal.group in TABLE.swatches
    assert sum(p.share for p in found.patches) == pytest.approx(1.0)
    assert rgb_of(found.mix)
