"""`intake card`: the card that hangs at the table, made from the campaign, in words of the catalogue."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from pathlib import Path

from intake.desk.campaign import Campaign, read_campaign
from intake.desk.card_tests import OTHERS, cue_test, float_test, recipe_words, the_bath, useful_tests
from intake.desk.page_file import write_page
from intake.drawing.card import draw_card
from intake.drawing.card_page import CardPage, Wanted
from intake.drawing.ink import Paper
from intake.errors import BadInput
from intake.handbook import Handbook
from intake.table.compat.cautions import Act, Level
from intake.table.compat.rules import Rating
from intake.table.kinds import Kind
from intake.table.prep.steps import StepName
from intake.table.resins import ResinId
from intake.words import Words

MOST_KINDS = 4
_MOSTLY = 0.5
"""[-] a kind stands for a resin from this share on."""
_STEPS = (StepName.RESIDUE, StepName.CLOSURE, StepName.LABEL, StepName.DRY)
"""What is asked before handing in; glue is taken off at the table."""
_LONGEST_ADDRESS = 74


def write_card(
    campaign: Path, out: Path, handbook: Handbook, words: Words, *, paper: Paper = Paper.A4, address: str = "",
    bath_cm3: float | None = None,
) -> CardPage:  # fmt: skip
    """Write the card as a PDF of one page, whole or not at all.

    Args:
        campaign: the campaign file.
        out: the PDF.
        handbook: the tables.
        words: the language.
        paper: its size.
        address: where a phone joins the table, for the symbol; empty for none.
        bath_cm3: [cm3] of bath to mix; None: the usual batch.

    Raises:
        BadInput: the campaign cannot be read, the address or the volume cannot be, or `out` cannot be written.
        ManyFaults: values of the campaign cannot be used.
        Refusal: there is more to say than one page can hold.
    """
    page = card_page(read_campaign(campaign, handbook), handbook, words, address=address, bath_cm3=bath_cm3)
    write_page(out, paper, lambda fonts: draw_card(page, paper, fonts))
    return page


def card_page(
    campaign: Campaign, handbook: Handbook, words: Words, *, address: str = "", bath_cm3: float | None = None
) -> CardPage:
    """Everything on the card, in words.

    Raises:
        BadInput: the address or the volume cannot be.
    """
    cue, bath_id = useful_tests(campaign, handbook)
    bath = the_bath(bath_id, handbook, bath_cm3)
    return CardPage(
        title=campaign.name,
        table=campaign.table,
        take=words("card.take"),
        wanted=tuple(_wanted(host, handbook, words) for host in campaign.hosts),
        refuse=words("card.refuse"),
        refused=tuple(_refused(campaign, handbook, words)),
        tests=(cue_test(cue, handbook, words), float_test(bath, words, handbook)),
        before=words("card.before"),
        steps=tuple(words(f"card.step.{step}") for step in _STEPS),
        bath=recipe_words(bath, words),
        cautions=_cautions(handbook, words),
        join=words("card.join"),
        address=_checked(address),
    )


def _wanted(host: ResinId, handbook: Handbook, words: Words) -> Wanted:
    """A host with the kinds that are mostly of it, those that most bags hold first."""
    table = handbook.kinds
    order = dict.fromkeys((*table.common, *table.rows))
    mostly = [
        table.rows[k]
        for k in order
        if table.rows[k].prior.get(host, 0.0) >= _MOSTLY and _harmless(table.rows[k])
    ]
    by_picture: dict[str, Kind] = {}
    for kind in mostly:
        by_picture.setdefault(kind.picture, kind)
    chosen = [*by_picture.values(), *(k for k in mostly if k not in by_picture.values())][:MOST_KINDS]
    named = tuple((k.picture, words(f"kind.{k.id}.many")) for k in chosen)
    return Wanted(code=handbook.resins.rows[host].code, resin=str(host), kinds=named)


def _harmless(kind: Kind) -> bool:
    """False for kinds that are looked at first: old colours, flame retardants, medicine, what may be PVC."""
    return kind.flags.isdisjoint({"old-pigments", "flame-retardant", "medicine", "may-be-pvc"})


def _refused(campaign: Campaign, handbook: Handbook, words: Words) -> Iterator[tuple[str, str]]:
    """Numbered plastics that melt with no host, the dangerous first; then what harms people or machines."""
    host = campaign.hosts[0]
    by_reason: dict[tuple[bool, str], list[str]] = defaultdict(list)
    for code, resin in _by_number(handbook).items():
        if not _taken(code, campaign, handbook):
            rule = handbook.matrix.rule(host, resin)
            by_reason[rule.rating is not Rating.HAZARD, rule.reasons[0].code].append(f"{resin} ({code})")
    for (_, reason), named in sorted(by_reason.items(), key=lambda pair: pair[0][0]):
        yield ", ".join(named), _why(reason, host, words)
    yield words("card.no_number"), words("card.why.no_number")
    yield words("card.content"), words("card.why.content")
    forbidden = [c for c in handbook.cautions.cautions_for(Act.RECEIVE) if c.level is Level.FORBID]
    yield (
        ", ".join(words(f"card.danger.{c.id}") for c in forbidden if c.id != _CONTENT),
        words("card.why.danger"),
    )


_CONTENT = "unknown-content"
"""Caution that has a row of its own on the card."""


def _by_number(handbook: Handbook) -> Mapping[int, ResinId]:
    """The plastic that people mean by each number, the one with the shortest name; 7 is no one plastic."""
    found: dict[int, ResinId] = {}
    for resin in sorted(handbook.resins.judged, key=len):
        code = handbook.resins.rows[resin].code
        if code is not None and code != OTHERS:
            found.setdefault(code, resin)
    return dict(sorted(found.items()))


def _taken(code: int, campaign: Campaign, handbook: Handbook) -> bool:
    """True where something of that number melts with some host; what may only slip in is not taken."""
    same = [r for r in handbook.resins.judged if handbook.resins.rows[r].code == code]
    return any(handbook.matrix.rule(host, r).rating.melts_together for host in campaign.hosts for r in same)


def _why(reason: str, host: ResinId, words: Words) -> str:
    """The reason in the few words a card has room for; the table's own sentence where there are none."""
    short = words(f"card.why.{reason}", host=host)
    return (
        words(f"reason.{reason}", host=host, guest=words("card.it"))
        if short == f"card.why.{reason}"
        else short
    )


def _cautions(handbook: Handbook, words: Words) -> str:
    """Titles of what is never done while finding out what something is; of all plastics, not of one."""
    forbidden = (c for c in handbook.cautions.cautions_for(Act.IDENTIFY) if c.level is Level.FORBID)
    titles = [words(f"caution.{c.id}.title") for c in forbidden if c.id != _CONTENT]
    return words("card.cautions", cautions=". ".join(titles))


def _checked(address: str) -> str:
    """The address, which a phone must be able to open.

    Raises:
        BadInput: it cannot.
    """
    text = address.strip()
    if not text:
        return ""
    plain = text.isascii() and text.isprintable() and " " not in text
    if not plain or not text.startswith(("http://", "https://")) or len(text) > _LONGEST_ADDRESS:
        expected = f"an address such as http://192.168.1.20:8550, at most {_LONGEST_ADDRESS} characters"
        raise BadInput(where="--url", got=address, expected=expected)
    return text
