"""Observe: a mark is read, a test is done, something is seen; and which test would tell most next."""

from collections.abc import Mapping
from typing import Any

from intake.desk.desk import Desk
from intake.desk.tests_column import read_cue, read_density, read_float
from intake.errors import BadInput, Refusal
from intake.ledger.events import EvidenceAdded, Revised
from intake.table.identify.evidence import Evidence, Mark, MarkHow
from intake.table.identify.next_test import NextTest, next_tests


def add_mark(desk: Desk, item_id: str, text: str, how: MarkHow = MarkHow.MOULDED) -> None:
    """Record a mark as it was read.

    Raises:
        BadInput: no such item, or the text is empty or longer than any mark.
    """
    if not text.strip() or len(text) > 100:  # noqa: PLR2004
        raise BadInput(where="Mark", got=text[:40], expected="what stands on the item, such as 2 or PE-HD")
    _add(desk, item_id, Mark(text=text.strip(), how=how))


def add_test(desk: Desk, item_id: str, name: str, result: str) -> None:
    """Record a test: `float:water` with floats, sinks or hovers; a cue with what was seen; `density` in g/cm3.

    Raises:
        BadInput: no such item, test or result.
    """
    where = f"Test {name}"
    if name.startswith("float:"):
        evidence: Evidence = read_float(name.removeprefix("float:"), result, where=where)
    elif name == "density":
        evidence = read_density(result, where=where)
    else:
        evidence = read_cue(name, result, desk.handbook, where=where)
    _add(desk, item_id, evidence)


def revise(desk: Desk, item_id: str, changes: Mapping[str, Any]) -> None:
    """Correct or add facts of an item that is still in hand: colour, closure, label, residue, count, note.

    Raises:
        BadInput: no such item or fact, or a value it cannot have.
        Refusal: the item lies in a bin; take it back first.
    """
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        desk.record([Revised(item=item_id, changes=changes)])


def what_next(desk: Desk, item_id: str) -> tuple[NextTest, ...]:
    """The tests that are left, the one that tells most a minute first; only safe ones, only with the kit here."""
    known = desk.numbers(item_id)
    cues = desk.handbook.identify.cues
    return tuple(
        next_tests(known.item.kind, known.state.evidence, desk.handbook.identify, kit=cues.usual_kit)
    )


def in_hand(desk: Desk, item_id: str) -> None:
    """Make sure that the item is known and lies in no bin.

    Raises:
        BadInput: the table has no such item.
        Refusal: somebody put it in a bin already.
    """
    state = desk.numbers(item_id).state
    if state.bin is not None:
        raise Refusal(f"This item is already in bin {state.bin}. Take it back first, then change it.")


def _add(desk: Desk, item_id: str, evidence: Evidence) -> None:
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        desk.record([EvidenceAdded(item=item_id, evidence=evidence)])
