"""Pages against the world: poppler for size and count, a QR decoder for the symbol on the card."""

import subprocess

import pytest
import zxingcpp
from PIL import Image

from intake.cli import main
from intake.handbook.locate import resources

ADDRESS = "http://192.168.1.20:8550/join"


@pytest.fixture(scope="module")
def ledger(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pages")
    main(["demo", "--out", str(folder / "demo")])
    return folder / "demo" / "ledger"


def _info(path) -> dict[str, str]:
    text = subprocess.run(["pdfinfo", str(path)], check=True, capture_output=True, text=True).stdout
    return {
        k.strip(): v.strip() for k, v in (line.split(":", 1) for line in text.splitlines() if ":" in line)
    }


def _seen(path, dpi=150) -> Image.Image:
    stem = path.with_suffix("")
    subprocess.run(["pdftoppm", "-r", str(dpi), "-png", "-singlefile", str(path), str(stem)], check=True)
    return Image.open(stem.with_suffix(".png"))


@pytest.mark.parametrize(
    ("paper", "points"),
    [
        pytest.param("a4", (595.276, 841.890), id="poppler, ISO 216 A4"),
        pytest.param("letter", (612.0, 792.0), id="poppler, US Letter"),
    ],
)
@pytest.mark.parametrize("what", ["report", "card"])
def test_a_page_is_one_page_of_exactly_that_size(what, paper, points, ledger, tmp_path) -> None:
    out = tmp_path / "page.pdf"
    given = (
        ["--ledger", str(ledger)]
        if what == "report"
        else ["--campaign", str(resources() / "demo" / "campaign.toml")]
    )
    main([what, *given, "--out", str(out), "--paper", paper])
    info = _info(out)
    assert info["Pages"] == "1"
    width, _, height = info["Page size"].split(" pts")[0].split()
    # 0.2 mm is 0.57 points
    assert (float(width), float(height)) == pytest.approx(points, abs=0.57)


@pytest.mark.parametrize("mode", ["RGB", "L", "1"], ids=lambda m: f"ZXing, {m}")
def test_the_symbol_on_the_card_is_the_address(mode, tmp_path) -> None:
    out = tmp_path / "card.pdf"
    main(
        [
            "card",
            "--campaign",
            str(resources() / "demo" / "campaign.toml"),
            "--out",
            str(out),
            "--url",
            ADDRESS,
        ]
    )
    found = zxingcpp.read_barcodes(_seen(out).convert(mode).convert("L"))
    assert [code.text for code in found] == [ADDRESS]


@pytest.mark.parametrize("what", ["report", "card"])
def test_a_page_is_readable_in_black_only(what, ledger, tmp_path) -> None:
    # every tone that carries text or tells bands apart turns black enough: contrast of WCAG 2.1, 4.5 to 1 on white
    from intake.drawing.ink import COLOURS, Tone

    def luminance(rgb):
        parts = [c / 255 for c in rgb]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    for tone in (Tone.INK, Tone.MUTED, Tone.ACTION, Tone.ACCEPT, Tone.HOLD, Tone.REFUSE):
        assert 1.05 / (luminance(COLOURS[tone]) + 0.05) >= 4.5, tone
    out = tmp_path / "page.pdf"
    given = (
        ["--ledger", str(ledger)]
        if what == "report"
        else ["--campaign", str(resources() / "demo" / "campaign.toml")]
    )
    main([what, *given, "--out", str(out)])
    black = _seen(out).convert("1", dither=Image.Dither.NONE).convert("L")
    share = black.histogram()[0] / (black.width * black.height)
    assert 0.03 < share < 0.4


def test_the_page_holds_no_font_from_elsewhere(ledger, tmp_path) -> None:
    out = tmp_path / "page.pdf"
    main(["report", "--ledger", str(ledger), "--out", str(out)])
    fonts = subprocess.run(["pdffonts", str(out)], check=True, capture_output=True, text=True).stdout
    assert len(fonts.splitlines()) == 2  # a heading and a line: the text is painted with the shipped fonts
