"""What an item is made of so far: the mark's tiles, the test to do, and the odds."""

from dataclasses import dataclass

from intake.desk.decide import settling_test
from intake.desk.desk import Desk
from intake.desk.observe import test_of
from intake.desk.views.item import ItemHead, head
from intake.errors import UnknownName
from intake.table.identify.cues import UNSURE, Effort
from intake.table.identify.evidence import Cue, Evidence, FloatTest, Mark, MarkHow, Outcome
from intake.table.identify.mark_reading import MarkReading
from intake.table.identify.marks import read_mark
from intake.table.identify.next_test import FLOAT
from intake.table.identify.odds import Posterior

NUMBERS = ("1", "2", "3", "4", "5", "6", "7")
SHOWN_ODDS = 3
_LEAST_CHANCE = 0.005
"""[-] a resin less likely than this is not named in the picture of a bath."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsRow:
    """One resin and its probability [-]; an empty name stands for all the others."""

    resin: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkTile:
    """A number of the lists and the resin that it stands for."""

    number: str
    resin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkView:
    """The mark's step.

    Attributes:
        item: what is in hand.
        tiles: the numbers 1 to 7.
        text: the mark as it was read; empty where nobody looked yet.
        how: how it stands on the item.
        odds: the likeliest resins and the rest.
        enough: True where nothing more need be asked about what it is made of.
    """

    item: ItemHead
    tiles: tuple[MarkTile, ...]
    text: str
    how: MarkHow
    odds: tuple[OddsRow, ...]
    enough: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TestView:
    """One test.

    Attributes:
        item: what is in hand.
        test: its id; the words for question, way and outcomes go by it.
        minutes: [min] what it costs.
        outcomes: what may be seen, as the test's results are called.
        answer: what was answered before; empty where nothing was.
        floats, sinks: the likely resins that float or sink in the bath; empty where it is no bath.
        bath_g_cm3: [g/cm3] density of the bath; None where it is none.
        odds: the likeliest resins and the rest.
        cautions: ids of what to mind.
    """

    item: ItemHead
    test: str
    minutes: float
    outcomes: tuple[str, ...]
    answer: str
    floats: tuple[str, ...]
    sinks: tuple[str, ...]
    bath_g_cm3: float | None
    odds: tuple[OddsRow, ...]
    cautions: tuple[str, ...]


def mark_view(desk: Desk, item_id: str) -> MarkView:
    """The mark's step of an item.

    Raises:
        BadInput: the table has no such item.
    """
    known = desk.numbers(item_id)
    mark = next((e for e in known.state.evidence if isinstance(e, Mark)), None)
    return MarkView(
        item=head(desk, item_id),
        tiles=tuple(MarkTile(number=n, resin=_means(desk, n)) for n in NUMBERS),
        text=mark.text if mark else "",
        how=mark.how if mark else MarkHow.MOULDED,
        odds=odds_rows(known.odds),
        enough=bool(known.state.evidence) and settling_test(desk, item_id) is None,
    )


def reading_of(desk: Desk, text: str) -> MarkReading:
    """What a mark says that somebody is typing."""
    return read_mark(text, desk.handbook.marks)


def next_test_id(desk: Desk, item_id: str) -> str:
    """Id of the test most worth doing now; empty where none is.

    Raises:
        BadInput: the table has no such item.
    """
    test = settling_test(desk, item_id)
    return test.test if test else ""


def test_view(desk: Desk, item_id: str, test: str) -> TestView:
    """One test of an item, done already or not.

    Raises:
        BadInput: the table has no such item.
        UnknownName: there is no such test.
    """
    known = desk.numbers(item_id)
    effort, outcomes, bath = _facts(desk, test)
    floats, sinks = _sides(known.odds, desk, bath)
    answer = next((_result(e) for e in known.state.evidence if test_of(e) == test), "")
    return TestView(
        item=head(desk, item_id), test=test, minutes=effort.minutes, outcomes=outcomes, answer=answer,
        floats=floats, sinks=sinks, bath_g_cm3=bath, odds=odds_rows(known.odds), cautions=effort.cautions,
    )  # fmt: skip


def odds_rows(odds: Posterior, most: int = SHOWN_ODDS) -> tuple[OddsRow, ...]:
    """The likeliest resins, and one row for all the others."""
    top = sorted(odds.probabilities.items(), key=lambda row: -row[1])[:most]
    rest = max(1.0 - sum(share for _, share in top), 0.0)
    return (*(OddsRow(resin=r, share=share) for r, share in top), OddsRow(resin="", share=rest))


def _means(desk: Desk, number: str) -> str:
    """The resin that a number alone stands for."""
    return read_mark(number, desk.handbook.marks).components[0].resin


def _facts(desk: Desk, test: str) -> tuple[Effort, tuple[str, ...], float | None]:
    """A test's effort, its outcomes, and the density of its bath where it has one."""
    table = desk.handbook.identify.cues
    bath = table.baths.get(test.removeprefix(FLOAT))
    if test.startswith(FLOAT) and bath is not None:
        return bath.effort, tuple(Outcome), bath.bath_g_cm3
    cue = table.cues.get(test)
    if cue is None or cue.effort.heat:  # nothing hot is asked for at a table
        raise UnknownName(where="Test", got=test, known=table.cues)
    return cue.effort, (*cue.levels, UNSURE), None


def _sides(odds: Posterior, desk: Desk, bath_g_cm3: float | None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The likely resins that float in a bath and those that sink; one that may do either is left out."""
    if bath_g_cm3 is None:
        return (), ()
    ranked = sorted(odds.probabilities.items(), key=lambda row: -row[1])
    rows = desk.handbook.resins.rows
    figures = {r: rows[r].density_g_cm3 for r, p in ranked if p >= _LEAST_CHANCE and r in rows}
    return (
        tuple(r for r, f in figures.items() if f is not None and f.high < bath_g_cm3),
        tuple(r for r, f in figures.items() if f is not None and f.low > bath_g_cm3),
    )


def _result(piece: Evidence) -> str:
    """What was answered."""
    if isinstance(piece, Cue):
        return piece.value
    return piece.outcome.value if isinstance(piece, FloatTest) else ""
