"""The served app in a real browser: it comes up, asks nobody else for anything, and can be pressed."""

import pytest
from app.browser import DESKTOP, PHONE

DARK = {**PHONE, "color_scheme": "dark"}

LEAST_PX = 48


@pytest.mark.parametrize(
    "sight", [PHONE, DARK, DESKTOP], indirect=True, ids=["phone", "phone dark", "desktop"]
)
def test_the_app_comes_up_without_asking_anybody_else(sight):
    """The fixture fails the test on a console error, a failed request or one that leaves the machine."""
    sight.open()
    sight.heading("Quayside table").wait_for()
    print({name: round(ms) for name, ms in sight.ms.items()})
    assert sight.page.title() == "Resin Intake"
    assert sight.image("PE-HD: ").count() == 1


def test_a_tap_changes_the_screen(sight):
    sight.open()
    sight.button("PP for small-crate", exact=False).click()
    sight.image("PP: ").wait_for()


@pytest.mark.parametrize("sight", [PHONE, DESKTOP], indirect=True, ids=["phone", "desktop"])
def test_everything_to_press_is_named_and_large_enough(sight):
    sight.open()
    sight.heading("Quayside table").wait_for()
    buttons = sight.page.get_by_role("button").all()
    assert buttons
    for button in buttons:
        box = button.bounding_box()
        if box and box["height"] < LEAST_PX:  # cut by the edge of what scrolls: bring it in
            sight.page.mouse.move(box["x"] + 20, box["y"] - 60)
            sight.page.mouse.wheel(0, 160)
            sight.page.wait_for_timeout(300)
            box = button.bounding_box()
        assert box is None or button.inner_text().strip()
        assert box is None or min(box["width"], box["height"]) >= LEAST_PX, button.inner_text()


def test_an_unknown_address_leads_home(sight):
    sight.open("/nothing-here")
    sight.button("Go to today").click()
    sight.heading("Quayside table").wait_for()


def test_reloading_keeps_the_place(sight):
    sight.open()
    sight.button("PP for small-crate", exact=False).click()
    sight.image("PP:").wait_for()
    sight.open()
    sight.image("PP:").wait_for()
