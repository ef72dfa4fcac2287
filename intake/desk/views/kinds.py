"""What can be picked on the first step: kinds as tiles, the last item once more, an item that waits."""

from collections import Counter
from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.views.item import ItemHead, head
from intake.table.kinds import OTHER_KIND, KindId

MOST_FOUND = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class KindTile:
    """One kind: what a person calls it and the drawing that shows it."""

    id: KindId
    name: str
    picture: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KindListView:
    """The kinds to pick from.

    Attributes:
        tiles: common ones and those this table had, most used first; "other" last. While searching: the found.
        known: how many kinds there are.
        same_again: the last item that has a verdict; None where there is none.
        waiting: the last item, where nothing but its kind is known.
    """

    tiles: tuple[KindTile, ...]
    known: int
    same_again: ItemHead | None
    waiting: ItemHead | None


def kind_list(desk: Desk, search: str = "") -> KindListView:
    """The kinds as they should be offered now; `search` looks in every name that people use."""
    table = desk.handbook.kinds
    if search.strip():
        ids = _found(desk, search)
    else:
        used = Counter(KindId(i.facts.kind) for i in desk.state.items.values())
        offered = dict.fromkeys((*table.common, *(k for k, _ in used.most_common() if k in table.rows)))
        offered.pop(OTHER_KIND, None)
        ids = [*sorted(offered, key=lambda k: -used[k])[: len(table.common)], OTHER_KIND]
    items = tuple(desk.state.items.values())
    told = next((i for i in reversed(items) if i.verdict is not None), None)
    bare = items[-1] if items and len(items[-1].history) == 1 else None
    return KindListView(
        tiles=tuple(KindTile(id=k, name=table.rows[k].names[0], picture=table.rows[k].picture) for k in ids),
        known=len(table.rows),
        same_again=head(desk, told.id) if told else None,
        waiting=head(desk, bare.id) if bare else None,
    )


def _found(desk: Desk, search: str) -> list[KindId]:
    """Kinds with a name that holds every searched word, those beginning with the search first."""
    words = search.casefold().replace("-", " ").split()
    found = {}
    for kind in desk.handbook.kinds.rows.values():
        fits = [n for n in kind.names if all(w in n.casefold() for w in words)]
        if fits:
            found[kind.id] = min(not n.casefold().startswith(words[0]) for n in fits)
    return sorted(found, key=lambda k: found[k])[:MOST_FOUND]
