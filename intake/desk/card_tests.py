"""The two tests that a card shows and the bath for one of them: water or salt, never alcohol."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from intake.desk.baths import propose_bath
from intake.desk.campaign import Campaign
from intake.drawing.card_page import CardTest
from intake.drawing.sketches import LEVELS
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.table.identify.bath_facts import Solute
from intake.table.identify.baths import Bath
from intake.table.identify.next_test import FLOAT, next_tests
from intake.table.resins import ResinId
from intake.words import Words
from intake.words.figures import mass_text

ROOM_C = 20.0
"""[degC] the bath is mixed at."""
MOST_BATH_CM3 = 50_000.0
OTHERS = 7
"""ASTM D7611: everything else stands together under this number."""
_OFTEN = 0.35
"""[-] a resin is named under what it does from this share of its pieces on."""


def useful_tests(campaign: Campaign, handbook: Handbook) -> tuple[str, str]:
    """The look or touch, and the bath of water or salt, that tell most a minute of what this table is brought.

    Every kind that may be of a host counts by how often it is. Only tests with a sketch are hung up.
    """
    told: dict[str, float] = defaultdict(float)
    for kind in handbook.kinds.rows.values():
        weight = sum(kind.prior.get(host, 0.0) for host in campaign.hosts)
        for test in next_tests(kind, (), handbook.identify) if weight > 0.0 else ():
            told[test.test] += weight * test.bits_per_minute
    baths = {b.id for b in handbook.identify.cues.baths.values() if _solute(b.bath_g_cm3, handbook)}
    cue = max((t for t in told if t in LEVELS), key=lambda t: told[t])
    bath = max((t for t in told if t.removeprefix(FLOAT) in baths), key=lambda t: told[t])
    return cue, bath.removeprefix(FLOAT)


def cue_test(cue: str, handbook: Handbook, words: Words) -> CardTest:
    """The look or touch of that id, with the numbers of the plastics that mostly show each of its levels."""
    levels = handbook.identify.cues.cues[cue].chances
    resins = handbook.resins.judged
    results = []
    for level in LEVELS[cue]:
        often = [r for r, p in zip(resins, levels[level], strict=True) if p >= _OFTEN]
        results.append((words(f"card.see.{cue}.{level}"), _numbers(often, handbook)))
    return CardTest(
        sketch=cue, question=words(f"walk.test.{cue}.question"), how=words(f"walk.test.{cue}.how"),
        results=tuple(results),
    )  # fmt: skip


def float_test(bath: Bath, words: Words, handbook: Handbook) -> CardTest:
    """The float test in that bath, with the numbers of the plastics that float and that sink."""
    sides: Mapping[str, tuple[ResinId, ...]] = {"floats": bath.parting.floats, "sinks": bath.parting.sinks}
    results = tuple(
        (words(f"walk.test.float.{side}"), _numbers(resins, handbook)) for side, resins in sides.items()
    )
    question = "card.float.water" if bath.recipe.solute is Solute.WATER else "card.float.salt"
    return CardTest(sketch="float", question=words(question), how=words("card.float.how"), results=results)


def the_bath(bath_id: str, handbook: Handbook, volume_cm3: float | None) -> Bath:
    """The bath of that id at room temperature; without a volume [cm3], the usual batch.

    Raises:
        BadInput: a volume that nobody mixes at a table.
    """
    if volume_cm3 is not None and volume_cm3 > MOST_BATH_CM3:
        got = f"{volume_cm3 / 1000:g} L"
        raise BadInput(
            where="--bath-volume", got=got, expected=f"at most {MOST_BATH_CM3 / 1000:.0f} L, such as 2L"
        )
    density = handbook.identify.cues.baths[bath_id].bath_g_cm3
    return propose_bath(
        handbook, density, solute=_solute(density, handbook), temp_c=ROOM_C, volume_cm3=volume_cm3
    )


def recipe_words(bath: Bath, words: Words) -> tuple[str, str]:
    """Title and sentences of the recipe."""
    recipe = bath.recipe
    litres = f"{recipe.volume_cm3 / 1000:.3g} L"
    if recipe.solute is Solute.WATER:
        return words("card.bath", volume=litres), words("card.bath.water", volume=litres)
    text = words(
        "card.bath.salt", salt=mass_text(recipe.solute_g), water=mass_text(recipe.water_g),
        density=f"{recipe.density_g_cm3:.2f}",
    )  # fmt: skip
    return words("card.bath", volume=litres), text


def _solute(density_g_cm3: float, handbook: Handbook) -> Solute | None:
    """Water or salt, whichever makes a bath of that density; None where it takes anything else, such as alcohol."""
    for solute in (Solute.WATER, Solute.SALT):
        try:
            propose_bath(handbook, density_g_cm3, solute=solute, temp_c=ROOM_C)
        except BadInput:
            continue
        return solute
    return None


def _numbers(resins: Iterable[ResinId], handbook: Handbook) -> tuple[int, ...]:
    """The numbers of these plastics, as people know them; what stands under 7 is no one plastic."""
    codes = {handbook.resins.rows[resin].code for resin in resins}
    return tuple(sorted(code for code in codes if code is not None and code != OTHERS))
