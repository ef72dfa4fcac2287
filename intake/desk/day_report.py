"""`intake report`: the day as one page of pictures, in words of the catalogue."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from types import MappingProxyType

from babel.dates import format_date

from intake.desk.day import Day, DayDesk, day_at
from intake.desk.page_file import write_page
from intake.desk.report import charge_progress, done_resin
from intake.desk.views.home import MoreView, more_view
from intake.drawing.flow import FlowPart
from intake.drawing.ink import Paper, Pattern, Tone
from intake.drawing.report import MOST_CHARGES, Bring, ChargeBar, MinutesBar, ReportPage
from intake.handbook import Handbook
from intake.spread import interval, mean_of
from intake.words import Words
from intake.words.figures import interval_parts, interval_text, mass_text, share_text

_LOOKS = MappingProxyType(
    {
        "bin": (Tone.ACCEPT, Pattern.SOLID),
        "lot": (Tone.ACTION, Pattern.SOLID),
        "waiting": (Tone.ACCEPT, Pattern.DOTS),
        "open": (Tone.MUTED, Pattern.DOTS),
        "hold": (Tone.HOLD, Pattern.STRIPES),
        "refuse": (Tone.REFUSE, Pattern.HATCH),
        "written_off": (Tone.REFUSE, Pattern.DOTS),
        "off": (Tone.OFF, Pattern.SOLID),
    }
)
_HEADINGS = ("report.flow", "report.charges", "report.minutes", "report.bring")
_LEAST_G = 0.05
"""[g] less is not drawn."""


def write_day_report(
    ledger: Path,
    out: Path,
    handbook: Handbook,
    words: Words,
    *,
    day: str | None = None,
    paper: Paper = Paper.A4,
) -> Day:
    """Write the report of a day as a PDF of one page, whole or not at all, and return its figures.

    Raises:
        BadInput: no ledger, a day on which nothing happened, or a file that cannot be written.
        DamagedLedger: the journal does not read as it was written.
    """
    from intake.drawing.report import draw_report

    desk = DayDesk.of(ledger, handbook, day)
    told = day_at(desk)
    page = report_page(desk, told, words)
    write_page(out, paper, lambda fonts: draw_report(page, paper, fonts))
    return told


def report_page(desk: DayDesk, day: Day, words: Words) -> ReportPage:
    """Everything on the page, in words."""
    when = format_date(date.fromisoformat(day.day), "full", locale=words.language)
    wanting = next(((c, more) for c, more in more_view(desk).items() if not more.enough), None)
    return ReportPage(
        title=desk.campaign.name,
        subtitle=words("report.subtitle", table=desk.campaign.table, day=when),
        headings=(words(_HEADINGS[0]), words(_HEADINGS[1]), words(_HEADINGS[2]), words(_HEADINGS[3])),
        came=_came(day),
        came_lines=tuple(_came_lines(day, words)),
        flow=tuple(_flow(day, words)),
        flow_note=words("report.flow_note"),
        nothing=words("report.nothing"),
        charges=tuple(_charges(desk, words)),
        charges_note=_charges_note(desk, words),
        minutes=tuple(_minutes(day, words)),
        minutes_note=_minutes_note(day, words),
        bring=tuple(_bring(desk, wanting[1], words)) if wanting else (),
        bring_note=_bring_note(wanting, words),
        foot=words("report.foot", edition=desk.edition, events=day.events),
    )


def _came(day: Day) -> str:
    """How much came in, to the digits that its doubt allows."""
    mean, _, _, unit = interval_parts(day.received)
    return f"{mean} {unit}"


def _came_lines(day: Day, words: Words) -> Iterator[str]:
    _, low, high, _ = interval_parts(day.received)
    if low != high:
        yield words("report.came_between", low=low, high=high)
    yield words("report.items", items=day.items)
    yield words("report.pieces", pieces=day.pieces)


def _flow(day: Day, words: Words) -> Iterator[FlowPart]:
    """Where the mass went, what is on its way first."""
    for fate, (tone, pattern) in _LOOKS.items():
        mass = day.fates[fate]
        if mass.mean < _LEAST_G:
            continue
        share = share_text(mass.mean / day.received.mean)
        detail = words("report.part", mass=interval_text(mass), share=share)
        if fate == "off":
            detail = words("report.part_off", part=detail, parts=_removed(day, words))
        yield FlowPart(
            name=words(f"report.fate.{fate}"), detail=detail, mass_g=mass.mean, tone=tone, pattern=pattern
        )


def _removed(day: Day, words: Words) -> str:
    """The two largest things that came off."""
    largest = sorted(day.removed.items(), key=lambda pair: -pair[1])[:2]
    return ", ".join(words(f"removed.{what}") for what, mass_g in largest if mass_g >= _LEAST_G)


def _charges(desk: DayDesk, words: Words) -> Iterator[ChargeBar]:
    for charge_id, done in charge_progress(desk).items():
        have, full = interval(done.shred_g), mean_of(done.charge_g)
        mean, low, high, unit = interval_parts(have)
        code = "report.charge" if low != high else "report.charge_bare"
        chance = share_text(done.probability_met)
        amounts = {"mean": mean, "low": low, "high": high, "unit": unit, "full": mass_text(full)}
        sentence = words(code, chance=chance, **amounts)
        name = words("report.charge_name", id=charge_id, resin=done_resin(desk, charge_id))
        yield ChargeBar(
            name=name, sentence=sentence, low=have.low / full, mean=have.mean / full, high=have.high / full
        )


def _charges_note(desk: DayDesk, words: Words) -> str:
    """How to read a bar; and how many charges the page has no room for."""
    more = len(desk.campaign.charge) - MOST_CHARGES
    return words("report.bars_more", more=more) if more > 0 else words("report.bars")


def _minutes(day: Day, words: Words) -> Iterator[MinutesBar]:
    for step, minutes in day.minutes.items():
        text = words("report.minutes_of", minutes=f"{minutes:.0f}" if minutes >= 1 else "< 1")
        yield MinutesBar(name=words(f"report.step.{step}"), minutes=minutes, text=text)


def _minutes_note(day: Day, words: Words) -> str:
    if not day.minutes:
        return words("report.no_minutes")
    return words("report.minutes_total", minutes=f"{sum(day.minutes.values()):.0f}")


def _bring(desk: DayDesk, wanting: MoreView, words: Words) -> Iterator[Bring]:
    """What would fill the first charge that is not full: a number of the one kind, or of the other."""
    for piece in wanting.pieces:
        picture = desk.handbook.kinds.rows[piece.kind].picture
        name = piece.name if piece.count == 1 else words(f"kind.{piece.kind}.many")
        yield Bring(picture=picture, count=f"{piece.count}", name=name)


def _bring_note(wanting: tuple[str, MoreView] | None, words: Words) -> str:
    if wanting is None:
        return words("report.bring_nothing")
    charge, more = wanting
    code = ("report.bring_weigh", "report.bring_one", "report.bring_either")[min(len(more.pieces), 2)]
    return words(code, charge=charge, wanted=share_text(more.wanted))
