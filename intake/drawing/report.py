"""The day on one page: where the mass went, how far each charge is, the minutes, what to bring."""

from collections.abc import Sequence
from dataclasses import dataclass

from PIL import Image

from intake.drawing.flow import FlowPart, draw_flow
from intake.drawing.fonts import Fonts
from intake.drawing.ink import Paper, Pattern, Rect, Tone
from intake.drawing.page import Page
from intake.drawing.pictures import draw_picture
from intake.drawing.report_layout import (
    CHARGE_ROW,
    HEADING_CAP,
    HEADING_HEIGHT,
    NUMBER_CAP,
    SMALL_CAP,
    TEXT_CAP,
    TITLE_CAP,
    report_layout,
)

MOST_CHARGES, MOST_MINUTES = 3, 6


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeBar:
    """One charge as a bar: shares of the charge, 1 is full; `low` to `high` is what we are not sure of."""

    name: str
    sentence: str
    low: float
    mean: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MinutesBar:
    """Minutes of one kind of work [min], and how they are written."""

    name: str
    minutes: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bring:
    """So many of one kind; `picture` is the name of its drawing."""

    picture: str
    count: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPage:
    """Everything on the page, in words that are ready to print.

    Attributes:
        flow: where the mass went; empty where nothing came in.
        flow_note: one line under the picture.
        nothing: said in the place of the picture where nothing came in.
        bring_note: one line under what to bring, or in its place.
    """

    title: str
    subtitle: str
    headings: tuple[str, str, str, str]
    came: str
    came_lines: tuple[str, ...]
    flow: tuple[FlowPart, ...]
    flow_note: str
    nothing: str
    charges: tuple[ChargeBar, ...]
    charges_note: str
    minutes: tuple[MinutesBar, ...]
    minutes_note: str
    bring: tuple[Bring, ...]
    bring_note: str
    foot: str


def draw_report(report: ReportPage, paper: Paper, fonts: Fonts) -> Image.Image:
    """The page in colour at 300 dots an inch."""
    page = Page(paper, fonts)
    parts = report_layout(paper, max(1, min(len(report.charges), MOST_CHARGES)))
    page.text(
        report.title,
        parts.head.left,
        parts.head.top + TITLE_CAP,
        TITLE_CAP,
        bold=True,
        width=parts.head.width,
    )
    base = parts.head.top + TITLE_CAP + 3.4 + TEXT_CAP
    page.text(report.subtitle, parts.head.left, base, TEXT_CAP, tone=Tone.MUTED, width=parts.head.width)
    page.box(Rect(parts.head.left, base + 4.0, parts.head.width, 0.3), fill=Tone.LINE)
    _flow(page, report, _under(page, report.headings[0], parts.flow))
    bars = _under(page, report.headings[1], parts.charges)
    page.text(
        report.charges_note,
        bars.right,
        parts.charges.top + HEADING_CAP,
        SMALL_CAP,
        tone=Tone.MUTED,
        anchor="r",
    )
    _charges(page, report.charges, bars)
    _minutes(page, report, _under(page, report.headings[2], parts.minutes))
    _bring(page, report, _under(page, report.headings[3], parts.bring))
    page.box(Rect(parts.foot.left, parts.foot.top, parts.foot.width, 0.3), fill=Tone.LINE)
    foot = parts.foot
    page.text(
        report.foot, foot.left, foot.top + 3.0 + SMALL_CAP, SMALL_CAP, tone=Tone.MUTED, width=foot.width
    )
    return page.image


def _under(page: Page, heading: str, box: Rect) -> Rect:
    """Write a heading and return what is left below it."""
    page.text(heading, box.left, box.top + HEADING_CAP, HEADING_CAP, bold=True, width=box.width)
    return Rect(box.left, box.top + HEADING_HEIGHT, box.width, box.height - HEADING_HEIGHT)


def _flow(page: Page, report: ReportPage, box: Rect) -> None:
    if not report.flow:
        page.paragraph(report.nothing, box, TEXT_CAP)
        return
    picture = Rect(box.left, box.top, box.width, box.height - 6.0)
    draw_flow(page, picture, report.flow, report.came, report.came_lines)
    page.text(report.flow_note, box.left, box.bottom, SMALL_CAP, tone=Tone.MUTED, width=box.width)


