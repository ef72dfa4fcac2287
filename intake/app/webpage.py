"""The page around the app, made at every start from the page that `flet_web` ships, so that it follows it."""

import json
import re
import shutil
from html import escape
from pathlib import Path

import flet_web

from intake.app.icon import write_icons
from intake.app.theme import DARK, LIGHT
from intake.errors import HandbookGap
from intake.words import Words

_CHARSET = '<meta charset="UTF-8">'
_SPLASH = re.compile(r'<div id="loading".*?</div>', re.DOTALL)
_CONFIG = "<!-- fletAppConfig -->"
_FONTS = ("MaterialIcons", "packages/cupertino_icons/CupertinoIcons")
"""Families the screens draw with. The client would also load twenty of formula type, which no screen shows."""


def write_webpage(web: Path, folder: Path, words: Words) -> None:
    """Everything the browser loads that is ours.

    Args:
        web: `resources/web`, with head, splash and manifest.
        folder: an empty folder; gets `index.html`, `manifest.json`, the list of fonts and the icons.
        words: for title and splash.

    Raises:
        HandbookGap: `flet_web`'s page no longer has the places we fill.
    """
    stock = Path(flet_web.__file__).parent / "web"
    page = index_page((stock / "index.html").read_text("utf-8"), web, words)
    (folder / "index.html").write_text(page, "utf-8")
    shutil.copyfile(web / "manifest.json", folder / "manifest.json")
    write_icons(folder)
    (folder / "assets").mkdir(exist_ok=True)
    fonts = json.loads((stock / "assets" / "FontManifest.json").read_text("utf-8"))
    kept = json.dumps([f for f in fonts if f["family"] in _FONTS])
    (folder / "assets" / "FontManifest.json").write_text(kept, "utf-8")


def index_page(stock: str, web: Path, words: Words) -> str:
    """`stock` with our head and splash.

    Raises:
        HandbookGap: a place to fill is missing.
    """
    for place, found in (
        (_CHARSET, _CHARSET in stock), (_CONFIG, _CONFIG in stock), ("#loading", bool(_SPLASH.search(stock))),
    ):  # fmt: skip
        if not found:
            raise HandbookGap(f"The web page of the installed flet_web has no {place}. Install Flet 1.0.5.")
    head, splash = (
        _filled((web / f"{name}.html").read_text("utf-8").rstrip(), words) for name in ("head", "splash")
    )
    with_head = stock.replace(_CHARSET, f"{_CHARSET}\n  {head}", 1)
    return _SPLASH.sub(lambda _: splash, with_head, count=1)


def _filled(text: str, words: Words) -> str:
    """Our piece of page with its named places filled; braces of scripts and styles stay."""
    values = {
        "light_paper": LIGHT.paper, "light_ink": LIGHT.ink, "dark_paper": DARK.paper, "dark_ink": DARK.ink,
        "title": escape(words("app.title")), "loading": escape(words("app.loading")),
    }  # fmt: skip
    for name, value in values.items():
        text = text.replace("{" + name + "}", value)
    return text
