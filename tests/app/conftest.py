"""One browser and one server a module, one page a test; a page that complains fails its test."""

from pathlib import Path

import pytest
from app.browser import ARGS, CHROMIUM, PHONE, Served, Sight
from playwright.sync_api import sync_playwright

HERE = Path(__file__).parent


@pytest.fixture(scope="module")
def browser():
    """For one module only: Playwright keeps a loop running in this thread, and other tests run their own."""
    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=CHROMIUM, args=list(ARGS))
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def served(request, tmp_path_factory):
    log = tmp_path_factory.mktemp("served") / "server.log"
    server = Served(log, HERE / getattr(request.module, "SCRIPT", "serve_sample.py"))
    yield server
    server.stop()


@pytest.fixture
def sight(browser, served, request):
    context = browser.new_context(**getattr(request, "param", PHONE))
    seen = Sight(context.new_page(), served.url)
    yield seen
    context.close()
    assert seen.errors == []
    assert seen.failed == []
    assert seen.abroad == []
    assert "Traceback" not in served.log.read_text()
