"""What stands on the card at the table, in words that are ready to print."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One plastic that is taken: its number, its short name, and what it mostly is: drawing and name of each."""

    code: int | None
    resin: str
    kinds: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardTest:
    """One test: its sketch, question, how it is done, and of each panel what is seen and the numbers that do so."""

    sketch: str
    question: str
    how: str
    results: tuple[tuple[str, tuple[int, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPage:
    """Everything on the card, in words that are ready to print.

    Attributes:
        refused: what is not taken, and why.
        steps: what to do before handing in.
        bath: title and sentences of the recipe.
        cautions: one line at the bottom.
        address: what the symbol holds; empty where there is none.
    """

    title: str
    table: str
    take: str
    wanted: tuple[Wanted, ...]
    refuse: str
    refused: tuple[tuple[str, str], ...]
    tests: tuple[CardTest, ...]
    before: str
    steps: tuple[str, ...]
    bath: tuple[str, str]
    cautions: str
    join: str
    address: str
