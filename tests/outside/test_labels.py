"""Labels against the outside: two QR decoders, a second QR encoder, poppler, and the CRC's check value."""

import io
import re
import subprocess
import zlib
from itertools import product

import pytest
import segno
import zxingcpp
from made_lots import LONGEST, lot
from PIL import Image, ImageChops, ImageStat
from pyzbar.pyzbar import decode as zbar_decode

from intake.drawing.canvas import Press
from intake.drawing.fonts import Fonts
from intake.drawing.label import draw_label, draw_tag
from intake.drawing.sheet import write_pdf
from intake.drawing.symbol import MAX_VERSION, encode, paint
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.table.bins.colour import GroupId
from intake.table.bins.key import BinKey
from intake.table.kinds import Flow
from intake.table.labels.payload import MAX_BYTES
from intake.table.labels.tag import bin_tag
from intake.table.resins import ResinId
from intake.words import catalogue

BOOK = Handbook()
STOCKS = BOOK.label_stocks
FONTS = Fonts.of(resources() / "fonts")
WORDS = catalogue(resources() / "words")


def tag(bin_id="QT-04", resin="PE-HD", colour="natural", flow=Flow.BLOW, filled=False, **words):
    key = BinKey(resin=ResinId(resin), colour=GroupId(colour), flow=flow, filled=filled)
    given = {"table": "Quayside table", "date": "2026-11-24", **words}
    return bin_tag(bin_id, key, resins=BOOK.resins, colours=BOOK.colours, **given)


def press(dpi=300.0, *, one_bit=False):
    return Press(dpi=dpi, one_bit=one_bit, fonts=FONTS, words=WORDS)


TAGS = {
    "plain": tag(),
    "longest": tag("QTXX-9999", "PE-LLD", "purple", Flow.INJECTION, filled=True),
    "dark": tag(colour="black", resin="PP", flow=Flow.FILM),
}


@pytest.mark.parametrize(
    ("stock", "dpi", "name"),
    [*product(sorted(STOCKS), (203.0, 300.0), ("plain",)), *product(("single", "roll-58"), (203.0,), TAGS)],
)
@pytest.mark.parametrize("one_bit", [False, True], ids=["colour", "1-bit"])
def test_zxing_and_zbar_read_the_symbol_of_a_drawn_label(
    stock: str, dpi: float, name: str, one_bit: bool
) -> None:
    image = draw_tag(TAGS[name], STOCKS[stock], press(dpi, one_bit=one_bit)).convert("L")
    wanted = TAGS[name].payload.text
    assert [r.text for r in zxingcpp.read_barcodes(image)] == [wanted]
    assert [r.data.decode("ascii") for r in zbar_decode(image)] == [wanted]


LOTS = {"usual": lot(), "longest": lot(**LONGEST), "styrene": lot("PS", "blue"), "dark": lot("PP", "black")}


@pytest.mark.parametrize("name", LOTS)
@pytest.mark.parametrize("stock", sorted(STOCKS))
def test_zxing_and_zbar_read_the_label_of_a_lot(stock: str, name: str) -> None:
    row = STOCKS[stock]
    image = draw_label(LOTS[name], row, press(row.dpi, one_bit=row.one_bit)).convert("L")
    wanted = LOTS[name].payload.text
    assert [r.text for r in zxingcpp.read_barcodes(image)] == [wanted]
    assert [r.data.decode("ascii") for r in zbar_decode(image)] == [wanted]


@pytest.mark.parametrize("name", LOTS)
def test_version_and_level_of_a_lot_agree_with_segno(name: str) -> None:
    """ISO/IEC 18004 by a second encoder: the smallest version at level Q in byte mode, at most 6."""
    text = LOTS[name].payload.text
    other = segno.make(text, error="Q", mode="byte", micro=False, boost_error=False)
    assert (encode(text).version, "Q") == (other.version, other.error)
    assert encode(text).version <= MAX_VERSION


@pytest.mark.parametrize("length", [1, 11, 12, 20, 21, 32, 33, 46, 47, 60, 61, MAX_BYTES])
def test_version_and_level_agree_with_segno(length: int) -> None:
    """Capacities at level Q in byte mode: 11, 20, 32, 46, 60, 74 (ISO/IEC 18004 table 7, by segno)."""
    text = ("Bin QT-04: " + "x" * MAX_BYTES)[:length]
    other = segno.make(text, error="Q", mode="byte", micro=False, boost_error=False)
    symbol = encode(text)
    assert symbol.version == other.version <= MAX_VERSION
    assert other.error == "Q"
    assert len(symbol.modules) == other.symbol_size(border=0)[0]


@pytest.mark.parametrize("name", TAGS)
def test_the_decoder_sees_level_q(name: str) -> None:
    symbol = encode(TAGS[name].payload.text)
    found = zxingcpp.read_barcodes(paint(symbol, symbol.side * 5).convert("L"))[0]
    assert found.ec_level == "Q"


def test_the_check_starts_from_the_crc_that_the_format_names() -> None:
    """CRC-32/ISO-HDLC of "123456789" is CBF43926 (catalogue of CRC algorithms, from memory)."""
    assert zlib.crc32(b"123456789") == 0xCBF43926


