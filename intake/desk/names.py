"""What a name on an old label means now: two tables that merged may both have given it out."""

from collections.abc import Iterable
from dataclasses import dataclass

from intake.errors import UnknownName
from intake.ledger.state import BinState, LotState, TableState


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """One thing that goes by a name: its kind (`item`, `bin` or `lot`) and the id it has now."""

    what: str
    id: str


def named(state: TableState, name: str) -> tuple[Named, ...]:
    """Everything that a person may mean by `name`: the thing of that id, and those that were renamed from it.

    Letter case and outer spaces do not matter where no id is written exactly so.

    Raises:
        UnknownName: nothing is or was called so; the nearest ids stand in the sentence.
    """
    wanted = name.strip()
    shelves = (("item", state.items), ("bin", state.bins), ("lot", state.lots))
    for key in (str, str.casefold):
        found = tuple(
            Named(what=what, id=one)
            for what, ids in shelves
            for one in ids
            if key(wanted) in (key(one), key(one.partition("~")[0]))
        )
        if found:
            return found
    known = [*state.bins, *state.lots, *state.items]
    raise UnknownName(where="Name", got=name, known=known or ["none: this table is empty"])


def wearing(labelled: Iterable[BinState] | Iterable[LotState], text: str) -> tuple[str, ...]:
    """Ids of the bins or lots that a label with just this symbol was printed for."""
    return tuple(of.id for of in labelled if any(label.payload == text for label in of.labels))
