"""Lots as plain values: rows of lots.csv and the `lots` of summary.json."""

from collections.abc import Iterator, Mapping
from typing import Any

from intake.desk.lots import LotLine
from intake.desk.report import Report
from intake.spread import Interval

LOT_COLUMNS = (
    "lot", "bin", "resin", "colour", "flow", "filled", "items", "pieces", "mass_g", "left_g", "floated_g",
    "drawn_g", "written_off_g", "adjusted_g", "expected_g", "expected_low_g", "expected_high_g", "volume_l",
    "purity", "purity_low", "purity_high", "most_foreign", "most_foreign_share", "test_melt",
)  # fmt: skip
_DIGITS = 6


def lot_rows(made: Report) -> Iterator[Mapping[str, object]]:
    """One row a lot."""
    for lot in made.lots:
        most = lot.content.shares[0] if lot.content.shares else None
        purity = lot.content.purity
        yield {
            "lot": lot.id,
            "bin": lot.bin,
            "resin": lot.resin,
            "colour": lot.colour,
            "flow": lot.flow,
            "filled": "yes" if lot.filled else "no",
            "items": lot.items,
            "pieces": lot.pieces,
            "mass_g": lot.mass_g,
            "left_g": lot.left_g,
            "floated_g": lot.floated_g,
            "drawn_g": lot.drawn_g,
            "written_off_g": lot.written_off_g,
            "adjusted_g": lot.adjusted_g,
            "expected_g": lot.expected.mean,
            "expected_low_g": lot.expected.low,
            "expected_high_g": lot.expected.high,
            "volume_l": lot.volume_l.mean,
            "purity": f"{purity.mean:.5f}",
            "purity_low": f"{purity.low:.5f}",
            "purity_high": f"{purity.high:.5f}",
            "most_foreign": most.material if most else "",
            "most_foreign_share": f"{most.share.mean:.6f}" if most else "",
            "test_melt": str(lot.verdict or ""),
        }


def lot_plain(lot: LotLine) -> dict[str, Any]:
    """A lot as `shared/summary.schema.json` describes it."""
    return {
        "id": lot.id,
        "bin": lot.bin,
        "resin": lot.resin,
        "colour": lot.colour,
        "flow": lot.flow,
        "filled": lot.filled,
        "items": lot.items,
        "pieces": lot.pieces,
        "mass_g": lot.mass_g,
        "left_g": lot.left_g,
        "floated_g": lot.floated_g,
        "drawn_g": lot.drawn_g,
        "written_off_g": lot.written_off_g,
        "adjusted_g": lot.adjusted_g,
        "expected_g": _span(lot.expected, 3),
        "volume_l": _span(lot.volume_l, 3),
        "purity": _span(lot.content.purity, _DIGITS),
        "foreign": [
            {
                "material": s.material,
                "share": _span(s.share, _DIGITS),
                "tolerated_share": s.tolerated,
                "over_chance": round(s.over, _DIGITS),
            }
            for s in lot.content.shares
        ],
        "test_melt": str(lot.verdict) if lot.verdict else None,
    }


def _span(amount: Interval, digits: int) -> dict[str, float]:
    return {
        "mean": round(amount.mean, digits),
        "low": round(amount.low, digits),
        "high": round(amount.high, digits),
    }
