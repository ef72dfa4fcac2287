"""The charge: what the mould needs, how small the pile gets, what goes into it, what is to be expected."""

from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.boxes import boxes
from intake.app.parts.buttons import choice, primary_button
from intake.app.parts.cards import card, reason_card
from intake.app.parts.fan_chart import Moment, fan_chart
from intake.app.parts.frame import Panes, Width, below_view
from intake.app.parts.question import heading, question
from intake.app.places import HOME, draw_address, way
from intake.app.screens.said import mass_texts, minded
from intake.app.session import Shared, WidthContext, use_later, use_shared, use_version
from intake.app.theme import TEXT_BODY
from intake.desk.forecast import Forecast
from intake.desk.views.charge import (
    BoxesView,
    ChargePlanView,
    MixView,
    charge_plan_view,
    forecast_view,
    mix_view,
)
from intake.spread import Interval
from intake.words import Words
from intake.words.figures import mass_text, share_text

MANY_FILLS = 8
"""Top-ups above which finer shred or slabs melted before are advised."""


@safe_view
def Charge() -> ft.View:  # noqa: N802
    """The charge that the address names."""
    shared = use_shared()
    version = use_version(shared.hub)
    width, page, route = ft.use_context(WidthContext), ft.context.page, ft.use_view_path()
    charge_id = str(ft.use_route_params()["charge"])
    words, known = shared.words, {c.id for c in shared.desk.campaign.charge}
    asked = charge_id if charge_id in known else next(iter(known))
    plan = use_later(shared, version, charge_plan_view, asked)
    mix = use_later(shared, version, mix_view, asked)
    told = use_later(shared, version, forecast_view, asked)
    back = way(page.navigate, HOME)
    if charge_id not in known:
        body: list[ft.Control] = [question(words("app.charge.gone"), hint=words("app.charge.gone_why"))]
        foot: list[ft.Control] = [primary_button(words("app.charge.to_today"), back)]
        return below_view(route, body, foot, back=words("app.back"), on_back=back, width=width)
    first, second = charge_panes(shared, plan, mix, told, page.navigate)
    wide = width is Width.DESKTOP
    return below_view(
        route, first if wide else [*first, *second], [], back=words("app.back"), on_back=back, width=width,
        panes=Panes(right=tuple(second) if wide else ()),
    )  # fmt: skip


def charge_panes(
    shared: Shared,
    plan: ChargePlanView | None,
    mix: MixView | None,
    told: Forecast | None,
    go: Callable[[str], Any],
) -> tuple[list[ft.Control], list[ft.Control]]:  # fmt: skip
    """What the mould needs with its filling; and what goes in, what is to be expected, what to mind."""
    words = shared.words
    if plan is None:
        return [question(words("app.charge.working"))], []
    first: list[ft.Control] = [
        question(words("app.charge.title", id=plan.id), hint=_need(words, plan)),
        heading(words("app.charge.look"), level=2, size=TEXT_BODY),
        boxes_card(words, plan.boxes),
        *filling_cards(words, plan),
    ]
    second: list[ft.Control] = [*mix_cards(words, mix, go), *forecast_cards(shared, told)]
    second.append(reason_card(words("app.charge.know"), tuple(words.reason(r) for r in plan.reasons)))
    return first, [*second, *minded(shared, "charge", plan.resin)]


def boxes_card(words: Words, view: BoxesView) -> ft.Control:
    """A big pile gives little shred: four boxes to scale."""
    pile = words(f"kind.{view.kind}.many") if view.pieces > 1 else view.kind
    named = (
        (words("app.charge.box.pile", count=view.pieces, kind=pile), view.pile),
        (words("app.charge.box.shred"), view.shred),
        (words("app.charge.box.melt"), view.melt),
        (words("app.charge.box.part"), view.part),
    )
    found = [(name, litres.mean, _litres(words, litres)) for name, litres in named]
    label = "; ".join(f"{name}: {text}" for name, _, text in found)
    return card([boxes(found, label=words("app.charge.box.label", boxes=label))])


