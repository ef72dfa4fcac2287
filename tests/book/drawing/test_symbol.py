import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.drawing.symbol import QUIET_MODULES, encode, paint
from intake.errors import BadInput


@settings(max_examples=15, deadline=None)
@given(side=st.integers(60, 700))
def test_every_module_is_a_whole_number_of_dots_and_the_quiet_zone_is_blank(side: int) -> None:
    symbol = encode("Bin QT-04")
    painted = paint(symbol, side)
    assert painted.mode == "1"
    image = painted.convert("L")
    assert image.width == image.height <= side
    scale, rest = divmod(image.width, symbol.side)
    assert rest == 0
    quiet = QUIET_MODULES * scale
    for box in ((0, 0, image.width, quiet), (0, 0, quiet, image.height)):
        assert image.crop(box).getextrema() == (255, 255)
    assert image.crop((quiet, quiet, quiet + scale, quiet + scale)).getextrema() == (0, 0)


@pytest.mark.parametrize("text", ["", "x" * 75, "é" * 38])
def test_a_text_that_does_not_fit_version_6_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="74 bytes"):
        encode(text)


def test_a_space_smaller_than_the_symbol_is_refused() -> None:
    with pytest.raises(BadInput, match="px or more"):
        paint(encode("Bin QT-04"), 20)
