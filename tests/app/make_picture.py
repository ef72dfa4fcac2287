"""The README's picture, three phone screens; by hand: `PYTHONPATH=tests python tests/app/make_picture.py`."""

import io
import sys
import tempfile
from pathlib import Path

from app.browser import ARGS, CHROMIUM, PHONE, Served, Sight
from app.sample import take
from PIL import Image, ImageDraw
from playwright.sync_api import sync_playwright

from intake.desk.observe import add_mark
from intake.desk.receive import receive
from intake.desk.start import open_table
from intake.handbook import Handbook
from intake.handbook.locate import resources

OUT = resources() / "pictures" / "phone.png"
GROUND, GAP, RADIUS, HEIGHT = "#D9D6CE", 36, 36, 1110
MOST_BYTES = 300_000


def prepared(folder):
    """The demo's table with one item just placed and one in hand; gives the addresses to show."""
    with open_table(folder, Handbook(), demo=True) as desk:
        placed = take(desk, "jug", 1, mark="2 HDPE", test=("float:water", "floats"), mass_g=58.0)
        waiting = receive(desk, "detergent bottle", colour="white")
        add_mark(desk, waiting, "2")
    return "/", f"/item/{waiting}/mark", f"/item/{placed}"


def shots(url, paths):
    """A picture of each screen, two device pixels to one of the app's."""
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=list(ARGS))
        page = browser.new_context(**PHONE).new_page()
        sight = Sight(page, url)
        for path in paths:
            sight.open(path)
            page.wait_for_timeout(1500)
            yield Image.open(io.BytesIO(page.screenshot())).convert("RGB")
        browser.close()


def composed(screens):
    """The screens with round corners on a quiet ground."""
    sized = [
        s.resize((round(s.width * HEIGHT / s.height), HEIGHT), Image.Resampling.LANCZOS) for s in screens
    ]
    width = sum(s.width for s in sized) + GAP * (len(sized) + 1)
    picture = Image.new("RGB", (width, HEIGHT + 2 * GAP), GROUND)
    left = GAP
    for screen in sized:
        mask = Image.new("L", (4 * screen.width, 4 * screen.height), 0)
        ImageDraw.Draw(mask).rounded_rectangle((0, 0, *(v - 1 for v in mask.size)), 4 * RADIUS, fill=255)
        picture.paste(screen, (left, GAP), mask.resize(screen.size, Image.Resampling.LANCZOS))
        left += screen.width + GAP
    return picture.quantize(240, dither=Image.Dither.NONE)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        ledger = Path(folder) / "ledger"
        addresses = prepared(ledger)
        served = Served(Path(folder) / "log", "-m", "intake", "serve", "--port", "0", "--ledger", ledger)
        try:
            picture = composed(list(shots(served.url, addresses)))
        finally:
            served.stop()
    OUT.parent.mkdir(exist_ok=True)
    picture.save(OUT, optimize=True)
    size = OUT.stat().st_size
    print(f"{OUT.name}: {picture.size[0]} x {picture.size[1]}, {size} bytes")
    sys.exit(size > MOST_BYTES)
