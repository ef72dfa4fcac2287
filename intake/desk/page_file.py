"""A page as a PDF of exactly that size, with the shipped fonts, written whole or not at all."""

from collections.abc import Callable
from pathlib import Path

from PIL import Image

from intake.desk.files import written_aside
from intake.drawing.fonts import Fonts
from intake.drawing.ink import Paper
from intake.drawing.pdf import PdfWriter, Placed
from intake.errors import BadInput, Refusal
from intake.handbook.locate import resources


def write_page(out: Path, paper: Paper, draw: Callable[[Fonts], Image.Image]) -> None:
    """Draw a page and write it to `out`.

    Raises:
        BadInput: `out` is a folder or cannot be written; what stood there before still stands.
    """
    if out.is_dir():
        raise BadInput(where="--out", got=out, expected="a file, such as page.pdf")
    image = draw(Fonts.of(resources() / "fonts"))
    width, height = paper.size_mm
    try:
        with written_aside(out) as stream:
            writer = PdfWriter(stream)
            writer.page(
                width,
                height,
                [Placed(image=image, left_mm=0.0, top_mm=0.0, width_mm=width, height_mm=height)],
            )
            writer.close()
    except Refusal as error:
        raise BadInput(
            where="--out", got=out, expected="a file that can be written", kept=str(error)
        ) from None
