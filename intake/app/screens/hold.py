"""The hold shelf: what waits, since when, why, and the one test that would settle it."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import quiet_button
from intake.app.parts.frame import Panes, Width, section_view
from intake.app.parts.question import question
from intake.app.parts.rows import item_row
from intake.app.places import HOLD, SECTIONS, item_address, section_at, way
from intake.app.screens.said import item_text, minded
from intake.app.screens.shelf import bin_rows
from intake.app.session import WidthContext, use_later, use_shared, use_version
from intake.desk.hold import Settle
from intake.desk.views.bins import bins_view
from intake.desk.views.hold import HoldLine, hold_view, settlings, waited
from intake.words import Words

STEP = 20
"""Items shown at first and added at a time."""


@safe_view
def Hold() -> ft.View:  # noqa: N802
    """All items on the shelf, the one that waits longest first."""
    shared = use_shared()
    version = use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    most, set_most = ft.use_state(STEP)
    words, lines = shared.words, shared.seen(hold_view)
    shown = lines[:most]
    ways = use_later(shared, version, settlings, tuple(line.item.id for line in shown)) or {}
    hint = words("app.hold.hint", count=len(lines)) if lines else words("app.hold.none")
    body: list[ft.Control] = [question(words("app.hold.title"), hint=hint)]
    body += [hold_row(words, line, ways.get(line.item.id), page.navigate) for line in shown]
    if len(lines) > most:
        more = words("app.hold.more", count=len(lines) - most)
        body.append(quiet_button(more, lambda: set_most(lambda n: n + STEP)))
    body += minded(shared, "hold", *{line.resin for line in lines if line.resin})
    bins = tuple(bin_rows(words, shared.seen(bins_view), page.navigate)) if width is Width.DESKTOP else ()
    return section_view(
        route, body, [], words=words, sections=SECTIONS, at=section_at(HOLD), go=page.navigate, width=width,
        panes=Panes(right=bins),
    )  # fmt: skip


def settle_text(words: Words, settle: Settle) -> str:
    """The one thing that would settle it: a test as its question, or what else to do."""
    test = words(f"walk.test.{settle.test}.question") if settle.test else ""
    return f"{words.reason(settle.reason)} {test}".rstrip()


def hold_row(words: Words, line: HoldLine, settle: Settle | None, go: Callable[[str], Any]) -> ft.Control:
    """One item as a button to where it goes on."""
    unit, count = waited(line.since_ms)
    lines = (
        words.reasons(line.reasons[:1]),
        settle_text(words, settle) if settle else "",
        words("app.hold.tag", item=line.item.id),
        words(f"app.hold.{unit}", count=count),
    )
    go_on = way(go, item_address(line.item.id))
    return item_row(line.item.picture, item_text(words, line.item), lines, go_on, key=line.item.id)
