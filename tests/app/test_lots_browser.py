"""From a bin to a lot, from the lot into a charge, and back, on a phone that a browser plays."""

import pytest
from app.browser import Served

SETTLED_MS = 500


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    folder = tmp_path_factory.mktemp("table")
    command = ("-m", "intake", "serve", "--demo", "--port", "0", "--ledger", folder / "ledger")
    server = Served(folder / "server.log", *command)
    yield server
    server.stop()


def tap(sight, *names, exact=True):
    """Press these one after the other; a new screen takes no tap at once."""
    for name in names:
        button = sight.button(name, exact=exact)
        button.first.wait_for()
        sight.page.wait_for_timeout(SETTLED_MS)
        button.first.click()


def test_a_bin_is_shredded_drawn_from_and_undone(sight):
    sight.open("/bins/QT-01")
    tap(sight, "Shredded")
    sight.heading("What does the shred of QT-01 weigh?").wait_for()
    tap(sight, "6", "3", "Save as a lot")  # a slip of the point: about 630 g are expected
    sight.page.get_by_role("alertdialog").wait_for()
    tap(sight, "Type it again", "7", "Save as a lot")
    sight.page.wait_for_url("**/lots/QT-L01")
    sight.text("637 g left").first.wait_for()
    tap(sight, "Draw for the charge")
    sight.heading("How much of QT-L01 goes into bench-slat?").wait_for()
    tap(sight, "1", "0", "0", "Draw it")
    sight.text("537 g left").first.wait_for()
    for left in ("Undo the last step", "Undo the shredding"):
        button = sight.button(left)
        while not button.count():
            sight.page.mouse.move(180, 400)
            sight.page.mouse.wheel(0, 600)
            sight.page.wait_for_timeout(SETTLED_MS)
        tap(sight, left, "Undo it")
    sight.page.wait_for_url("**/bins/QT-01")
    sight.button("Shredded").wait_for()
