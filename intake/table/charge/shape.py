"""Volume of a cavity written as shapes: "box 300x200x20 mm - 4*cylinder d10x20 mm"."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import pi
from types import MappingProxyType

from intake.errors import BadInput

_TOKEN = re.compile(
    r"\s*(?:(?P<number>\d+(?:[.,]\d+)?|[.,]\d+)|(?P<by>[x×](?=\s*[drØø]?\s*[.,]?\d))|(?P<word>[A-Za-zØø]+|\")"
    r"|(?P<sign>[-+*()−–]))",
    re.IGNORECASE,
)
_MINUS = "−–"
_CM = MappingProxyType(
    {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54, "inch": 2.54, "inches": 2.54, '"': 2.54, "ft": 30.48}
)
_LONGEST_TEXT = 300
_MOST_PIECES = 10_000
_FULL_M = 100.0
"""[m] a longer edge is a slip of the unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Form:
    """One simple shape: what its numbers are (`-` a length, `d` a diameter), and its volume from them [cm3]."""

    sizes: str
    volume: Callable[..., float]
    example: str


FORMS: Mapping[str, _Form] = MappingProxyType(
    {
        "box": _Form(sizes="---", volume=lambda a, b, c: a * b * c, example="box 300x200x20 mm"),
        "wedge": _Form(sizes="---", volume=lambda a, b, c: a * b * c / 2, example="wedge 300x200x20 mm"),
        "pyramid": _Form(sizes="---", volume=lambda a, b, c: a * b * c / 3, example="pyramid 80x80x60 mm"),
        "cylinder": _Form(sizes="d-", volume=lambda d, h: pi / 4 * d**2 * h, example="cylinder d10x20 mm"),
        "cone": _Form(sizes="d-", volume=lambda d, h: pi / 12 * d**2 * h, example="cone d80x60 mm"),
        "frustum": _Form(
            sizes="dd-",
            volume=lambda d, e, h: pi / 12 * (d**2 + d * e + e**2) * h,
            example="frustum d100xd80x50 mm",
        ),
        "tube": _Form(
            sizes="dd-", volume=lambda d, e, h: pi / 4 * (d**2 - e**2) * h, example="tube d60xd50x100 mm"
        ),
        "sphere": _Form(sizes="d", volume=lambda d: pi / 6 * d**3, example="sphere d80 mm"),
        "dome": _Form(sizes="d", volume=lambda d: pi / 12 * d**3, example="dome d80 mm"),
    }
)
"""Shapes that a person may name. A dome is half a sphere, a wedge half a box; a frustum tapers from d to d."""


class BadShape(BadInput):
    """A shape that cannot be read: the sentence, and a caret under the place where reading stopped."""

    def __init__(self, text: str, at: int, expected: str) -> None:
        self.at = at
        super().__init__(where=f"Shape, at character {at + 1}", got=text[at : at + 20], expected=expected)
        self.args = (f"{self.args[0]}\n  {text}\n  {' ' * at}^",)


def shape_cm3(text: str) -> float:
    """[cm3] Volume of a sum or difference of simple shapes.

    Args:
        text: shapes of `FORMS` with their sizes and a unit (mm, cm, m, in, ft), joined by + and -; a whole
            number and * repeats one, brackets group. A unit counts for the sizes before it that have none.
            Round sizes are written d10 (diameter) or r5 (radius).

    Returns:
        [cm3] above 0. What is taken away is taken to lie inside what it is taken from.

    Raises:
        BadShape: it does not read; a caret stands under the place.
        BadInput: nothing is left after the differences, or the text is too long.
    """
    if len(text) > _LONGEST_TEXT:
        got = f"{text[:40]}…"
        raise BadInput(where="Shape", got=got, expected=f"at most {_LONGEST_TEXT} characters")
    reader = _Reader(text)
    volume_cm3 = reader.sum_cm3()
    if not reader.ended:
        raise reader.fault("+ or - and another shape, or the end")
    if volume_cm3 <= 0.0:
        raise BadInput(where="Shape", got=text, expected="more than is taken away from it")
    return volume_cm3


