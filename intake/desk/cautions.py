"""Which caution belongs where: the table by act, the stop cards, and what every command and screen leads to.

A place that leads to an act shows the cautions of that act. `COMMANDS` and `SCREENS` say which places those are;
`tests/house/test_cautions.py` walks them all. A new command or screen that stands in neither fails there.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from intake.errors import UnknownName
from intake.handbook import Handbook
from intake.handbook.sources import Work
from intake.table.compat.cautions import Act, Caution, CautionId, Level
from intake.table.resins import Basis, ResinId

COMMANDS: Mapping[str, tuple[Act, ...]] = MappingProxyType(
    {
        "sort": (Act.STORE, Act.USE),
        "demo": (Act.STORE, Act.USE),
        "identify": (Act.IDENTIFY,),
        "bath": (Act.IDENTIFY,),
        "check": (Act.HEAT,),
        "charge": (Act.HEAT,),
        "compose": (),
        "forecast": (),
        "worth": (Act.WASH,),
        "cautions": tuple(Act),
        "labels": (),
        "scan": (),
        "colour": (),
        "bins": (Act.STORE,),
        "shred": (Act.SHRED, Act.CUT),
        "regroup": (),
        "split": (),
        "relabel": (),
        "merge-bins": (),
        "lots": (Act.STORE,),
        "float": (Act.STORE,),
        "melt-test": (Act.HEAT,),
        "draw": (Act.HEAT,),
        "write-off": (),
        "part": (Act.USE,),
        "spot": (),
        "report": (),
        "card": (),
        "export": (),
        "import": (),
        "mark": (),
        "undo": (),
        "history": (),
        "verify": (),
        "backup": (),
        "restore": (),
        "merge": (),
        "sync": (),
        "serve": (),
    }
)
"""Command → the acts it leads to; one that only reads or copies leads to none."""

SCREENS: Mapping[str, tuple[Act, ...]] = MappingProxyType(
    {
        "home": (),
        "kind": (Act.RECEIVE,),
        "mark": (),
        "test": (Act.IDENTIFY,),
        "verdict": (Act.WASH,),
        "prepare": (Act.WASH, Act.CUT),
        "weigh": (),
        "placed": (Act.STORE,),
        "hold": (Act.STORE,),
        "bins": (Act.STORE,),
        "bin": (Act.STORE,),
        "label": (Act.USE,),
        "shred": (Act.CUT, Act.SHRED),
        "lots": (),
        "lot": (Act.CUT, Act.SHRED),
        "draw": (Act.HEAT,),
        "stop": (Act.RECEIVE,),
        "pile": (Act.WASH,),
        "charge": (Act.HEAT,),
        "join": (),
        "find": (),
        "papers": (),
        "history": (),
        "name": (),
    }
)
"""Screen of the app → the acts it leads to; a screen that only shows or asks leads to none."""

STOP_CARDS: tuple[CautionId, ...] = tuple(
    map(
        CautionId,
        ("battery", "aerosol", "vape", "sharps", "unknown-content", "bleach-and-acid", "old-pigments"),
    )
)
"""What turns up in bags and ends the work at once, in the order of the cards."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One caution as it is shown: its words are `caution.<id>.title` and `.text`.

    Attributes:
        id: of the caution.
        acts: what it belongs to.
        level: how strong it is.
        applies_to: resins it speaks of; empty for all.
        basis: where it comes from, with `why` where it is our own.
        why: one line; empty where a work says it.
        works: the works behind it.
    """

    id: CautionId
    acts: tuple[Act, ...]
    level: Level
    applies_to: tuple[ResinId, ...]
    basis: Basis
    why: str
    works: tuple[Work, ...]


def stop_cards(handbook: Handbook) -> tuple[Card, ...]:
    """What ends the work at once when it turns up in a bag."""
    return tuple(_card(handbook, handbook.cautions.rows[c]) for c in STOP_CARDS)


def caution_list(handbook: Handbook, act: Act | None = None, resins: Iterable[str] = ()) -> tuple[Card, ...]:
    """The cautions of an act, the strongest first; of all acts where none is asked for.

    Args:
        handbook: the tables.
        act: what somebody is about to do; None for everything.
        resins: what it would be done to; without any, also cautions that speak of one resin are given.

    Raises:
        UnknownName: a resin that nobody knows.
    """
    named = tuple(handbook.resins.get(r, where="--resin").id for r in resins)
    asked = named or tuple(handbook.resins.rows)
    acts = tuple(Act) if act is None else (act,)
    found = {c.id: c for a in acts for c in handbook.cautions.cautions_for(a, asked)}
    ordered = sorted(found.values(), key=lambda c: list(Level).index(c.level))
    return tuple(_card(handbook, c) for c in ordered)


def cautions_shown(
    handbook: Handbook, acts: Iterable[Act], resins: Iterable[ResinId] = ()
) -> tuple[Caution, ...]:
    """What a place that leads to these acts has to show: each caution once, the strongest first."""
    family = tuple(resins)
    found = {c.id: c for act in acts for c in handbook.cautions.cautions_for(act, family)}
    return tuple(sorted(found.values(), key=lambda c: list(Level).index(c.level)))


def screen_cautions(handbook: Handbook, screen: str, resins: Iterable[ResinId] = ()) -> tuple[CautionId, ...]:
    """What a screen of the app shows, the strongest first: ids of what is forbidden or required in its acts.

    Where things arrive these are the stop cards; everything else about receiving is said where it happens.

    Raises:
        UnknownName: no screen is called so.
    """
    if screen not in SCREENS:
        raise UnknownName(where="Screen", got=screen, known=SCREENS)
    acts = SCREENS[screen]
    if Act.RECEIVE in acts:
        return STOP_CARDS
    shown = cautions_shown(handbook, acts, resins)
    return tuple(c.id for c in shown if c.level in (Level.FORBID, Level.REQUIRED))


def act_named(text: str) -> Act:
    """The act that a person means.

    Raises:
        UnknownName: no act is called so; all are few enough to be told.
    """
    key = text.strip().casefold()
    if key not in set(Act):
        raise UnknownName(where="ACT", got=text, known=tuple(Act))
    return Act(key)


def _card(handbook: Handbook, caution: Caution) -> Card:
    return Card(
        id=caution.id,
        acts=tuple(a for a in Act if a in caution.acts),
        level=caution.level,
        applies_to=tuple(sorted(caution.applies_to)),
        basis=caution.basis,
        why=caution.why,
        works=tuple(handbook.sources[s] for s in caution.sources),
    )
