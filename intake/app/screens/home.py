"""The first screen: how far the charges are, what helps next, and the way to the next item."""

from collections.abc import Callable
from functools import partial

import flet as ft

from intake.app.guards import safe_handler, safe_view
from intake.app.parts.buttons import choice, primary_button
from intake.app.parts.cards import reason_card
from intake.app.parts.frame import Panes, Width, section_view
from intake.app.parts.question import question
from intake.app.parts.ring import ring
from intake.app.places import SECTIONS, TAKE_ITEM
from intake.app.session import WidthContext, use_shared, use_version
from intake.desk.views.home import ChargeView, HomeView, home_view
from intake.words import Words
from intake.words.figures import interval_parts, share_text


@safe_view
def Home() -> ft.View:  # noqa: N802
    """The campaign at a glance."""
    shared = use_shared()
    use_version(shared.hub)
    width = ft.use_context(WidthContext)
    chosen, set_chosen = ft.use_state("")
    page, route = ft.context.page, ft.use_view_path()
    view, words = shared.seen(home_view), shared.words
    charge = next((c for c in view.charges if c.id == chosen), view.charges[0] if view.charges else None)
    body: list[ft.Control] = [question(view.campaign, hint=_subject(words, charge))]
    if charge:
        body.append(charge_ring(words, charge))
    body += other_charges(words, view, charge, set_chosen)
    aside = (counts_card(words, view),)
    foot: list[ft.Control] = []
    if TAKE_ITEM:
        foot.append(primary_button(words("app.home.take_item"), partial(page.navigate, TAKE_ITEM)))
    return section_view(
        route, body if width > Width.PHONE else [*body, *aside], foot, words=words, sections=SECTIONS, at=0,
        go=page.navigate,        width=width, panes=Panes(right=aside),
    )  # fmt: skip


def charge_ring(words: Words, charge: ChargeView) -> ft.Control:
    """The ring of one charge, in words and figures that fit its doubt."""
    mean, low, high, unit = interval_parts(charge.shred)
    full, _, _, full_unit = interval_parts(charge.charge)
    values = {"mean": f"{mean} {unit}", "low": low, "high": f"{high} {unit}", "full": f"{full} {full_unit}"}
    lines = (words("app.home.of", **values), words("app.home.between", **values), words("app.home.pale"))
    label = words("app.home.ring", resin=charge.resin, **values)
    return ring(charge.shred, charge.charge.mean, big=values["mean"], lines=lines, label=label)


def other_charges(
    words: Words, view: HomeView, shown: ChargeView | None, on_choose: Callable[[str], None]
) -> list[ft.Control]:
    """A button for every charge, where there is more than one."""
    if len(view.charges) < 2:  # noqa: PLR2004
        return []
    return [
        choice(
            words("app.home.charge", resin=c.resin, id=c.id),
            safe_handler(words, partial(on_choose, c.id)),
            hint=words("app.home.chance", chance=share_text(c.probability_met)),
            chosen=c is shown,
            key=c.id,
        )
        for c in view.charges
    ]


def counts_card(words: Words, view: HomeView) -> ft.Control:
    """How many items went which way."""
    lines = tuple(
        words(f"app.home.{name}", count=count)
        for name, count in (("accepted", view.accepted), ("held", view.held), ("refused", view.refused))
    )
    return reason_card(words("app.home.so_far"), lines)


def _subject(words: Words, charge: ChargeView | None) -> str:
    """What the ring shows, or that the campaign wants nothing yet."""
    if charge is None:
        return words("app.home.no_charge")
    chance = share_text(charge.probability_met)
    return words("app.home.subject", id=charge.id, resin=charge.resin, chance=chance)
