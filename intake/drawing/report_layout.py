"""Where the parts of the day report stand, in millimetres; numbers only."""

from dataclasses import dataclass

from intake.drawing.ink import Paper, Rect

MARGIN = 14.0
GAP = 8.0
HEAD, FOOT = 25.0, 6.0
CHARGE_ROW = 13.0
"""[mm] one charge: its words and its bar."""
_LAST_ROW = 66.0
"""[mm] minutes and what to bring; the flow picture has the rest."""

TITLE_CAP, HEADING_CAP, TEXT_CAP, SMALL_CAP, NUMBER_CAP = 5.6, 3.1, 2.5, 2.1, 9.0
"""[mm] capitals: 2.5 mm is 10 point type, read at arm's length."""
HEADING_HEIGHT = 8.5


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportLayout:
    """The parts of the page."""

    head: Rect
    flow: Rect
    charges: Rect
    minutes: Rect
    bring: Rect
    foot: Rect


def report_layout(paper: Paper, charges: int) -> ReportLayout:
    """The parts on this paper: head, the flow picture, charges, and side by side minutes and what to bring.

    Args:
        paper: the paper.
        charges: how many rows they need, 1 or more.
    """
    width, height = paper.size_mm
    inner, left = width - 2 * MARGIN, MARGIN
    foot = Rect(left, height - MARGIN - FOOT, inner, FOOT)
    top, half = foot.top - GAP / 2 - _LAST_ROW, (inner - GAP) / 2
    row = HEADING_HEIGHT + charges * CHARGE_ROW
    bars = Rect(left, top - GAP / 2 - row, inner, row)
    begin = MARGIN + HEAD
    return ReportLayout(
        head=Rect(left, MARGIN, inner, HEAD),
        flow=Rect(left, begin, inner, bars.top - GAP - begin),
        charges=bars,
        minutes=Rect(left, top, half, _LAST_ROW),
        bring=Rect(left + half + GAP, top, half, _LAST_ROW),
        foot=foot,
    )