def filling_cards(words: Words, plan: ChargePlanView) -> list[ft.Control]:
    """How it is filled, and what must stand above the rim."""
    collar, doubt = mass_texts(words, plan.collar)
    lines = [
        words("app.charge.level", mass=mass_text(plan.level_fill_g), part=mass_texts(words, plan.part)[0]),
        words(
            "app.charge.collar" if plan.pressed else "app.charge.collar_unpressed", mass=collar, doubt=doubt
        ),
        words("app.charge.melt", melt=f"{plan.melt_c:.0f}", hottest=f"{plan.hottest_c:.0f}"),
        words("app.charge.heat", kwh=f"{plan.heat_kwh.mean:.2f}"),
    ]
    fills = words("app.charge.fills", mean=plan.fills.mean, low=plan.fills.low, high=plan.fills.high)
    each = words("app.charge.each", masses=", ".join(f"{g:.0f}" for g in plan.fills.masses_g))
    finer = (words("app.charge.finer"),) if plan.fills.mean > MANY_FILLS else ()
    return [reason_card(fills, (each, *finer)), reason_card(words("app.charge.filling"), tuple(lines))]


def mix_cards(words: Words, mix: MixView | None, go: Callable[[str], Any]) -> list[ft.Control]:
    """Which lots go in, each leading to where it is drawn; or what is missing."""
    if mix is None:
        return []
    title = heading(words("app.charge.mix"), level=2, size=TEXT_BODY)
    if not mix.needed:
        return [title, reason_card(words("app.charge.drawn"), ())]
    if not mix.taken:
        why = (words("app.charge.short_why"),) if mix.lots else ()
        key = "app.charge.short" if mix.lots else "app.charge.no_lots"
        return [title, reason_card(words(key, mass=mass_text(mix.short_g)), why)]
    rows = [
        choice(
            words("app.charge.take", mass=mass_text(t.mass_g), lot=t.lot), way(go, draw_address(t.lot)),
            hint=words("app.charge.take_of", mass=mass_text(t.of_g)), key=t.lot,
        )
        for t in mix.taken
    ]  # fmt: skip
    return [title, *rows]


def forecast_cards(shared: Shared, told: Forecast | None) -> list[ft.Control]:
    """How likely it is enough, and the fan of what comes."""
    if told is None:
        return []
    words = shared.words
    chance, last = share_text(told.probability_met), told.fan[-1]
    middle = share_text(min(last.p50, 1.0)) if last.p50 < 1.0 else words("app.charge.fan_full")
    label = words(
        "app.charge.fan_label", pieces=last.arrivals, middle=middle, chance=share_text(last.probability_met)
    )
    moments = [
        Moment(pieces=p.arrivals, p5=p.p5, p25=p.p25, p50=p.p50, p75=p.p75, p95=p.p95) for p in told.fan
    ]
    fan = fan_chart(
        moments, first=words("app.charge.fan_now"), last=words("app.charge.fan_last", pieces=last.arrivals),
        full=words("app.charge.fan_line"), label=label,
    )  # fmt: skip
    until = words(
        "app.charge.until" if told.until is not None else "app.charge.until_never", pieces=told.until
    )
    have, need = mass_texts(words, told.shred_g), mass_texts(words, told.charge_g)
    now = words("app.charge.chance", chance=chance, have=have[0], doubt=have[1], need=need[0])
    title = heading(words("app.charge.expect"), level=2, size=TEXT_BODY)
    return [title, reason_card(now, (until,)), card([fan])]


def _need(words: Words, plan: ChargePlanView) -> str:
    """What to have on the scale."""
    mass, doubt = mass_texts(words, plan.charge)
    return words("app.charge.need", mass=mass, doubt=doubt, resin=plan.resin, cavity=f"{plan.cavity_l:.3g}")


def _litres(words: Words, room: Interval) -> str:
    """Room with its doubt, to two digits of the doubt."""
    digits = 0 if room.mean >= 10 else 1  # noqa: PLR2004
    mean, low, high = (f"{v:.{digits}f}" for v in (room.mean, room.low, room.high))
    return words("app.charge.litres", mean=mean, low=low, high=high)
