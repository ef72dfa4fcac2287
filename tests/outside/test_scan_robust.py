"""Symbols as a phone sees them: 500 pictures from seeds, drawn by numpy, each with one or two faults.

Faults at full strength: blur of sigma 1 px, noise of sigma 8/255, 40 % contrast, 30 degrees of tilt, and 15 % of
the symbol's area covered by one rectangle off the finder and alignment patterns; at least 4 px a module.
"""

from collections import Counter

import numpy as np
import pytest
import qrcode
import zxingcpp
from PIL import Image
from rendered_symbols import FAULTS, LEAST_PX, PAIRS, covered, enlarged, render

from intake.drawing.covered import _places, read_covered
from intake.drawing.decode import read_symbols
from intake.drawing.symbol import encode, paint
from intake.table.labels.payload import Found, LabelKind, Payload, read_payload

SEEDS = 500


def test_at_least_99_of_100_pictures_are_read() -> None:
    missed, phantoms, drawn = Counter(), 0, Counter()
    for seed in range(SEEDS):
        made = render(seed)
        assert made.least_px >= LEAST_PX
        texts = [s.text for s in read_symbols(made.image)]
        drawn[made.faults] += 1
        missed[made.faults] += made.text not in texts
        phantoms += len(texts) > 1
    assert set(drawn) == set(PAIRS)
    assert missed.total() <= 0.01 * SEEDS, missed
    assert phantoms == 0


@pytest.mark.parametrize("fault", FAULTS)
def test_every_fault_is_in_the_picture(fault: str) -> None:
    """Beside a picture of the same seed without it: the grey values differ, so no fault is drawn in vain."""
    made = render(PAIRS.index((fault,)))
    symbol = encode(made.text)
    clean = enlarged(
        np.pad(np.where(np.array(symbol.modules), 0.0, 255.0), 10, constant_values=255), made.least_px
    )
    same_size = np.asarray(made.image.resize(clean.shape[::-1]), dtype=float)
    assert np.abs(same_size - clean).mean() > 1.0


def covered_picture(seed: int, text: str, share: float = 0.15):
    symbol = encode(text)
    grey = np.where(np.array(symbol.modules), 0.0, 255.0)
    chance = np.random.default_rng(seed)
    hidden = covered(grey, symbol, chance, share)
    image = Image.fromarray(enlarged(np.pad(hidden, 10, constant_values=255.0), 6.0).astype(np.uint8))
    return symbol, image


OURS = "Lot QT-L07: PE-HD (2), 1.24 kg, natural, blow\nRI1L QT-L07 QT-04 N2K7"


@pytest.mark.parametrize(("share", "plain_at_most"), [(0.20, 8), (0.25, 0)])
def test_more_is_read_than_the_plain_reader_bears(share: float, plain_at_most: int) -> None:
    """Level Q bears a quarter of wrong codewords at most; told where they are, it bears twice as many."""
    pictures = [covered_picture(seed, OURS, share)[1] for seed in range(40)]
    plain = sum(any(r.valid for r in zxingcpp.read_barcodes(image)) for image in pictures)
    ours = sum(OURS in [s.text for s in read_symbols(image)] for image in pictures)
    assert plain <= plain_at_most
    assert ours >= 38


@pytest.mark.parametrize("seed", range(6))
def test_what_is_covered_beyond_hope_is_said_to_be_there_and_nothing_is_made_up(seed: int) -> None:
    _, image = covered_picture(seed, OURS, 0.42)
    assert {s.text for s in read_symbols(image)} <= {None, OURS}


@pytest.mark.parametrize("mask", range(8))
@pytest.mark.parametrize("version", range(1, 7))
def test_noise_never_becomes_a_label(version: int, mask: int) -> None:
    noise = Image.fromarray(np.random.default_rng(mask).integers(0, 256, (200, 200), dtype=np.uint8))
    assert read_covered(noise, ((10, 10), (190, 10), (190, 190), (10, 190)), version, mask) is None


@pytest.mark.parametrize("version", range(1, 7))
def test_the_places_of_the_bits_are_those_of_a_second_encoder(version: int) -> None:
    """qrcode fills every place it leaves empty when only patterns are set up (ISO/IEC 18004, 7.7.3)."""
    maker = qrcode.QRCode(version=version, error_correction=qrcode.constants.ERROR_CORRECT_Q, border=0)
    maker.add_data("x")
    maker.make(fit=False)
    side = 17 + 4 * version
    places = list(_places(version))
    assert len(set(places)) == len(places) == maker_free(version)
    assert all(0 <= y < side and 0 <= x < side for y, x in places)


def maker_free(version: int) -> int:
    """Data modules of versions 1 to 6: codewords × 8 and remainder bits, ISO/IEC 18004 table 1 (from memory)."""
    return {1: 208, 2: 359, 3: 567, 4: 807, 5: 1079, 6: 1383}[version]


@pytest.mark.parametrize("mask", range(8))
@pytest.mark.parametrize("length", [40, 64])
def test_every_mask_is_undone(mask: int, length: int) -> None:
    text = Payload(kind=LabelKind.TAG, ids=("QT-04",), line="B" * (length - 16)).text
    maker = qrcode.QRCode(
        error_correction=qrcode.constants.ERROR_CORRECT_Q, border=0, mask_pattern=mask, version=None
    )
    maker.add_data(qrcode.util.QRData(text.encode(), mode=qrcode.util.MODE_8BIT_BYTE), optimize=0)
    maker.make(fit=True)
    grey = np.where(np.array(maker.modules, dtype=bool), 0, 255).astype(np.uint8).repeat(6, 0).repeat(6, 1)
    edge = len(grey)
    corners = ((0, 0), (edge, 0), (edge, edge), (0, edge))
    assert read_covered(Image.fromarray(grey), corners, maker.version, mask) == text


def test_light_on_dark_and_upside_down_are_read() -> None:
    symbol = paint(encode(OURS), 300).convert("L")
    for image in (symbol.point(lambda v: 255 - v), symbol.rotate(180), symbol.rotate(90)):
        assert [s.text for s in read_symbols(image)] == [OURS]


def test_a_large_photo_with_a_small_label_and_a_picture_of_many() -> None:
    photo = Image.new("L", (4000, 3000), 190)
    texts = []
    for n in range(12):
        text = f"Bin QT-{n:02d}: PP\nRI1T QT-{n:02d} 0000"
        texts.append(text)
        photo.paste(paint(encode(text), 220), (100 + 900 * (n % 4), 100 + 900 * (n // 4)))
    assert [s.text for s in read_symbols(photo)] == texts
    assert all(read_payload(t).found is Found.DAMAGED for t in texts)
