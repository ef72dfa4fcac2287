"""P(observation | resin) for a mark and for a look or touch; baths and scale stand in `density_tests`."""

from collections.abc import Collection
from dataclasses import dataclass
from functools import lru_cache
from math import log

from intake.errors import BadInput, UnknownName
from intake.table.identify.cues import UNSURE, ByResin
from intake.table.identify.evidence import Cue, Mark
from intake.table.identify.mark_reading import NOT_PLASTIC, PLASTIC, judged_components
from intake.table.identify.marks import read_mark
from intake.table.identify.tables import IdentifyTables
from intake.table.kinds import Kind
from intake.table.resins import OTHER, ResinId

MOST_TRUST = 0.99
"""[-] no mark is proof, whatever a table says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkSays:
    """What a mark comes to.

    Attributes:
        named: judged resins that the mark can mean; empty where it says nothing.
        trust: [-] 0..1, chance that it names what the part is made of.
        filled: it tells of a filler.
    """

    named: tuple[ResinId, ...]
    trust: float
    filled: bool = False


@lru_cache(maxsize=1024)
def mark_says(mark: Mark, tables: IdentifyTables) -> MarkSays:
    """The mark read; one of paper, metal or glass names the class `other`, an unknown text names none.

    Kept, because a pile carries the same few marks over and over.
    """
    reading = read_mark(mark.text, tables.marks, how=mark.how)
    if not reading.valid or reading.kind not in (PLASTIC, NOT_PLASTIC):
        return MarkSays(named=(), trust=0.0)
    if reading.kind == NOT_PLASTIC:
        return MarkSays(named=(OTHER,), trust=reading.trust)
    return MarkSays(
        named=judged_components(reading, tables.resins), trust=reading.trust, filled=bool(reading.fillers)
    )


def mark_log_likelihood(named: Collection[ResinId], trust: float, tables: IdentifyTables) -> ByResin:
    """Natural logs of P(this mark | resin), up to one constant, by judged resin.

    With the chance c that the mark belongs to the part, a resin it names has c + (1 - c) q and any other
    (1 - c) q, where q is the share of the named resins among everything people bring: a mark on the wrong
    part names whatever that other part is made of.

    Args:
        named: judged resins that the mark can mean; empty: all zeros.
        trust: [-] 0..1, chance c that the mark names what the part is made of, as it reads and as it stands.
        tables: the room's tables.
    """
    judged = tables.resins.judged
    if not named:
        return (0.0,) * len(judged)
    right = min(max(trust, 0.0), MOST_TRUST)
    astray = (1.0 - right) * sum(tables.population[tables.place[r]] for r in set(named))
    hit, miss = log(right + astray), log(astray)
    return tuple(hit if r in named else miss for r in judged)


def cue_log_likelihood(cue: Cue, kind: Kind, tables: IdentifyTables) -> ByResin:
    """Natural logs of P(level | resin) by judged resin; zeros where it does not apply or nobody was sure.

    Raises:
        UnknownName: no cue has that name.
        BadInput: the cue has no such level.
    """
    test = tables.cues.cues.get(cue.name)
    if test is None:
        raise UnknownName(where="Cue", got=cue.name, known=tables.cues.cues)
    if cue.value != UNSURE and cue.value not in test.logs:
        levels = ", ".join((*test.levels, UNSURE))
        raise BadInput(where=f"Cue {cue.name}", got=cue.value, expected=f"one of {levels}")
    if cue.value == UNSURE or not test.applies(kind):
        return (0.0,) * len(tables.resins.judged)
    return test.logs[cue.value]
