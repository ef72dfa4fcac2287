"""A served app and a browser on it, driven through the accessibility tree as a screen reader sees it."""

import os
import re
import subprocess
import sys
import time
from pathlib import Path

from intake.app.texts import kept_together

CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
ARGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
)
PHONE = {
    "viewport": {"width": 360, "height": 740},
    "device_scale_factor": 2,
    "is_mobile": True,
    "has_touch": True,
    "user_agent": "Mozilla/5.0 (Linux; Android 14; Phone) AppleWebKit/537.36 (KHTML, like Gecko) "
    "Chrome/140.0.0.0 Mobile Safari/537.36",
}
DESKTOP = {"viewport": {"width": 1280, "height": 800}}
ABROAD = re.compile(r"^(https?|wss?)://(?!127\.0\.0\.1[:/])")
WAIT_MS = 30_000
HEADING = "flt-semantics-host :is(h1, [role=heading])"
"""Every screen of ours has one."""

# Phones ignore a bare click() on the placeholder; a mouse event at its middle works everywhere.
SWITCH_ON_TREE = """() => {
  const place = document.querySelector('flt-semantics-placeholder');
  if (!place) return;
  const box = place.getBoundingClientRect();
  place.dispatchEvent(new MouseEvent('click', {
    bubbles: true, cancelable: true, clientX: box.left + box.width / 2, clientY: box.top + box.height / 2 }));
}"""


class Served:
    """What Python was told to run, which says its address in its first line, as a child process."""

    def __init__(self, log: Path, *what):
        self.log = log
        self._log = log.open("wb")
        env = {**os.environ, "PYTHONUNBUFFERED": "1", "FLET_FORCE_WEB_SERVER": "true"}
        self._process = subprocess.Popen(
            [sys.executable, *map(str, what)], stdout=subprocess.PIPE, stderr=self._log, env=env, text=True
        )
        found = re.search(r"http://\S+", self._process.stdout.readline())
        if not found:
            self.stop()
            raise RuntimeError(f"the server did not start: {log.read_text()}")
        self.url = found.group()

    def stop(self):
        self._process.terminate()
        try:
            self._process.wait(5)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._process.stdout.close()
        self._log.close()


class Sight:
    """One page: what it asked for, what went wrong, and its tree."""

    def __init__(self, page, url):
        self.page, self.url = page, url
        self.errors, self.failed, self.abroad, self.ms = [], [], [], {}
        page.on("console", lambda m: self.errors.append(m.text) if m.type == "error" else None)
        page.on("pageerror", lambda e: self.errors.append(str(e)))
        page.on("requestfailed", lambda r: self.failed.append(r.url))
        page.on("response", lambda r: self.failed.append(f"{r.status} {r.url}") if r.status >= 400 else None)
        page.on("request", lambda r: self.abroad.append(r.url) if ABROAD.match(r.url) else None)
        page.route(ABROAD, lambda route: route.abort())

    def open(self, path="/"):
        """Load the app and switch on the tree."""
        start = time.perf_counter()
        self.page.goto(self.url + path)
        self.page.wait_for_selector("#loading", state="detached", timeout=WAIT_MS)
        self.ms["first frame"] = 1000 * (time.perf_counter() - start)
        while self.page.locator("flt-semantics").count() == 0:
            if 1000 * (time.perf_counter() - start) > WAIT_MS:
                raise TimeoutError("the accessibility tree did not come up")
            self.page.evaluate(SWITCH_ON_TREE)
            self.page.wait_for_timeout(50)
        self.page.wait_for_selector(HEADING, timeout=WAIT_MS)  # the client's own "Working" screen has none
        self.ms["first screen"] = 1000 * (time.perf_counter() - start)
        return self

    def button(self, name, *, exact=True):
        return self.page.get_by_role("button", name=kept_together(name), exact=exact)

    def image(self, name):
        return self.page.get_by_role("img", name=kept_together(name), exact=False)

    def heading(self, name):
        return self.page.get_by_role("heading", name=kept_together(name))

    def text(self, text):
        return self.page.locator("flt-semantics-host").get_by_text(kept_together(text))

    def tree(self):
        return self.page.locator("flt-semantics-host").aria_snapshot()

    def shot(self, path, *, settle_ms=600):
        self.page.wait_for_timeout(settle_ms)
        self.page.screenshot(path=str(path))
