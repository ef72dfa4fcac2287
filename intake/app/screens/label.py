"""The tag of a bin: how it will look, and the files to print it from."""

import asyncio
import logging

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import link_button, primary_button
from intake.app.parts.cards import card
from intake.app.parts.frame import below_view
from intake.app.parts.question import question
from intake.app.places import BINS, bin_address, way
from intake.app.screens.said import minded
from intake.app.session import Shared, WidthContext, use_shared, use_version
from intake.app.tags import PDF, PNG
from intake.app.theme import GRID, MUTED, TEXT_SMALL
from intake.desk.views.bins import bin_view
from intake.words import Words

LOG = logging.getLogger("intake.app")


@safe_view
def Label() -> ft.View:  # noqa: N802
    """The tag of the bin that the address names."""
    shared = use_shared()
    use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    bin_id, words = str(ft.use_route_params()["bin"]), shared.words
    there = bin_id in shared.desk.state.bins
    drawn = use_tag(shared, bin_id)
    if there:
        body: list[ft.Control] = [
            question(words("app.label.title", bin=bin_id), hint=words("app.label.hint")),
            tag_card(words, bin_id, drawn),
            *minded(shared, "label", shared.seen(bin_view, bin_id).tile.resin),
        ]
        foot = tag_links(words, bin_id)
    else:
        body = [question(words("app.bin.gone"), hint=words("app.bin.gone_why"))]
        foot = [primary_button(words("app.bin.to_bins"), way(page.navigate, BINS))]
    back = way(page.navigate, bin_address(bin_id) if there else BINS)
    return below_view(route, body, foot, back=words("app.back"), on_back=back, width=width)


def use_tag(shared: Shared, bin_id: str) -> bytes | None:
    """Hook: the tag as PNG, drawn beside the event loop; None until it is there."""
    _, draw_again = ft.use_state(0)

    async def work() -> None:
        if bin_id not in shared.desk.state.bins or shared.tags.known(bin_id):
            return
        try:
            await asyncio.to_thread(shared.tags.draw, bin_id)
        except Exception:
            LOG.exception("could not draw the tag of %s", bin_id)
        else:
            draw_again(lambda n: n + 1)

    ft.use_effect(work, [bin_id])
    return shared.tags.known(bin_id) if bin_id in shared.desk.state.bins else None


def tag_card(words: Words, bin_id: str, drawn: bytes | None) -> ft.Control:
    """The tag on white, as it will be printed; a line of text until it is drawn."""
    if drawn is None:
        return card([ft.Text(words("app.label.drawing"), size=TEXT_SMALL, color=MUTED)])
    image = ft.Image(
        src=drawn, fit=ft.BoxFit.CONTAIN, semantics_label=words("app.label.picture", bin=bin_id),
        gapless_playback=True,
    )  # fmt: skip
    return ft.Container(image, bgcolor=ft.Colors.WHITE, padding=GRID, border_radius=GRID)


def tag_links(words: Words, bin_id: str) -> list[ft.Control]:
    """The files: a page to print, and a picture for a label printer's own app."""
    return [
        link_button(words("app.label.png"), f"/download/tag/{bin_id}.{PNG}"),
        link_button(words("app.label.pdf"), f"/download/tag/{bin_id}.{PDF}", primary=True),
    ]
