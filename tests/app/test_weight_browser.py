"""What a first and a second visit move over the wire, counted by the browser itself."""

import time
from pathlib import Path

import pytest
from app.browser import ARGS, CHROMIUM, PHONE, WAIT_MS, Served
from playwright.sync_api import sync_playwright

HERE = Path(__file__).parent
FIRST_VISIT, SECOND_VISIT = 6_000_000, 150_000
"""[bytes] the order's limits."""
NAMES = {
    "encrypted or loopback": "http://127.0.0.1",
    "plain http on a network": "http://table.test",
}


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    server = Served(tmp_path_factory.mktemp("log") / "server.log", HERE / "serve_shared.py", "--any-name")
    yield server
    server.stop()


@pytest.fixture
def phone(request, served, tmp_path):
    """A new browser with a cache on disk that finds this machine and no other; and the address to open."""
    only_here = "--host-resolver-rules=MAP table.test 127.0.0.1, MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            str(tmp_path), executable_path=CHROMIUM, args=[*ARGS, only_here], **PHONE
        )
        yield context, request.param + ":" + served.url.rsplit(":", 1)[1]
        context.close()


def visit(context, url):
    """Open the app, not through `Sight`: what may stop a request also keeps the browser from its cache.

    Returns:
        [bytes] that came for pages, files and through the socket; files by size; [ms] to the first frame.
    """
    page = context.new_page()
    wire = context.new_cdp_session(page)
    wire.send("Network.enable")
    names, moved = {}, {"socket": 0}
    wire.on("Network.requestWillBeSent", lambda e: names.update({e["requestId"]: e["request"]["url"]}))
    wire.on(
        "Network.loadingFinished",
        lambda e: moved.update({names.get(e["requestId"], "?"): e["encodedDataLength"]}),
    )
    wire.on(
        "Network.webSocketFrameReceived",
        lambda e: moved.update(socket=moved["socket"] + len(e["response"]["payloadData"])),
    )
    start = time.perf_counter()
    page.goto(url)
    page.wait_for_selector("#loading", state="detached", timeout=WAIT_MS)
    ms = 1000 * (time.perf_counter() - start)
    page.wait_for_timeout(1500)
    page.close()
    return sum(moved.values()), moved, ms


@pytest.mark.parametrize("phone", NAMES.values(), ids=NAMES, indirect=True)
def test_a_first_visit_is_six_megabytes_at_most_and_a_second_next_to_nothing(phone):
    context, url = phone
    first, files, ms = visit(context, url)
    second, again, again_ms = visit(context, url)
    print(f"\n{url}: first {first} bytes, {len(files)} files, {ms:.0f} ms to the first frame")
    print(f"second {second} bytes, {len(again)} files, {again_ms:.0f} ms")
    for name, size in sorted(files.items(), key=lambda f: -f[1])[:8]:
        print(f"{size:>9} {again.get(name, 0):>9} {name}")
    assert any("canvaskit" in name for name in files)
    assert 1_000_000 < first <= FIRST_VISIT
    assert second <= SECOND_VISIT
