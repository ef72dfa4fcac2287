"""What may follow the polymers of a mark: fillers, flame retardants, recyclate; and the cursor that reads it.

The grammar stands at the head of `marks_11469`.
"""

from collections.abc import Sequence
from dataclasses import replace

from intake.table.identify.mark_reading import Component, Fault, Filler, Layer
from intake.table.identify.mark_tables import MarkTables
from intake.table.identify.mark_tokens import END, NUMBER, WORD, Token

_FULL = 100.0


class BrokenMark(Exception):
    """The text stops following the grammar at `fault`."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.code)
        self.fault = fault


class Additions:
    """A cursor over the tokens with one method per rule; a method leaves the cursor behind what it read."""

    def __init__(self, tokens: Sequence[Token], end: int, tables: MarkTables, *, enclosed: bool) -> None:
        self._tokens = (*tokens, Token(kind=END, text="", at=end))
        self._tables = tables
        self._enclosed = enclosed
        self._at = 0

    def _peek(self, ahead: int = 0) -> Token:
        return self._tokens[min(self._at + ahead, len(self._tokens) - 1)]

    def _take(self) -> Token:
        token = self._peek()
        self._at += token.kind != END
        return token

    def _accept(self, kind: str, text: str | None = None) -> Token | None:
        token = self._peek()
        return self._take() if token.kind == kind and text in {None, token.text} else None

    def _broken(self, code: str, token: Token | None = None, *, inside: int = 0) -> BrokenMark:
        token = token or self._peek()
        return BrokenMark(Fault(at=token.at + inside, code=code, got=token.text))

    def _close(self) -> None:
        if not self._accept(")"):
            raise self._broken("parentheses")

    def _additions(self, components: tuple[Component, ...], plasticizers: tuple[str, ...]) -> Layer:
        """Everything from the cursor on, as the layer it belongs to."""
        layer = Layer(components=components, plasticizers=plasticizers)
        while (start := self._starts_addition()) is not None:
            if self._accept(WORD, "FR"):
                codes = layer.flame_retardant + self._flame()
                layer = replace(layer, flame_retarded=True, flame_retardant=codes)
            elif start.kind == "(" and self._peek(1).text == "REC":
                layer = replace(layer, recycled=True, recycled_percent=self._recyclate())
            else:
                layer = replace(layer, fillers=layer.fillers + self._fillers())
                if sum(f.percent or 0.0 for f in layer.fillers) >= _FULL:
                    raise self._broken("percent_sum", start)
        return layer

    def _starts_addition(self) -> Token | None:
        """Steps over what leads an addition and returns the token it starts with; None where none follows."""
        lead, start = self._peek(), self._peek(1)
        if lead.kind == "-" or (lead.kind == "+" and start.kind == WORD):
            self._take()
            if self._peek().kind not in {WORD, "("}:
                raise self._broken("empty_addition")
            return self._peek()
        if lead.kind == " " and start.kind == WORD:
            if start.text != "FR" and len(start.text) == 1:
                raise self._broken("unknown_filler", start)
            self._take()
            return start
        return lead if lead.kind in {"(", WORD} else None

    def _fillers(self) -> tuple[Filler, ...]:
        """One filler, or several in parentheses; a percent behind the parenthesis is of them all together."""
        if not self._accept("("):
            return (self._filler(),)
        found = [self._filler()]
        while self._accept("+"):
            found.append(self._filler())
        self._close()
        total = self._percent()
        if total is not None and len(found) == 1:
            found = [replace(found[0], percent=total)]
        return tuple(found)

    def _filler(self) -> Filler:
        """Material letter, form letter, element and percent."""
        token, tables = self._take(), self._tables
        word = token.text
        letter = "ME" if word.startswith("ME") and len(word) == 3 else word[:1]  # noqa: PLR2004
        form = word[len(letter) :]
        if token.kind != WORD or letter not in tables.fillers:
            raise self._broken("unknown_filler", token)
        if form and form not in tables.forms:
            raise self._broken("unknown_filler", token, inside=len(letter))
        element = self._element() if letter == "ME" else ""
        percent = self._percent()
        if percent is None and not (form and self._enclosed) and self._peek().kind not in {"+", ")"}:
            raise self._broken("unknown_filler", token)  # one more letter is more often a slip than a filler
        return Filler(
            symbol=word,
            material=tables.fillers[letter].material,
            form=tables.forms.get(form, ""),
            element=element,
            percent=percent,
        )

    def _element(self) -> str:
        if not self._accept("("):
            return ""
        token = self._take()
        if token.text not in self._tables.elements:
            raise self._broken("unknown_filler", token)
        self._close()
        return self._tables.elements[token.text].symbol

    def _percent(self) -> float | None:
        """[%] The number at the cursor, above 0 and below 100; None where none stands there."""
        if self._peek().kind == " " and self._peek(1).kind == NUMBER:
            self._take()
        token = self._accept(NUMBER)
        if token is None:
            return None
        if len(token.text) > 2 or int(token.text) == 0:  # noqa: PLR2004
            raise self._broken("percent_sum", token)
        self._accept("%")
        return float(token.text)

    def _flame(self) -> tuple[int, ...]:
        """The codes behind FR; none where the mark only says FR."""
        if not self._accept("("):
            return (self._flame_code(),) if self._peek().kind == NUMBER else ()
        codes = [self._flame_code()]
        while self._accept("+"):
            codes.append(self._flame_code())
        self._close()
        return tuple(codes)

    def _flame_code(self) -> int:
        token = self._peek()
        if token.kind != NUMBER or len(token.text) != 2:  # noqa: PLR2004
            raise self._broken("bad_flame_code")
        if int(token.text) not in self._tables.flame_retardants:
            raise self._broken("unknown_flame_code")
        return int(self._take().text)

    def _recyclate(self) -> float | None:
        """[%] The number in (REC…); None where it only says that there is some."""
        self._at += len(("(", "REC"))
        token = self._accept(NUMBER)
        if token and (len(token.text) > 3 or int(token.text) > _FULL):  # noqa: PLR2004
            raise self._broken("percent_sum", token)
        self._accept("%")
        self._close()
        return float(token.text) if token else None
