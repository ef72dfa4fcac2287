"""`intake verify`: is a ledger whole, and is it as it was written?"""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from intake.ledger.verify import Verified

_SHOWN = 20
"""Findings printed for people; `--json` has all of them."""


@click.command()
@click.argument("ledger", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
@click.option("--repair", is_flag=True, help="Cut off what a crash left at the end; the bytes are kept.")
@click.option(
    "--against",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Another table's ledger, or a backup file, that may know acts that are lost here; can be repeated.",
)
def verify(ledger: Path, *, as_json: bool, repair: bool, against: tuple[Path, ...]) -> None:
    """Read LEDGER from its first byte to its last and say everything that is wrong with it.

    Checks every record's length and check sum, the hash chain of every station, that every event reads, and that
    the table which follows from the events can be true. Whole acts that are missing at the very end cannot be seen
    in a ledger alone: the snapshot beside it is asked, and whatever --against names. Exit code 1 where anything is
    wrong.
    """
    from intake.cli.show import print_json
    from intake.ledger.backup import known_heads
    from intake.ledger.verify import verify as verify_ledger

    found = verify_ledger(ledger, repair=repair, against={str(path): known_heads(path) for path in against})
    if as_json:
        print_json(_plain(found))
    else:
        for line in _lines(found):
            click.echo(line)
    if not found.ok:
        raise SystemExit(1)


def _plain(found: "Verified") -> dict[str, Any]:
    """The report as JSON says it; `first_bad_byte` is null where nothing is damaged."""
    torn = found.torn
    return {
        "ledger": str(found.path.parent),
        "file": found.path.name,
        "ok": found.ok,
        "station": found.station,
        "events": found.events,
        "bytes": found.size,
        "good_bytes": found.good,
        "first_bad_byte": found.damage[0].start if found.damage else None,
        "stations": {
            name: {"events": head.seq, "hash": head.hash, "hlc": head.hlc}
            for name, head in found.heads.items()
        },
        "damage": [{"byte": bad.start, "line": bad.line, "why": bad.why} for bad in found.damage],
        "whole_records_of_damaged_acts": found.lost_with_it,
        "groups_after_damage": found.after,
        "torn": torn and {"byte": torn.start, "bytes": torn.size, "kept_in": _name(torn.kept_in)},
        "writer": found.writer,
        "findings": [{"where": f.where, "got": f.got, "expected": f.expected} for f in found.findings],
        "unread": list(found.unread),
        "compared": list(found.compared),
        "snapshot_fault": found.aside,
    }


def _name(path: Path | None) -> str | None:
    return path.name if path else None


def _lines(found: "Verified") -> list[str]:
    """The report as sentences."""
    lines = [f"{found.path}: {found.events} events; {found.good} of {found.size} bytes read as written."]
    lines += [f"Damage at byte {bad.start}, line {bad.line}: {bad.why}." for bad in found.damage[:_SHOWN]]
    if len(found.damage) > _SHOWN:
        lines.append(f"And {len(found.damage) - _SHOWN} more damaged records; --json lists all.")
    if found.lost_with_it:
        lines.append(f"Of the same act, records that are whole but cannot count: {found.lost_with_it}.")
    if found.damage:
        lines.append(f"Later acts that read, but do not count either: {found.after}. Restore a backup.")
    lines += _torn_lines(found)
    lines += [str(finding) for finding in found.findings[:_SHOWN]]
    if len(found.findings) > _SHOWN:
        lines.append(f"And {len(found.findings) - _SHOWN} more; --json lists all.")
    if found.aside is not None:
        lines.append(f"The snapshot could not be asked: {found.aside}. Nothing is lost by that.")
    if found.ok and found.compared:
        lines.append(
            f"Nothing is wrong, and nothing is missing that is known to: {', '.join(found.compared)}. "
            "Were later acts lost, only a newer copy or another table could tell."
        )
    elif found.ok:
        lines.append(
            "Nothing is wrong. Were the very last acts lost, only a copy or another table could tell."
        )
    return lines


def _torn_lines(found: "Verified") -> list[str]:
    """What is said of the tail."""
    torn = found.torn
    if torn is None:
        return []
    where = f"{torn.size} bytes from byte {torn.start} on"
    if torn.kept_in is not None:
        return [f"The torn tail, {where}, was cut off; its bytes are kept in {torn.kept_in.name}."]
    if found.writer is not None:
        return [f"{where} are being written by {found.writer}."]
    return [f"A torn tail, {where}: a step that was cut short and never confirmed. --repair cuts it off."]
