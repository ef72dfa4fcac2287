"""Observe: a mark is read, a test is done, something is seen; and which test would tell most next."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from intake.desk.desk import Desk
from intake.desk.tests_column import SPOT, check_spots, read_cue, read_density, read_float, read_spot
from intake.errors import BadInput, Refusal
from intake.handbook import Handbook
from intake.ledger.events import Body, EvidenceAdded, Revised, Undone
from intake.ledger.state import ItemState
from intake.table.identify.evidence import Cue, Evidence, FloatTest, Mark, MarkHow, Outcome, SpotTest
from intake.table.identify.next_test import FLOAT, HANGING, NextTest

NO_MARK = "no mark"
"""What is recorded where somebody looked for a mark and there is none; it reads as saying nothing."""


def add_mark(desk: Desk, item_id: str, text: str, how: MarkHow = MarkHow.MOULDED) -> None:
    """Record a mark as it was read.

    Raises:
        BadInput: no such item, or the text is empty or longer than any mark.
    """
    _add(desk, item_id, _mark(text, how))


def add_test(desk: Desk, item_id: str, name: str, result: str) -> None:
    """Record a test: `float:water` with floats, sinks or hovers; a cue with what was seen; `density` in g/cm3.

    Raises:
        BadInput: no such item, test or result.
    """
    _add(desk, item_id, _read(name, result, desk.handbook))


def set_mark(desk: Desk, item_id: str, text: str, how: MarkHow = MarkHow.MOULDED) -> None:
    """Record the item's mark, in the place of one that was read before; the same again records nothing.

    Raises:
        BadInput: no such item, or the text is empty or longer than any mark.
        Refusal: the item lies in a bin; take it back first.
    """
    _set(desk, item_id, _mark(text, how), lambda old: isinstance(old, Mark))


def set_test(desk: Desk, item_id: str, name: str, result: str) -> None:
    """Record a test, in the place of its result before; the same again records nothing.

    Raises:
        BadInput: no such item, test or result.
        Refusal: the item lies in a bin; take it back first.
    """
    new = _read(name, result, desk.handbook)
    _set(desk, item_id, new, lambda old: test_of(old) == test_of(new))


def test_of(piece: Evidence) -> str:
    """Id of the test that gave this evidence, as `NextTest` names it; empty for a mark."""
    if isinstance(piece, Mark):
        return ""
    if isinstance(piece, SpotTest):
        return SPOT
    if isinstance(piece, Cue):
        return piece.name
    return f"{FLOAT}{piece.bath}" if isinstance(piece, FloatTest) else HANGING


def revise(desk: Desk, item_id: str, changes: Mapping[str, Any]) -> None:
    """Correct or add facts of an item that is still in hand: colour, closure, label, residue, count, note.

    Raises:
        BadInput: no such item or fact, or a value it cannot have, such as a tare above the scale's reading.
        Refusal: the item lies in a bin; take it back first.
    """
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        revised = Revised(item=item_id, changes=changes)
        facts = replace(desk.state.items[item_id].facts, **revised.changes)
        if facts.gross_g is not None and facts.tare_g > facts.gross_g:
            expected = f"a mass from 0 g to the {facts.gross_g:g} g on the scale"
            raise BadInput(where="Tare", got=f"{facts.tare_g:g} g", expected=expected)
        desk.record([revised])


def what_next(desk: Desk, item_id: str) -> tuple[NextTest, ...]:
    """The tests that are left, the one that tells most a minute first; only safe ones, only with the kit here."""
    known = desk.numbers(item_id)
    return desk.tools.next_tests(known.item.kind, known.state.evidence)


def in_hand(desk: Desk, item_id: str) -> None:
    """Make sure that the item is known and lies in no bin.

    Raises:
        BadInput: the table has no such item.
        Refusal: somebody put it in a bin already, or it is shredded or written off.
    """
    state = desk.numbers(item_id).state
    gone(state)
    if state.bin is not None:
        raise Refusal(f"This item is already in bin {state.bin}. Take it back first, then change it.")


def gone(state: ItemState) -> None:
    """Make sure that the item is still a thing of its own.

    Raises:
        Refusal: it is shredded or written off.
    """
    if state.lot is not None:
        raise Refusal(f"This item is shredded and in lot {state.lot}. It cannot be changed any more.")
    if state.written_off is not None:
        raise Refusal(f"This item was written off with its bin ({state.written_off}). It cannot be changed.")


def _mark(text: str, how: MarkHow) -> Mark:
    """The mark as evidence; refuses nothing at all and what is no mark any more."""
    if not text.strip() or len(text) > 100:  # noqa: PLR2004
        raise BadInput(where="Mark", got=text[:40], expected="what stands on the item, such as 2 or PE-HD")
    return Mark(text=text.strip(), how=how)


def _read(name: str, result: str, handbook: Handbook) -> Evidence:
    """A test's result as evidence; a bath is named, or given by its density."""
    where = f"Test {name}"
    if name == HANGING:
        return read_density(result, where=where)
    if name == SPOT:
        return read_spot(result, where=where)
    if not name.startswith(FLOAT):
        return read_cue(name, result, handbook, where=where)
    bath = handbook.identify.cues.baths.get(name.removeprefix(FLOAT))
    if bath is None or result not in set(Outcome):
        return read_float(name.removeprefix(FLOAT), result, where=where)
    return FloatTest(bath=bath.id, bath_g_cm3=bath.bath_g_cm3, outcome=Outcome(result))


def _set(desk: Desk, item_id: str, new: Evidence, same_question: Callable[[Evidence], bool]) -> None:
    """Record `new`; earlier answers to the same question do not count any more."""
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        check_spots((new,), desk.numbers(item_id).item.count, where=f"Item {item_id}")
        state = desk.numbers(item_id).state
        old = [e for e in state.evidence if same_question(e)]
        if old == [new]:
            return
        bodies: list[Body] = []
        if old:
            events = (e for e in desk.ledger.events() if e.id in state.history)
            bodies += [
                Undone(event=e.id)
                for e in events
                if isinstance(e.body, EvidenceAdded) and same_question(e.body.evidence)
            ]
        desk.record([*bodies, EvidenceAdded(item=item_id, evidence=new)])


def _add(desk: Desk, item_id: str, evidence: Evidence) -> None:
    with desk.one_at_a_time():
        in_hand(desk, item_id)
        check_spots((evidence,), desk.numbers(item_id).item.count, where=f"Item {item_id}")
        desk.record([EvidenceAdded(item=item_id, evidence=evidence)])
