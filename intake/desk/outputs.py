"""The files that a sorted table leaves: items, bins, the hold shelf, outlets, the summary, tags and bad rows."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from intake.desk import clock
from intake.desk.desk import Desk
from intake.desk.files import csv_bytes, json_bytes, write_file
from intake.desk.hold import Settle, hold_shelf
from intake.desk.labels import tags_pdf
from intake.desk.lots_plain import LOT_COLUMNS, lot_plain, lot_rows
from intake.desk.outlets import outlet_list
from intake.desk.report import Report, last_decision
from intake.desk.sheet import BadRow
from intake.desk.sheet_columns import COLUMNS
from intake.ledger.state import ItemState
from intake.spread import Interval, interval, mean_of
from intake.table.compat.decision import Verdict
from intake.table.yields.balance import Balance
from intake.words import Words

ITEM_COLUMNS = (
    "item", "kind", "count", "verdict", "resin", "probability", "reasons", "received_g", "net_g", "net_low_g",
    "net_high_g", "shred_g", "shred_low_g", "shred_high_g", "bin", "mass_is", "parent", "sheet_row", "note",
    "lot",
)  # fmt: skip
BIN_COLUMNS = (
    "bin", "resin", "colour", "flow", "filled", "items", "pieces", "shred_g", "shred_low_g", "shred_high_g",
)  # fmt: skip
HOLD_COLUMNS = (
    "item", "kind", "count", "colour", "held_since", "days", "resin", "probability", "reasons", "settling_test",
    "settle",
)  # fmt: skip
OUTLET_COLUMNS = (
    "item", "kind", "count", "resin", "probability", "colour", "mass_g", "mass_low_g", "mass_high_g", "mass_is",
    "where",
)  # fmt: skip


def write_outputs(out: Path, desk: Desk, made: Report, words: Words) -> tuple[str, ...]:
    """Write the files into `out`, each whole or not at all; gives their names.

    Raises:
        Refusal: the disk does not take one; it is named.
    """
    files = {
        "items.csv": csv_bytes(ITEM_COLUMNS, item_rows(desk, words)),
        "bins.csv": csv_bytes(BIN_COLUMNS, bin_rows(made)),
        "hold.csv": csv_bytes(HOLD_COLUMNS, hold_rows(desk, words)),
        "outlets.csv": csv_bytes(OUTLET_COLUMNS, outlet_rows(desk, words)),
        "summary.json": json_bytes(summary(made)),
        "labels.pdf": tags_pdf(desk, words),
    }
    if made.lots:
        files["lots.csv"] = csv_bytes(LOT_COLUMNS, lot_rows(made))
    for name, content in files.items():
        write_file(out / name, content)
    return tuple(files)


def write_rejected(out: Path, bad: tuple[BadRow, ...]) -> None:
    """The rows that could not be used, as they were written, with what is wrong with each."""
    columns = ("sheet_row", "fault", *(c.name for c in COLUMNS))
    rows = [
        {"sheet_row": b.number, "fault": " ".join(str(f) for f in b.findings)} | dict(b.text) for b in bad
    ]
    write_file(out / "rejected.csv", csv_bytes(columns, rows))


def item_rows(desk: Desk, words: Words) -> Iterator[Mapping[str, object]]:
    """One row an item with a verdict, in the order they came."""
    for state in desk.state.items.values():
        if state.verdict is not None:
            yield _item_row(state, desk, words)


def _item_row(state: ItemState, desk: Desk, words: Words) -> dict[str, object]:
    yields = desk.numbers(state.id).yields
    resin, probability = last_decision(state)
    net = interval(yields.net_g)
    accepted = state.verdict is Verdict.ACCEPT
    shred = interval(yields.shred_g) if accepted else Interval(mean=0.0, low=0.0, high=0.0)
    judged = [j for j in (state.resin_verdict, state.placing_verdict) if j is not None]
    source = state.facts.source
    return {
        "item": state.id,
        "kind": state.facts.kind,
        "count": state.facts.count,
        "verdict": str(state.verdict),
        "resin": resin,
        "probability": f"{probability:.4f}",
        "reasons": words.reasons([*(r for j in judged for r in j.reasons), *yields.reasons]),
        "received_g": mean_of(yields.received_g),
        "net_g": net.mean,
        "net_low_g": net.low,
        "net_high_g": net.high,
        "shred_g": shred.mean,
        "shred_low_g": shred.low,
        "shred_high_g": shred.high,
        "bin": state.bin or "",
        "lot": state.lot or "",
        "mass_is": "estimated" if yields.estimated else "weighed",
        "parent": state.parent or "",
        "sheet_row": source.row if source else "",
        "note": state.facts.note,
    }


def bin_rows(made: Report) -> Iterator[Mapping[str, object]]:
    """One row a bin."""
    for line in made.bins:
        yield {
            "bin": line.id,
            "resin": line.resin,
            "colour": line.colour,
            "flow": line.flow,
            "filled": "yes" if line.filled else "no",
            "items": line.items,
            "pieces": line.pieces,
            "shred_g": line.shred_g.mean,
            "shred_low_g": line.shred_g.low,
            "shred_high_g": line.shred_g.high,
        }


def hold_rows(desk: Desk, words: Words) -> Iterator[Mapping[str, object]]:
    """One row an item on the hold shelf, the one that waits longest first."""
    for tag in hold_shelf(desk):
        yield {
            "item": tag.item,
            "kind": tag.kind,
            "count": tag.count,
            "colour": tag.colour,
            "held_since": clock.today(tag.since_ms),
            "days": tag.days,
            "resin": tag.resin,
            "probability": f"{tag.probability:.4f}",
            "reasons": words.reasons(tag.reasons),
            "settling_test": tag.settle.test,
            "settle": settle_text(tag.settle, words),
        }


def settle_text(settle: Settle, words: Words) -> str:
    """What would settle a held item, with how the test is done."""
    how = f" {words(f'test.{settle.test}')}" if settle.test else ""
    return words.reason(settle.reason) + how


def outlet_rows(desk: Desk, words: Words) -> Iterator[Mapping[str, object]]:
    """One row a refused item that is good plastic."""
    for line in outlet_list(desk):
        yield {
            "item": line.item,
            "kind": line.kind,
            "count": line.count,
            "resin": line.resin,
            "probability": f"{line.probability:.4f}",
            "colour": line.colour,
            "mass_g": line.mass.mean,
            "mass_low_g": line.mass.low,
            "mass_high_g": line.mass.high,
            "mass_is": "estimated" if line.estimated else "weighed",
            "where": words(f"outlet.{line.outlet}"),
        }


def summary(made: Report) -> dict[str, Any]:
    """The report as plain values; `shared/summary.schema.json` describes it."""
    balance = made.balance
    return {
        "campaign": made.campaign,
        "edition": made.edition,
        "items": made.rows,
        "pieces": made.pieces,
        "verdicts": {str(v): n for v, n in made.verdicts.items()},
        "received_g": balance.received_g,
        "accepted_g": balance.accepted_g,
        "held_g": balance.held_g,
        "refused_g": balance.refused_g,
        "removed_g": balance.removed_g,
        "removed": dict(balance.removed),
        "balance": _balance(balance),
        "shred_g": _span(made.shred_g),
        "cautions": [c.id for c in made.cautions],
        "charges": [
            {
                "id": c.id,
                "resin": c.resin,
                "charge_g": _span(c.charge_g),
                "shred_g": _span(c.shred_g),
                "probability_met": round(c.probability_met, 4),
            }
            for c in made.charges
        ],
        "bins": [
            {
                "id": b.id,
                "resin": b.resin,
                "colour": b.colour,
                "flow": b.flow,
                "filled": b.filled,
                "items": b.items,
                "pieces": b.pieces,
                "shred_g": _span(b.shred_g),
            }
            for b in made.bins
        ],
        "lots": [lot_plain(lot) for lot in made.lots],
    }


def _balance(balance: Balance) -> dict[str, Any]:
    """Both lines of the balance, so that a reader can add them up."""
    return {
        "gap_g": balance.gap_g,
        "shred_g": balance.shred_g,
        "process_loss_g": balance.process_loss_g,
        "not_yet_shredded_g": balance.not_yet_shredded_g or 0.0,
        "unexplained_g": balance.unexplained_g,
        "explainable_g": balance.explainable_g,
        "doubt_g": balance.doubt_g,
        "flagged": balance.flagged,
    }


def _span(amount: Interval) -> dict[str, float]:
    return {"mean": round(amount.mean, 3), "low": round(amount.low, 3), "high": round(amount.high, 3)}