def _charges(page: Page, charges: Sequence[ChargeBar], box: Rect) -> None:
    """A bar a charge: solid up to what is sure, hatched as far as it may reach, a line where the mould is full."""
    full = 0.72 * box.width
    for number, charge in enumerate(charges[:MOST_CHARGES]):
        top = box.top + number * CHARGE_ROW
        track = Rect(box.left, top + TEXT_CAP + 2.4, full, 4.8)
        page.text(charge.name, box.left, top + TEXT_CAP, TEXT_CAP, bold=True, width=0.28 * box.width)
        page.text(charge.sentence, box.right, top + TEXT_CAP, TEXT_CAP, tone=Tone.MUTED, anchor="r",
                  width=0.7 * box.width)  # fmt: skip
        page.box(track, fill=Tone.PALE)
        reach = box.width / full
        low, high = (max(0.0, min(v, reach)) * full for v in (charge.low, charge.high))
        _block(page, track, 0.0, low, Pattern.SOLID)
        _block(page, track, low, high, Pattern.HATCH)
        mean = box.left + min(charge.mean, reach) * full
        page.stroke([(mean, track.top), (mean, track.bottom)], 0.5, Tone.INK)
        page.stroke([(track.right, track.top - 0.7), (track.right, track.bottom + 1.5)], 0.7, Tone.INK)


def _block(page: Page, track: Rect, begin: float, end: float, pattern: Pattern) -> None:
    if end > begin:
        block = Rect(track.left + begin, track.top, end - begin, track.height)
        page.shape(block.outline, Tone.ACTION, pattern)


def _minutes(page: Page, report: ReportPage, box: Rect) -> None:
    """Bars to one scale, the longest first; where nobody looked at the clock, a sentence."""
    shown, below = report.minutes[:MOST_MINUTES], box.top
    if shown:
        name, bar = 0.46 * box.width, 0.36 * box.width
        longest = max(m.minutes for m in shown)
        row = min(8.0, (box.height - 8.0) / len(shown))
        below = box.top + len(shown) * row + 1.0
        for number, one in enumerate(shown):
            base = box.top + number * row + TEXT_CAP
            page.text(one.name, box.left, base, TEXT_CAP, width=name - 2.0)
            long = max(bar * one.minutes / longest, 0.3)
            page.box(Rect(box.left + name, base - TEXT_CAP - 0.6, long, TEXT_CAP + 1.2), fill=Tone.ACTION)
            page.text(
                one.text, box.left + name + long + 2.0, base, TEXT_CAP, bold=True, width=0.18 * box.width
            )
    note = Rect(box.left, below, box.width, 10.0)
    page.paragraph(report.minutes_note, note, TEXT_CAP if not shown else SMALL_CAP, tone=Tone.MUTED, most=4)


def _bring(page: Page, report: ReportPage, box: Rect) -> None:
    """A tile a kind: its drawing, the number large, its name."""
    shown = report.bring[:2]
    if shown:
        wide = (box.width - 4.0 * (len(shown) - 1)) / 2
        high = box.height - 11.0
        for number, one in enumerate(shown):
            tile = Rect(box.left + number * (wide + 4.0), box.top, wide, high)
            page.box(tile, line=Tone.LINE, radius=4.0)
            side = min(20.0, high - 22.0)
            draw_picture(page, one.picture, tile.left + (wide - side) / 2, tile.top + 3.0, side)
            middle = tile.left + wide / 2
            page.text(
                one.count, middle, tile.bottom - 8.5, NUMBER_CAP, bold=True, anchor="m", width=wide - 6.0
            )
            page.text(one.name, middle, tile.bottom - 3.2, TEXT_CAP, anchor="m", width=wide - 5.0)
    note = Rect(box.left, box.top if not shown else box.bottom - 2 * SMALL_CAP - 3.0, box.width, 10.0)
    page.paragraph(report.bring_note, note, TEXT_CAP if not shown else SMALL_CAP, tone=Tone.MUTED, most=4)
