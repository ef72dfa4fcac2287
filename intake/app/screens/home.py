"""The first screen: how far the charges are, what would fill them, and the way to the next item."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

import flet as ft

from intake.app.guards import safe_handler, safe_view
from intake.app.parts.buttons import choice, primary_button
from intake.app.parts.cards import reason_card
from intake.app.parts.frame import Panes, Width, section_view
from intake.app.parts.question import heading, question
from intake.app.parts.ring import ring
from intake.app.parts.rows import item_row
from intake.app.places import (
    FIND,
    HISTORY,
    HOLD,
    HOME,
    PAPERS,
    PILE,
    SECTIONS,
    TAKE_ITEM,
    charge_address,
    item_address,
    section_at,
    way,
)
from intake.app.screens.history import notes
from intake.app.screens.join import join_way
from intake.app.screens.said import item_text
from intake.app.screens.shelf import bin_rows
from intake.app.session import WidthContext, use_later, use_shared, use_version
from intake.app.theme import TEXT_BODY
from intake.desk.views.bins import bins_view
from intake.desk.views.home import ChargeView, HomeView, MoreView, Pieces, home_view, more_view
from intake.words import Words
from intake.words.figures import interval_parts, share_text

Go = Callable[[str], Any]


@safe_view
def Home() -> ft.View:  # noqa: N802
    """The campaign at a glance."""
    shared = use_shared()
    version = use_version(shared.hub)
    more = use_later(shared, version, more_view)
    width = ft.use_context(WidthContext)
    chosen, set_chosen = ft.use_state("")
    page, route = ft.context.page, ft.use_view_path()
    view, words = shared.seen(home_view), shared.words
    charge = next((c for c in view.charges if c.id == chosen), view.charges[0] if view.charges else None)
    body: list[ft.Control] = [question(view.campaign, hint=_subject(words, charge)), *notes(shared)]
    if charge:
        body += [charge_ring(words, charge), *more_card(words, charge, more)]
        plan, to_plan = words("app.home.plan", id=charge.id), way(page.navigate, charge_address(charge.id))
        body.append(choice(plan, to_plan, hint=words("app.home.plan_why"), key="plan"))
    body += other_charges(words, view, charge, set_chosen)
    beside = (
        counts_card(words, view), *shelf(words, view, page.navigate), *in_hand(words, view, page.navigate),
        *ways(words, page.navigate), *join_way(shared, page.navigate),
    )  # fmt: skip
    bins = tuple(bin_rows(words, shared.seen(bins_view), page.navigate)) if width is Width.DESKTOP else ()
    foot: list[ft.Control] = [primary_button(words("app.home.take_item"), lambda: page.navigate(TAKE_ITEM))]
    return section_view(
        route, body if width > Width.PHONE else [*body, *beside], foot, words=words, sections=SECTIONS,
        at=section_at(HOME), go=page.navigate, width=width, panes=Panes(left=beside, right=bins),
    )  # fmt: skip


def charge_ring(words: Words, charge: ChargeView) -> ft.Control:
    """The ring of one charge, in words and figures that fit its doubt."""
    mean, low, high, unit = interval_parts(charge.shred)
    full, _, _, full_unit = interval_parts(charge.charge)
    values = {"mean": f"{mean} {unit}", "low": low, "high": f"{high} {unit}", "full": f"{full} {full_unit}"}
    keys = ("of", "between", "pale") if low != high else ("of",)
    lines = tuple(words(f"app.home.{key}", **values) for key in keys)
    label = words("app.home.ring", resin=charge.resin, **values)
    return ring(charge.shred, charge.charge.mean, big=values["mean"], lines=lines, label=label)


def more_card(words: Words, charge: ChargeView, more: Mapping[str, MoreView] | None) -> list[ft.Control]:
    """What would fill the mould; nothing until it is worked out."""
    wants = more.get(charge.id) if more else None
    if wants is None:
        return []
    chance, wanted = share_text(charge.probability_met), share_text(wants.wanted)
    if wants.enough:
        title, line = words("app.home.enough"), words("app.home.enough_why", chance=chance)
    elif not wants.pieces:
        title, line = words("app.home.weigh"), words("app.home.weigh_why", wanted=wanted)
    else:
        title, line = more_text(words, wants.pieces), words("app.home.more_why", wanted=wanted)
    return [reason_card(title, (line,))]


def more_text(words: Words, pieces: tuple[Pieces, ...]) -> str:
    """So many of one kind, or so many of another."""
    names = [p.name if p.count == 1 else words(f"kind.{p.kind}.many") for p in pieces]
    first = {"count": pieces[0].count, "kind": names[0]}
    if len(pieces) == 1:
        return words("app.home.more", **first)
    return words("app.home.more_or", **first, other_count=pieces[1].count, other_kind=names[1])


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


def in_hand(words: Words, view: HomeView, go: Go) -> tuple[ft.Control, ...]:
    """The items that somebody began, each leading to where it goes on."""
    if not view.in_hand:
        return ()
    rows = [
        item_row(i.picture, item_text(words, i), (), way(go, item_address(i.id)), key=i.id)
        for i in view.in_hand
    ]
    title = words("app.home.in_hand", count=view.unfinished)
    order = choice(words("app.home.pile"), way(go, PILE), hint=words("app.home.pile_why"), key="pile")
    return (heading(title, level=2, size=TEXT_BODY), *rows, order)


def shelf(words: Words, view: HomeView, go: Go) -> tuple[ft.Control, ...]:
    """The way to the hold shelf, where something lies on it."""
    if not view.held:
        return ()
    text, hint = words("app.home.held", count=view.held), words("app.home.held_why")
    return (choice(text, way(go, HOLD), hint=hint, key="hold"),)


def ways(words: Words, go: Go) -> tuple[ft.Control, ...]:
    """To a thing by its name, to what was done last, and to what there is to print."""
    places = (("find", FIND), ("history", HISTORY), ("papers", PAPERS))
    return tuple(choice(words(f"app.home.{key}"), way(go, at), key=key) for key, at in places)


def counts_card(words: Words, view: HomeView) -> ft.Control:
    """How many items went which way."""
    counts = words("app.home.counts", accepted=view.accepted, held=view.held, refused=view.refused)
    return reason_card(words("app.home.so_far"), (counts,))


def _subject(words: Words, charge: ChargeView | None) -> str:
    """What the ring shows, or that the campaign wants nothing yet."""
    if charge is None:
        return words("app.home.no_charge")
    chance = share_text(charge.probability_met)
    return words("app.home.subject", id=charge.id, resin=charge.resin, chance=chance)
