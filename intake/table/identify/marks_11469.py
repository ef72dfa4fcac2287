"""The body of an ISO 11469 mark, read by recursive descent: one method of `_Body` per rule of the grammar.

::

    mark        = ">" layers "<"
    layers      = layer { "," layer }                        visible part first
    layer       = [ "_" ] ( composition | other ) [ "_" ]    "_" stands for the underline: largest by mass
    composition = polymer { "+" polymer } { addition }       blend: largest share first
    polymer     = term [ "(" plasticizer { "+" plasticizer } ")" ]
    addition    = [ "-" ] ( fillers | flame | recyclate )
    fillers     = filler | "(" filler { "+" filler } ")" [ percent ]
    filler      = material [ form ] [ "(" element ")" ] [ percent ]
    flame       = "FR" [ "(" code { "+" code } ")" | code ]
    recyclate   = "(" "REC" [ percent ] ")"

Also taken: "/" or "-" for "+" between polymers, a space for "-", FR40 for FR(40), < and > swapped. A term
is the longest spelling that the table knows; a letter pair behind a hyphen that carries two digits is a filler
(PE-MD20), without one a kind of the polymer where the table has it (PE-MD).
Source: ISO 11469 and ISO 1043-1 to -4, from memory and from what `sources.toml` says was read of them.
"""

from collections.abc import Sequence
from dataclasses import replace

from intake.table.identify.mark_additions import Additions, BrokenMark
from intake.table.identify.mark_reading import Component, Fault, Layer
from intake.table.identify.mark_tables import MarkTables, Term
from intake.table.identify.mark_tokens import END, NUMBER, WORD, Token, key

_LONGEST_TERM = 5
"""Tokens of the longest term (PA 6 / 66)."""


def read_enclosed(tokens: Sequence[Token], end: int, tables: MarkTables) -> tuple[Layer, ...]:
    """The layers of a mark that begins or ends with > or <.

    Args:
        tokens: the whole mark.
        end: length of the text, where a missing last character would stand.
        tables: terms, fillers and codes.

    Raises:
        BrokenMark: it does not follow the grammar; the fault says where.
    """
    first, last = tokens[0], tokens[-1]
    if first.kind not in "><":
        raise BrokenMark(Fault(at=first.at, code="not_enclosed", got=first.text))
    if len(tokens) == 1 or last.kind != ("<" if first.kind == ">" else ">"):
        raise BrokenMark(Fault(at=end, code="not_enclosed"))
    inner = tokens[1:-1]
    nested = next((t for t in inner if t.kind in "><"), None)
    if nested:
        raise BrokenMark(Fault(at=nested.at, code="nested_brackets", got=nested.text))
    if not inner:
        raise BrokenMark(Fault(at=last.at, code="empty_body"))
    return read_body(inner, last.at, tables, enclosed=True)


def read_body(tokens: Sequence[Token], end: int, tables: MarkTables, *, enclosed: bool) -> tuple[Layer, ...]:
    """The layers of a mark without its brackets.

    Args:
        tokens: what stands between the brackets.
        end: index of the closing bracket, or the length of the text.
        tables: terms, fillers and codes.
        enclosed: True takes terms of the standard only, False every spelling that the table knows.

    Raises:
        BrokenMark: it does not follow the grammar; the fault says where.
    """
    return _Body(tokens, end, tables, enclosed=enclosed).layers()


