"""A mark as typed → tokens; every token knows where it stood, so that a fault can be pointed at.

Full-width characters, dashes, guillemets and lower case are evened out here, one by one. Cyrillic
letters stay Cyrillic: the Russian mark that looks like Latin "NC" is polystyrene.
"""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from types import MappingProxyType

WORD, NUMBER, SYMBOL, END, STRANGE = "word", "number", "symbol", "end", "strange"
"""Kinds of token beside the joiners, whose kind is the character itself."""
JOINERS = "><()+-,_/:%"
_EVEN = MappingProxyType(
    dict.fromkeys("‐‑‒–—―−﹘", "-")
    | dict.fromkeys("«‹〈《≪", "<")
    | dict.fromkeys("»›〉》≫", ">")
    | dict.fromkeys("、，;", ",")
    | dict.fromkeys("△▲▵▴∆#", " ")
)
"""Characters used for another one; a triangle around a number says nothing more than the number."""
_FIRST_TRIANGLE = 0x2673
_LAST_TRIANGLE = 0x2679
_DIGITS = frozenset("0123456789")


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """One piece of a mark: `at` is the index of its first character in the text as given."""

    kind: str
    text: str
    at: int


def _characters(text: str) -> Iterator[tuple[str, int]]:
    """Evened-out upper-case characters with the index they come from."""
    for at, given in enumerate(text):
        if _FIRST_TRIANGLE <= ord(given) <= _LAST_TRIANGLE:
            yield given, at
            continue
        for char in unicodedata.normalize("NFKC", _EVEN.get(given, given)).upper():
            yield _EVEN.get(char, char), at


def _kind(char: str) -> str:
    """The kind of token a character belongs to."""
    if char.isspace():
        return " "
    if char in JOINERS:
        return char
    if char in _DIGITS:
        return NUMBER
    if _FIRST_TRIANGLE <= ord(char) <= _LAST_TRIANGLE:
        return SYMBOL
    return WORD if char.isalpha() or unicodedata.category(char) == "Lm" else STRANGE


def tokenize(text: str) -> tuple[Token, ...]:
    """All tokens of a mark; spaces beside joiners are dropped, a triangle becomes its number."""
    found: list[Token] = []
    for char, at in _characters(text):
        kind = _kind(char)
        if kind == SYMBOL:
            found.append(Token(kind=SYMBOL, text=str(ord(char) - _FIRST_TRIANGLE + 1), at=at))
        elif found and found[-1].kind == kind and kind in {WORD, NUMBER, " "}:
            last = found[-1]
            found[-1] = Token(kind=kind, text=" " if kind == " " else last.text + char, at=last.at)
        else:
            found.append(Token(kind=kind, text=char, at=at))
    return tuple(t for i, t in enumerate(found) if t.kind != " " or _separates(found, i))


def _separates(found: Sequence[Token], at: int) -> bool:
    """True when the space at `at` stands between two words, numbers or symbols."""
    inner = {WORD, NUMBER, SYMBOL, STRANGE}
    return 0 < at < len(found) - 1 and found[at - 1].kind in inner and found[at + 1].kind in inner


def key(tokens: Sequence[Token]) -> str:
    """The tokens as the tables spell their keys: upper case, no spaces."""
    return "".join(t.text for t in tokens if t.kind != " ")
