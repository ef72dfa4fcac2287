"""What `intake charge` says: the document for programs, the plan in words for people."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from intake.cli.show import mind_line
from intake.spread import interval, mean_of
from intake.words import Words
from intake.words.figures import interval_text, mass_text, share_text

if TYPE_CHECKING:
    from intake.desk.charge import ChargeAnswer
    from intake.handbook import Handbook
    from intake.table.resins import Figure

_BAR = 48
"""Letters that the largest box is wide."""
_EIGHTHS = "▏▎▍▌▋▊▉█"


def charge_json(answer: "ChargeAnswer", words: Words) -> dict[str, Any]:
    """The document of `shared/charge.schema.json`."""
    plan = answer.plan
    need, shrink, fills = interval(plan.charge_g), plan.shrinkage, plan.fills
    return {
        "id": plan.spec.id,
        "resin": plan.spec.resin,
        "cavity_cm3": round(plan.spec.cavity_cm3, 3),
        "part_g": round(mean_of(plan.part_g), 1),
        "level_melt_fill_g": round(plan.level_melt_fill_g, 1),
        "collar_g": round(mean_of(plan.collar_g), 1),
        "charge_g": round(need.mean, 1),
        "low_g": round(need.low, 1),
        "high_g": round(need.high, 1),
        "shrinkage": {
            "linear_percent": list(_used_percent(answer)),
            "handbook_percent": [_percent(shrink.handbook.low), _percent(shrink.handbook.high)],
            "pvt_percent": _percent(shrink.pvt[1]) if shrink.pvt else None,
        },
        "fills": {"mean": fills.mean, "low": fills.low, "high": fills.high},
        "shred_volume_l": round(mean_of(plan.shred_volume_l), 2),
        "boxes_l": {name: None if v is None else round(v, 2) for name, v in _boxes(answer)},
        "melt_temperature_c": plan.melt_temp_c,
        "hottest_c": answer.hottest_c,
        "heat_kwh": round(mean_of(plan.heat_kwh), 3),
        "measured_kwh": answer.oven.measured_kwh,
        "reasons": [words.reason(r) for r in answer.reasons],
        "reason_codes": [r.code for r in answer.reasons],
        "cautions": [c.id for c in answer.cautions],
        "sources": list(answer.sources),
    }


def charge_lines(answer: "ChargeAnswer", book: "Handbook", words: Words) -> Iterator[str]:
    """The plan, in the order in which it is done."""
    plan = answer.plan
    yield words(
        "charge.title", id=plan.spec.id, resin=plan.spec.resin, cavity=_litres(plan.spec.cavity_cm3 / 1000.0)
    )
    yield words("charge.need", charge=interval_text(interval(plan.charge_g)))
    yield words(
        "charge.parts", part=interval_text(interval(plan.part_g)), overfill=mass_text(mean_of(plan.overfill_g)),
        flash=mass_text(plan.spec.flash_g), losses=mass_text(mean_of(plan.losses_g)),
    )  # fmt: skip
    yield from (words.reason(r) for r in answer.reasons)
    yield _shrinkage_line(answer, words)
    yield ""
    yield from _box_lines(answer, words)
    yield ""
    yield from _filling(answer, book.heat.minutes_between_fills, words)
    yield ""
    yield from _heating(answer, book.heat.limit_unknown_c.typical, words)
    yield mind_line(answer.cautions, words)
    yield words("check.not_food")
    yield words("charge.sources", sources=", ".join(_titles(answer, book)))


def _boxes(answer: "ChargeAnswer") -> tuple[tuple[str, float | None], ...]:
    """[L] The four boxes by name; the pile only where a kind was named."""
    pile = None if answer.pile is None else mean_of(answer.pile.litres)
    shred_l = mean_of(answer.plan.shred_volume_l)
    return (
        ("pile", pile), ("shred", shred_l), ("melt", mean_of(answer.melt_l)), ("solid", mean_of(answer.solid_l)),
    )  # fmt: skip


def _box_lines(answer: "ChargeAnswer", words: Words) -> Iterator[str]:
    """The boxes as bars to scale."""
    known = [(name, litres) for name, litres in _boxes(answer) if litres is not None]
    most = max(litres for _, litres in known)
    if answer.pile is not None:
        yield words("charge.pile", pieces=answer.pile.pieces, kind=answer.pile.kind)
    for name, litres in known:
        label = words(f"charge.box_{name}")
        yield f"{label:<12}{_litres(litres):>10}  {_bar(litres / most)}"


def _bar(share: float) -> str:
    """A bar that is `share` of the widest one, to an eighth of a letter."""
    eighths = max(1, round(share * _BAR * 8))
    whole, rest = divmod(eighths, 8)
    return "█" * whole + (_EIGHTHS[rest - 1] if rest else "")


def _shrinkage_line(answer: "ChargeAnswer", words: Words) -> str:
    shrink = answer.plan.shrinkage
    low, high = _used_percent(answer)
    used, beside = f"{low:g}–{high:g} %", _range(shrink.handbook)
    if answer.plan.spec.parts:
        return words(
            "charge.shrinkage_learned", used=used, parts=len(answer.plan.spec.parts), oven=_range(shrink.oven)
        )
    if shrink.pvt is None:
        return words("charge.shrinkage", used=used, handbook=beside)
    return words("charge.shrinkage_pvt", used=used, handbook=beside, pvt=f"{_percent(shrink.pvt[1]):g} %")


def _filling(answer: "ChargeAnswer", minutes: "Figure", words: Words) -> Iterator[str]:
    """Fills, top-ups, collar, plate and weight."""
    fills = answer.plan.fills
    yield words("charge.fills", mean=fills.mean, low=fills.low, high=fills.high)
    first = ", ".join(mass_text(g) for g in fills.masses_g[:4]) + (" …" if fills.mean > 4 else "")  # noqa: PLR2004
    yield words("charge.fill_masses", masses=first)
    yield words(
        "charge.top_up", low=f"{minutes.low:.0f}", high=f"{minutes.high:.0f}", typical=f"{minutes.typical:.0f}",
        hours=f"{(fills.mean - 1) * minutes.typical / 60:.1f}",
    )  # fmt: skip
    collar = mean_of(answer.plan.collar_g)
    if collar > 0.0:
        yield words("charge.collar", collar=mass_text(collar))
    yield words("charge.press")
    if answer.plan.spec.pressed:
        yield words("reason.unpressed_draws_in")


def _heating(answer: "ChargeAnswer", unknown_c: float, words: Words) -> Iterator[str]:
    """Temperature, limits, energy."""
    oven, plan = answer.oven, answer.plan
    yield words("charge.oven", melt=f"{plan.melt_temp_c:.0f} °C", hottest=f"{answer.hottest_c:.0f} °C")
    if oven.mould_c is None or oven.parchment_c is None:
        yield words("charge.ask_limits", limit=f"{unknown_c:.0f} °C")
    heat = interval(plan.heat_kwh)
    yield words("charge.heat", mean=f"{heat.mean:.2f}", low=f"{heat.low:.2f}", high=f"{heat.high:.2f}")
    if oven.measured_kwh is not None and answer.heat_share is not None:
        key = "charge.measured" if answer.heat_share <= 1.0 else "charge.measured_too_little"
        yield words(key, measured=f"{oven.measured_kwh:g}", share=share_text(answer.heat_share))
    yield words("charge.oven_stays")


def _used_percent(answer: "ChargeAnswer") -> tuple[float, float]:
    """The range of shrinkage that is used: the handbook's, or 5 to 95 % of what finished parts made of it."""
    shrink = answer.plan.shrinkage
    if not answer.plan.spec.parts:
        return _percent(shrink.oven.low), _percent(shrink.oven.high)
    found = interval(shrink.used)
    return _percent(found.low), _percent(found.high)


def _titles(answer: "ChargeAnswer", book: "Handbook") -> Iterator[str]:
    """Keys of the works with their titles."""
    for key in answer.sources:
        work = book.sources.get(key)
        yield f"{key} ({work.title})" if work else key


def _litres(litres: float) -> str:
    return f"{litres:.3g} L" if litres < 100.0 else f"{litres:.0f} L"  # noqa: PLR2004


def _range(figure: "Figure") -> str:
    return f"{_percent(figure.low):g}–{_percent(figure.high):g} %"


def _percent(share: float) -> float:
    return round(100.0 * share, 2)
