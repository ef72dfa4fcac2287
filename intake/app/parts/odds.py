"""What an item is made of, as bars that shrink when evidence arrives."""

from dataclasses import dataclass

import flet as ft

from intake.app.texts import kept_together
from intake.app.theme import ACTION, GRID, INK, MUTED, TEXT_SMALL, TRACK


@dataclass(frozen=True, slots=True, kw_only=True)
class Odds:
    """One bar: a name, a share of 0 to 1, and the share as text."""

    name: str
    share: float
    text: str


def odds_bars(title: str, odds: tuple[Odds, ...]) -> ft.Control:
    """One row per resin, in the order given; each row is read out as `name text`."""
    rows: list[ft.Control] = [ft.Text(title, size=TEXT_SMALL, color=MUTED)]
    rows += [_row(one) for one in odds]
    return ft.Column(rows, spacing=GRID, tight=True)


def _row(one: Odds) -> ft.Control:
    """Name, bar, share; the bar itself is silent."""
    bar = ft.ProgressBar(
        value=min(max(one.share, 0.0), 1.0), bar_height=10, border_radius=5, color=ACTION, bgcolor=TRACK,
        expand=6,
    )  # fmt: skip
    row = ft.Row(
        [
            ft.Text(kept_together(one.name), size=TEXT_SMALL, color=INK, expand=3),
            bar,
            ft.Text(
                kept_together(one.text), size=TEXT_SMALL, color=INK, expand=2, text_align=ft.TextAlign.RIGHT
            ),
        ],
        spacing=GRID,
    )
    return ft.Semantics(
        content=row, label=f"{one.name} {one.text}", container=True, exclude_semantics=True, key=one.name
    )