class _Reader:
    """Reads one text from left to right; `now` is the token that is next, `at` where it stands."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.kind, self.now, self.at, self._next = "", "", 0, 0
        self._step()

    def fault(self, expected: str, at: int | None = None) -> BadShape:
        """The fault at the token that is next, or at `at`."""
        return BadShape(self.text, self.at if at is None else at, expected)

    @property
    def ended(self) -> bool:
        """True where nothing is left to read."""
        return not self.kind

    def sum_cm3(self) -> float:
        """Shapes joined by + and -."""
        total_cm3 = self._term()
        while self.now in ("+", "-"):
            sign = 1.0 if self._take() == "+" else -1.0
            total_cm3 += sign * self._term()
        return total_cm3

    def _term(self) -> float:
        """One shape or bracket, with how many of it there are."""
        count = self._count() if self.kind == "number" else 1
        if self.now == "(":
            self._take()
            inside_cm3 = self.sum_cm3()
            if self.now != ")":
                raise self.fault(") to close the bracket")
            self._take()
            return count * inside_cm3
        return count * self._shape()

    def _count(self) -> int:
        """A whole number and its *."""
        at, text = self.at, self._take()
        if not text.isdigit() or not 1 <= int(text) <= _MOST_PIECES:
            raise self.fault(f"a whole number from 1 to {_MOST_PIECES}, or a shape such as {_example()}", at)
        if self.now != "*":
            raise self.fault("* between the number and the shape")
        self._take()
        return int(text)

    def _shape(self) -> float:
        """A named shape with its sizes."""
        at, name = self.at, self.now.lower()
        form = FORMS.get(name) if self.kind == "word" else None
        if form is None:
            raise self.fault(f"a shape: {', '.join(FORMS)}", at)
        self._take()
        sizes = [self._size(form, number, role) for number, role in enumerate(form.sizes)]
        volume_cm3 = form.volume(*self._in_cm(sizes, form))
        if volume_cm3 < 0.0:
            raise self.fault("the wider diameter first", at)
        return volume_cm3

    def _size(self, form: _Form, number: int, role: str) -> tuple[float, str]:
        """One size of a shape, and its unit where one stands behind it; a radius becomes a diameter."""
        if number:
            if self.kind != "by":
                raise self.fault(f"x and the next size, as in {form.example}")
            self._take()
        factor = 1.0
        if role == "d":
            letter = self.now.lower()
            if letter not in ("d", "r", "ø"):
                raise self.fault(f"d (diameter) or r (radius) before a round size, as in {form.example}")
            factor = 2.0 if letter == "r" else 1.0
            self._take()
        if self.kind != "number":
            raise self.fault(f"a number above 0, as in {form.example}")
        at, value = self.at, float(self._take().replace(",", "."))
        if value <= 0.0:
            raise self.fault("a number above 0", at)
        unit = self._take().lower() if self.kind == "word" and self.now.lower() in _CM else ""
        return factor * value, unit

    def _in_cm(self, sizes: list[tuple[float, str]], form: _Form) -> list[float]:
        """The sizes in cm: one without a unit has that of the next one that has."""
        unit, found = "", []
        for value, own in reversed(sizes):
            unit = own or unit
            if not unit:
                raise self.fault(f"a unit (mm, cm, m, in or ft), as in {form.example}")
            if value * _CM[unit] > _FULL_M * _CM["m"]:
                raise self.fault(f"sizes up to {_FULL_M:g} m")
            found.append(value * _CM[unit])
        return found[::-1]

    def _take(self) -> str:
        """The token that is next; the one after it becomes next."""
        token = self.now
        self._step()
        return token

    def _step(self) -> None:
        """Look at the next token."""
        rest = self.text[self._next :]
        if not rest.strip():
            self.kind, self.now, self.at = "", "", len(self.text.rstrip())
            return
        match = _TOKEN.match(self.text, self._next)
        if match is None:
            self.at = self._next + len(rest) - len(rest.lstrip())
            raise self.fault("a shape, a number, x, +, -, * or a bracket")
        self.kind = str(match.lastgroup)
        self.now, self.at, self._next = match[self.kind], match.start(self.kind), match.end()
        if self.now in _MINUS:
            self.now = "-"


def _example() -> str:
    return FORMS["box"].example
