"""Print: sheets of tags and labels, the report of the day, the card of the table."""

from collections.abc import Callable
from functools import partial
from typing import Any

import flet as ft

from intake.app.guards import safe_handler, safe_view
from intake.app.parts.buttons import answers, choice, link_button
from intake.app.parts.cards import reason_card
from intake.app.parts.counter import counter
from intake.app.parts.frame import below_view
from intake.app.parts.question import heading, question
from intake.app.places import HOME, way
from intake.app.session import WidthContext, use_shared, use_version
from intake.app.theme import TEXT_BODY
from intake.desk.labels import bins_to_tag
from intake.desk.pages import lots_to_label
from intake.handbook import Handbook
from intake.words import Words


@safe_view
def Papers() -> ft.View:  # noqa: N802
    """What there is to print; each opens as a page that the phone can print or keep."""
    shared = use_shared()
    use_version(shared.hub)
    stock, set_stock = ft.use_state("a4-3x8")
    start, set_start = ft.use_state(1)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    words, desk = shared.words, shared.desk
    most = per_sheet(desk.handbook, stock)

    def choose(name: str) -> None:
        set_stock(name)
        set_start(1)

    body: list[ft.Control] = [
        question(words("app.papers.title"), hint=words("app.papers.hint")),
        link_button(words("app.papers.report"), "/download/report/day-report.pdf"),
        link_button(words("app.papers.card"), "/download/card/table-card.pdf"),
        heading(words("app.papers.sheet"), level=2, size=TEXT_BODY),
    ]
    bins, lots = len(bins_to_tag(desk)), len(lots_to_label(desk))
    if not bins + lots:
        body.append(reason_card(words("app.papers.nothing"), ()))
        foot: list[ft.Control] = []
    else:
        body.append(reason_card(words("app.papers.holds", bins=bins, lots=lots), ()))
        body.append(answers(_stocks(words, desk.handbook, stock, choose)))
        if most > 1:
            body.append(_first(words, min(start, most), most, set_start))
        url = f"/download/sheet/{stock}.{min(start, most)}.pdf"
        foot = [link_button(words("app.papers.open"), url, primary=True)]
    return below_view(
        route, body, foot, back=words("app.back"), on_back=way(page.navigate, HOME), width=width
    )


def _stocks(
    words: Words, handbook: Handbook, chosen: str, on_choose: Callable[[str], None]
) -> list[ft.Control]:
    """Every paper that labels are printed on."""
    return [
        choice(words(f"app.papers.stock.{name}"), safe_handler(words, partial(on_choose, name)),
               chosen=name == chosen, key=name)
        for name in handbook.label_stocks
    ]  # fmt: skip


def _first(words: Words, start: int, most: int, set_start: Any) -> ft.Control:
    """The first free label of a sheet that was begun."""
    return counter(words, words("app.papers.start", most=most), start, set_start, most=most)


def per_sheet(handbook: Handbook, stock: str) -> int:
    """Labels on one page of a stock."""
    sheet = handbook.label_stocks[stock]
    return int(sheet.rows * sheet.columns)
