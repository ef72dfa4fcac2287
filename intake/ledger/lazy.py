"""Items as a snapshot keeps them: each is read when somebody first looks at it, and stays the same from then on."""

from collections.abc import Iterator, Mapping

from intake.ledger.draft import ItemDraft
from intake.ledger.envelope import parse
from intake.ledger.plain import read, shape_of, write
from intake.ledger.state import ItemState

_SHAPE = shape_of(ItemState)


class StoredItem:
    """One item as a line of JSON, until it is looked at."""

    __slots__ = ("_made", "line")

    def __init__(self, line: bytes) -> None:
        self.line = line
        self._made: ItemState | None = None

    def item(self) -> ItemState:
        """The item; the same object whenever it is asked for.

        Raises:
            NotUnderstoodError: the line is none that this version wrote.
        """
        if self._made is None:
            self._made = read(_SHAPE, parse(self.line))
        return self._made


class Items(Mapping[str, ItemState]):
    """Items by id in the order they were received; nobody can change it."""

    __slots__ = ("_of",)

    def __init__(self, of: dict[str, ItemState | StoredItem]) -> None:
        self._of = of

    def __getitem__(self, name: str) -> ItemState:
        found = self._of[name]
        return found.item() if type(found) is StoredItem else found  # type: ignore[return-value]

    def __iter__(self) -> Iterator[str]:
        return iter(self._of)

    def __len__(self) -> int:
        return len(self._of)

    def __contains__(self, name: object) -> bool:
        return name in self._of

    def __repr__(self) -> str:
        return f"Items({dict(self)!r})"


class Drafts(dict[str, ItemDraft]):
    """Items in the making; one that a snapshot or a frozen state holds is taken up again when it changes."""

    def __init__(self, done: dict[str, ItemState | StoredItem]) -> None:
        super().__init__()
        self._done = done

    def __missing__(self, name: str) -> ItemDraft:
        draft = ItemDraft.of(Items(self._done)[name])
        self[name] = draft
        return draft

    def __contains__(self, name: object) -> bool:
        return super().__contains__(name) or name in self._done

    def find(self, name: str) -> ItemDraft | None:
        """The item; None where there is none."""
        try:
            return self[name]
        except KeyError:
            return None


def item_line(item: ItemState | StoredItem) -> dict[str, object] | bytes:
    """What a snapshot holds of an item: its line where it was not changed, else a dict to be written."""
    return item.line if isinstance(item, StoredItem) else write(_SHAPE, item)