def pdf_of(tags, stock, **more) -> bytes:
    out = io.BytesIO()
    write_pdf(tags, STOCKS[stock], press(**more), out)
    return out.getvalue()


def raster(pdf: bytes, dpi: int, page: int = 1) -> Image.Image:
    """One page, rasterised by poppler."""
    command = ["pdftoppm", "-r", str(dpi), "-f", str(page), "-l", str(page), "-png", "-"]
    return Image.open(io.BytesIO(subprocess.run(command, input=pdf, capture_output=True, check=True).stdout))


@pytest.mark.parametrize("one_bit", [False, True], ids=["colour", "1-bit"])
@pytest.mark.parametrize("stock", sorted(STOCKS))
def test_poppler_finds_the_page_size_of_the_stock(stock: str, one_bit: bool) -> None:
    pdf = pdf_of([tag(), tag("QT-05")], stock, one_bit=one_bit)
    done = subprocess.run(["pdfinfo", "-"], input=pdf, capture_output=True, check=True)
    assert done.stderr == b""
    size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", done.stdout.decode())
    assert size is not None
    found_mm = [float(v) * 25.4 / 72.0 for v in size.groups()]
    assert found_mm == pytest.approx([STOCKS[stock].page_width_mm, STOCKS[stock].page_height_mm], abs=0.2)
    assert b"Pages:           2" in done.stdout or STOCKS[stock].per_page > 1


@pytest.mark.parametrize(
    ("stock", "index"), [("a4-3x8", 0), ("a4-3x8", 23), ("letter-3x10", 17), ("letter-3x10", 29)]
)
def test_a_label_lands_within_a_fifth_of_a_millimetre_of_its_place(stock: str, index: int) -> None:
    """Where the drawn label alone has its first and last ink, the rasterised page has it too, shifted."""
    row, dpi = STOCKS[stock], 508
    out = io.BytesIO()
    write_pdf([tag()], row, press(508.0), out, start=index + 1)
    left_mm, top_mm = row.place_mm(index)
    page = raster(out.getvalue(), dpi).convert("L")
    box = (left_mm, top_mm, left_mm + row.label_width_mm, top_mm + row.label_height_mm)
    crop = page.crop([round(v * dpi / 25.4) for v in box])
    alone = draw_tag(tag(), row, press(508.0)).convert("L")
    found, wanted = (i.point(lambda v: 255 * (v < 128)).getbbox() for i in (crop, alone))
    assert found is not None
    assert wanted is not None
    assert max(abs(a - b) for a, b in zip(found, wanted, strict=True)) * 25.4 / dpi <= 0.2


@pytest.mark.parametrize("stock", ["a4-3x8", "letter-3x10"])
def test_the_ruler_is_a_hundred_millimetres_long(stock: str) -> None:
    dpi = 508
    row = STOCKS[stock]
    page = raster(pdf_of([tag()], stock), dpi).convert("L")
    top = round((row.page_height_mm - row.margin_top_mm + 0.2) * dpi / 25.4)
    ink = page.crop((0, top, page.width, page.height)).point(lambda v: 255 * (v < 128)).getbbox()
    assert ink is not None
    assert (ink[2] - ink[0]) * 25.4 / dpi == pytest.approx(100.0, abs=0.2)
    assert (page.height - top - ink[3]) * 25.4 / dpi > 3.0, "inside what an office printer reaches"


@pytest.mark.parametrize("name", ["usual", "styrene", "dark"])
def test_a_page_looks_like_the_label_that_was_drawn(name: str) -> None:
    """The PDF keeps grey and colour apart; poppler puts them together again, swatch and all."""
    drawn = draw_label(LOTS[name], STOCKS["single"], press())
    page = raster(pdf_of([LOTS[name]], "single"), 300).convert("RGB").resize(drawn.size)
    gap = ImageStat.Stat(ImageChops.difference(drawn, page)).mean
    assert max(gap) < 4.0, "half a dot beside itself is about 3"
    swatch = BOOK.colours.swatches[LOTS[name].colour]
    assert swatch in {rgb for n, rgb in page.getcolors(1 << 24) if n > 500}


def test_both_decoders_find_every_label_of_a_printed_sheet() -> None:
    tags = [tag(f"QT-{n:02d}", colour=c) for n, c in enumerate(sorted(BOOK.colours.swatches), 1)]
    page = raster(pdf_of(tags, "a4-3x8"), 300).convert("L")
    wanted = {t.payload.text for t in tags}
    assert {r.text for r in zxingcpp.read_barcodes(page)} == wanted
    assert {r.data.decode("ascii") for r in zbar_decode(page)} == wanted


def test_a_thermal_page_is_one_bit_a_dot_at_the_resolution_of_the_printer(tmp_path) -> None:
    path = tmp_path / "roll.pdf"
    path.write_bytes(pdf_of([tag(name="Стол · الطاولة")], "roll-58", dpi=203.0, one_bit=True))
    done = subprocess.run(["pdfimages", "-list", str(path)], capture_output=True, check=True, text=True)
    row = dict(
        zip(
            *(line.split() for line in (done.stdout.splitlines()[0], done.stdout.splitlines()[2])),
            strict=False,
        )
    )
    assert (row["color"], row["comp"], row["bpc"]) == ("gray", "1", "1")
    assert float(row["x-ppi"]) == pytest.approx(203.0, abs=1.0)
