"""Values of the walk as sentences: every amount wears its doubt, every id its word."""

from collections.abc import Iterable

import flet as ft

from intake.app.parts.cards import caution_card, reason_card
from intake.app.parts.odds import Odds, odds_bars
from intake.app.session import Shared
from intake.desk.cautions import screen_cautions
from intake.desk.views.item import ItemHead
from intake.desk.views.looks import OddsRow
from intake.spread import Interval
from intake.table.resins import ResinId
from intake.words import Words
from intake.words.figures import interval_parts, share_text

_MINUTE_S = 60.0


def item_text(words: Words, item: ItemHead) -> str:
    """The item in a few words: `3 × jug, natural`."""
    name = words("walk.item.many", count=item.count, name=item.name) if item.count > 1 else item.name
    return words("walk.item.coloured", name=name, colour=item.colour) if item.colour else name


def mass_texts(words: Words, mass: Interval) -> tuple[str, str]:
    """An amount and its doubt: `41 g`, `between 36 and 45 g`."""
    mean, low, high, unit = interval_parts(mass)
    return f"{mean} {unit}", words("walk.between", low=low, high=high, unit=unit)


def time_text(words: Words, minutes: Interval) -> str:
    """Hand time with its doubt, in steps of five seconds below two minutes."""
    if minutes.high < 2:  # noqa: PLR2004
        mean, high = (max(round(v * _MINUTE_S / 5), 1) * 5 for v in (minutes.mean, minutes.high))
        return words("walk.seconds", mean=mean, high=high)
    return words("walk.minutes", mean=f"{minutes.mean:.0f}", high=f"{minutes.high:.0f}")


def odds_card(words: Words, rows: Iterable[OddsRow]) -> ft.Control:
    """The odds so far as bars."""
    odds = tuple(
        Odds(name=r.resin or words("walk.odds.rest"), share=r.share, text=share_text(r.share)) for r in rows
    )
    return odds_bars(words("walk.odds"), odds)


def caution_cards(words: Words, ids: Iterable[str]) -> list[ft.Control]:
    """What to mind: a card each for one or two, one card with all of them for more."""
    texts = [(words(f"caution.{c}.title"), words(f"caution.{c}.text")) for c in ids]
    if len(texts) <= 2:  # noqa: PLR2004
        return [caution_card(title, (text,)) for title, text in texts]
    return [caution_card(words("walk.mind"), tuple(f"{title}: {text}" for title, text in texts))]


def minded(shared: Shared, screen: str, *resins: str) -> list[ft.Control]:
    """What to mind on a screen, with the resins that are in hand there."""
    ids = screen_cautions(shared.desk.handbook, screen, map(ResinId, resins))
    return caution_cards(shared.words, ids)


def reasons_card(words: Words, title_key: str, lines: Iterable[str]) -> list[ft.Control]:
    """A card with these lines; none where there are none."""
    told = tuple(line for line in lines if line)
    return [reason_card(words(title_key), told)] if told else []