class _Body(Additions):
    """The rules from the whole mark down to one polymer."""

    def layers(self) -> tuple[Layer, ...]:
        """Every material of the mark; a single one is the principal, two underlined ones are a fault."""
        first = self._peek()
        layers = [self._layer()]
        while self._accept(","):
            start = self._peek()
            layers.append(self._layer())
            if layers[-1].principal and any(x.principal for x in layers[:-1]):
                raise self._broken("two_principals", start)
        if self._peek().kind != END:
            raise self._broken("parentheses" if self._peek().kind in "()" else "left_over")
        if len(layers) > 1:
            return tuple(layers)
        if layers[0].material:
            raise self._broken("unknown_polymer", first)
        return (replace(layers[0], principal=True),)

    def _layer(self) -> Layer:
        underlined = self._accept("_")
        layer = self._other_material() or self._composition()
        if underlined and not self._accept("_"):
            raise self._broken("underline")
        return replace(layer, principal=True) if underlined else layer

    def _other_material(self) -> Layer | None:
        """A layer of metal, paper or talc in a list of several, as Japanese marks write it."""
        token, behind = self._peek(), self._peek(1)
        if token.kind != WORD or token.text in self._tables.terms or behind.kind not in {",", "_", END}:
            return None
        row = self._tables.not_plastic.get(token.text)
        filler = self._tables.fillers.get(token.text) if self._at else None
        material = row.material if row else filler.material if filler else None
        if material is None:
            return None
        self._take()
        return Layer(material=material)

    def _composition(self) -> Layer:
        components: list[Component] = []
        plasticizers: list[str] = []
        while True:
            start = self._peek()
            term = self._polymer(first=not components)
            if term.id in {c.resin for c in components}:
                raise self._broken("duplicate_polymer", start)
            components.append(Component(resin=term.id, listed=term.listed))
            plasticizers += self._plasticizers(term)
            if not self._accept_plus():
                break
        if len(components) == 1:
            components = [replace(components[0], share=1.0)]
        return self._additions(tuple(components), tuple(plasticizers))

    def _accept_plus(self) -> bool:
        """A "+" before another polymer, or the "/" or "-" that older marks use for it."""
        if self._accept("+") or self._accept("/"):
            return True
        if self._peek().kind != "-":
            return False
        found = self._longest_term(1)
        if found is None or not found[1].remelts or self._peek(1 + found[0]).kind == NUMBER:
            return False
        self._take()
        return True

    def _polymer(self, *, first: bool) -> Term:
        found = self._longest_term(0)
        if found is None:
            raise self._no_polymer(first=first)
        self._at += found[0]
        return found[1]

    def _longest_term(self, ahead: int) -> tuple[int, Term] | None:
        """The longest known term from the cursor on, with its number of tokens."""
        best = None
        for count in range(1, _LONGEST_TERM + 1):
            tokens = self._tokens[self._at + ahead : self._at + ahead + count]
            last = tokens[-1] if tokens else self._tokens[-1]
            behind = self._peek(ahead + count)
            if len(tokens) < count or last.kind not in {WORD, NUMBER, "-", "/", " "}:
                break
            if last.kind == " " and behind.kind != NUMBER:
                break
            spelled = key(tokens)
            carries_number = last.kind == WORD and "-" in spelled and self._is_percent(behind)
            term = None if carries_number or last.kind == " " else self._known(spelled)
            best = (count, term) if term else best
        return best

    def _is_percent(self, token: Token) -> bool:
        """Two digits behind a letter pair are a filler's; PE-LD4 and PE-LD04 without brackets carry a code."""
        if token.kind != NUMBER or len(token.text) != 2:  # noqa: PLR2004
            return False
        return self._enclosed or not token.text.startswith("0")

    def _known(self, spelled: str) -> Term | None:
        return self._tables.terms.get(spelled) if self._enclosed else self._tables.term(spelled)

    def _no_polymer(self, *, first: bool) -> BrokenMark:
        """Why no polymer stands at the cursor."""
        token, behind = self._peek(), self._peek(1)
        if token.kind in {END, ",", "_"}:
            return self._broken("empty_item")
        filler = token.kind == WORD and token.text[0] in self._tables.fillers and behind.kind == NUMBER
        if first and (token.text in {"FR", "REC"} or (filler and len(token.text) <= 2)):  # noqa: PLR2004
            return self._broken("no_polymer")
        spelled = token.text
        for ahead in range(1, _LONGEST_TERM):
            if self._tables.term(spelled):
                return BrokenMark(Fault(at=token.at, code="not_iso_term", got=spelled))
            spelled += self._peek(ahead).text
        return self._broken("unknown_polymer")

    def _plasticizers(self, term: Term) -> list[str]:
        if not term.plasticized or self._peek().kind != "(" or self._peek(1).text == "REC":
            return []
        self._take()
        found: list[str] = []
        while not found or self._accept("+"):
            token = self._take()
            if token.text not in self._tables.plasticizers:
                raise self._broken("unknown_plasticizer", token)
            found.append(token.text)
        self._close()
        return found
