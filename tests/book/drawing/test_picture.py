import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from spoilt_pictures import SPOILT, jpeg, png

from intake.drawing.picture import MOST_PIXELS, open_picture
from intake.errors import BadInput


@pytest.mark.parametrize("name", SPOILT)
def test_what_cannot_be_read_is_told_in_a_sentence(tmp_path, name: str) -> None:
    content, said = SPOILT[name]
    path = tmp_path / "photo.jpg"
    path.write_bytes(content)
    with pytest.raises(BadInput, match=said) as caught:
        open_picture(path)
    assert str(caught.value).startswith("Picture: cannot use 'photo.jpg'. Expected ")
    assert str(caught.value).endswith("Nothing was changed.")


@pytest.mark.parametrize("how", ["missing", "a folder"])
def test_a_path_without_a_file_is_told(tmp_path, how: str) -> None:
    path = tmp_path / "photo.jpg"
    if how == "a folder":
        path.mkdir()
    with pytest.raises(BadInput, match="can be read"):
        open_picture(path)


@settings(max_examples=60, deadline=None)
@given(
    cut=st.integers(0, 5000),
    at=st.integers(0, 5000),
    value=st.integers(0, 255),
    kind=st.sampled_from([jpeg, png]),
)
def test_a_damaged_file_gives_a_picture_or_a_sentence(tmp_path_factory, cut, at, value, kind) -> None:
    data = bytearray(kind((40, 30)))
    data[at % len(data)] = value
    path = tmp_path_factory.mktemp("p") / "photo"
    path.write_bytes(data[: len(data) - cut % len(data)])
    try:
        mode = open_picture(path).mode
    except BadInput:
        return
    assert mode in ("L", "RGB")


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "GIF", "BMP", "TIFF", "PPM"])
@pytest.mark.parametrize("mode", ["1", "L", "RGB"])
def test_common_pictures_are_opened_whatever_their_name(tmp_path, form: str, mode: str) -> None:
    path = tmp_path / "picture"
    Image.effect_noise((40, 30), 60).convert(mode).save(
        path, "JPEG" if (form, mode) == ("JPEG", "1") else form
    )
    image = open_picture(path)
    assert (image.size, image.mode in ("L", "RGB")) == ((40, 30), True)


def test_what_is_see_through_lies_on_white(tmp_path) -> None:
    path = tmp_path / "clear.png"
    Image.new("RGBA", (8, 8), (0, 0, 0, 0)).save(path)
    assert open_picture(path).getcolors() == [(64, (255, 255, 255))]


def test_sixteen_bits_become_eight(tmp_path) -> None:
    path = tmp_path / "deep.png"
    Image.new("I;16", (4, 4), 65535).save(path)
    assert open_picture(path).getcolors() == [(16, 255)]


def test_a_picture_is_turned_as_the_camera_was_held(tmp_path) -> None:
    """Exif tag 274, value 6: turned a quarter clockwise (CIPA DC-008, from memory)."""
    exif = Image.Exif()
    exif[274] = 6
    path = tmp_path / "turned.jpg"
    Image.new("RGB", (40, 30)).save(path, exif=exif)
    assert open_picture(path).size == (30, 40)


def test_a_phone_of_fifty_million_pixels_is_welcome() -> None:
    assert 8192 * 6144 < MOST_PIXELS < 100_000_000


def test_the_size_is_judged_before_anything_is_unpacked(tmp_path) -> None:
    """Without the memory of its pixels: a bomb is refused on its header alone."""
    content = io.BytesIO(SPOILT["100 million pixels"][0]).getvalue()
    path = tmp_path / "bomb.png"
    path.write_bytes(content[:60])
    with pytest.raises(BadInput, match="this one has 100"):
        open_picture(path)
