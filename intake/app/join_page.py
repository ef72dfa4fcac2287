"""The one page a phone gets before it has given the code: plain HTML that needs no script."""

from dataclasses import fields
from html import escape
from pathlib import Path

from intake.app.theme import DARK, LIGHT
from intake.words import Words

ENTER = "/enter"
"""Where the code is given."""


def join_page(web: Path, words: Words, said: str = "") -> bytes:
    """The page as UTF-8.

    Args:
        web: `resources/web`, with `enter.html`.
        words: of the server's language.
        said: key of the sentence about the code given before; empty for none.
    """
    values = {
        f"{theme}_{f.name}": getattr(palette, f.name)
        for theme, palette in (("light", LIGHT), ("dark", DARK))
        for f in fields(palette)
    }
    values |= {key: escape(words(f"share.enter.{key}")) for key in ("title", "hint", "code", "name", "join")}
    values["language"] = escape(words.language)
    values["said"] = f'<p class="said" role="alert">{escape(words(said))}</p>' if said else ""
    page = (web / "enter.html").read_text("utf-8")
    for name, value in values.items():
        page = page.replace("{" + name + "}", value)
    return page.encode()
