"""The frame of a screen: what scrolls, what stays under the thumb, and panes beside it where they fit."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

import flet as ft

from intake.app.theme import (
    COLUMN_MAX,
    DESKTOP_FROM,
    EDGE,
    GAP,
    GAP_WIDE,
    GRID,
    INK,
    LINE,
    PALE,
    PAPER,
    TABLET_FROM,
)
from intake.words import Words

PANE = 288.0


class Width(IntEnum):
    """How much fits side by side: one column, one pane beside it, a pane on each side."""

    PHONE = 0
    TABLET = 1
    DESKTOP = 2

    @classmethod
    def of(cls, width_px: float | None) -> "Width":
        """The class of a window; one of unknown width is a phone."""
        if (width_px or 0) >= DESKTOP_FROM:
            return cls.DESKTOP
        return cls.TABLET if (width_px or 0) >= TABLET_FROM else cls.PHONE


@dataclass(frozen=True, slots=True, kw_only=True)
class Panes:
    """What stands left and right of the item in hand; a tablet puts both on one side, a phone neither."""

    left: tuple[ft.Control, ...] = ()
    right: tuple[ft.Control, ...] = ()


NO_PANES = Panes()


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One place of the navigation: where it leads, what it is called, its sign."""

    path: str
    text_key: str
    icon: ft.IconData


def step_view(
    route: str, body: list[ft.Control], foot: list[ft.Control], *, steps: ft.Control, back: str,
    on_back: Callable[..., Any], width: Width, panes: Panes = NO_PANES,
) -> ft.View:  # fmt: skip
    """A step of the item in hand: back and the thin bar on top, the question, actions at the bottom."""
    top = ft.Row([_arrow(back, on_back), steps], spacing=GAP, vertical_alignment=ft.CrossAxisAlignment.CENTER)
    return _view(route, ft.Container(top, padding=ft.Padding.only(right=EDGE)), body, foot, width, panes)


def below_view(
    route: str, body: list[ft.Control], foot: list[ft.Control], *, back: str, on_back: Callable[..., Any],
    width: Width, panes: Panes = NO_PANES,
) -> ft.View:  # fmt: skip
    """A screen below a place of the navigation: the way back on top."""
    return _view(route, ft.Row([_arrow(back, on_back)]), body, foot, width, panes)


def section_view(
    route: str, body: list[ft.Control], foot: list[ft.Control], *, words: Words,
    sections: tuple[Section, ...], at: int, go: Callable[[str], Any], width: Width, panes: Panes = NO_PANES,
) -> ft.View:  # fmt: skip
    """A place of the navigation: bar at the bottom of a phone, rail at the side of a wide window."""
    view = _view(route, None, body, foot, width, panes)
    if len(sections) < 2:  # noqa: PLR2004  one place needs no navigation, and Flutter refuses to draw it
        return view

    def moved(event: Any) -> None:
        go(sections[int(event.control.selected_index)].path)

    if width > Width.PHONE:
        whole: list[Any] = list(view.controls)
        rail = ft.NavigationRail(
            selected_index=at, on_change=moved, label_type=ft.NavigationRailLabelType.ALL, bgcolor=PAPER,
            indicator_color=PALE,
            destinations=[
                ft.NavigationRailDestination(icon=s.icon, label=words(s.text_key)) for s in sections
            ],
        )  # fmt: skip
        view.controls = [ft.Row([rail, _divider(), *whole], expand=True, spacing=0)]
    else:
        view.navigation_bar = ft.NavigationBar(
            selected_index=at, on_change=moved, indicator_color=PALE,
            destinations=[
                ft.NavigationBarDestination(icon=s.icon, label=words(s.text_key)) for s in sections
            ],
        )  # fmt: skip
    return view


def _view(
    route: str, top: ft.Control | None, body: list[ft.Control], foot: list[ft.Control], width: Width,
    panes: Panes,
) -> ft.View:  # fmt: skip
    """The view itself: one column on a phone, one side pane on a tablet, two on a desktop."""
    column = _column(top, body, foot)
    if width is Width.PHONE:
        return ft.View(route=route, padding=0, controls=[ft.SafeArea(column, expand=True)])
    beside = panes if width is Width.DESKTOP else Panes(right=(*panes.right, *panes.left))
    cells: list[ft.Control] = [_pane(beside.left), _divider()] if beside.left else []
    middle = ft.Container(column, width=COLUMN_MAX)
    cells.append(ft.Container(middle, expand=True, alignment=ft.Alignment.TOP_CENTER))
    if beside.right:
        cells += [_divider(), _pane(beside.right)]
    row = ft.Row(cells, expand=True, spacing=0, vertical_alignment=ft.CrossAxisAlignment.STRETCH)
    return ft.View(route=route, padding=0, controls=[ft.SafeArea(row, expand=True)])


def _arrow(back: str, on_back: Callable[..., Any]) -> ft.IconButton:
    """The way back."""
    return ft.IconButton(
        ft.Icon(ft.Icons.ARROW_BACK, semantics_label=back), on_click=on_back, icon_color=INK,
        style=ft.ButtonStyle(padding=12),
    )  # fmt: skip


def _column(top: ft.Control | None, body: list[ft.Control], foot: list[ft.Control]) -> ft.Column:
    """What scrolls above, what stays below."""
    stretch = ft.CrossAxisAlignment.STRETCH
    scroll = ft.Column(
        [ft.Container(ft.Column(body, spacing=GAP_WIDE, horizontal_alignment=stretch), padding=EDGE)],
        expand=True, scroll=ft.ScrollMode.AUTO, horizontal_alignment=stretch,
    )  # fmt: skip
    parts: list[ft.Control] = [top] if top else []
    parts.append(scroll)
    if foot:
        pad = ft.Padding.only(left=EDGE, right=EDGE, top=GRID, bottom=EDGE)
        parts.append(ft.Container(ft.Column(foot, spacing=GAP, horizontal_alignment=stretch), padding=pad))
    return ft.Column(parts, expand=True, spacing=0, horizontal_alignment=stretch)


def _pane(controls: tuple[ft.Control, ...]) -> ft.Control:
    """A side pane that scrolls on its own."""
    column = ft.Column(
        list(controls), spacing=GAP, scroll=ft.ScrollMode.AUTO,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )  # fmt: skip
    return ft.Container(column, width=PANE, padding=EDGE)


def _divider() -> ft.Control:
    """A thin line between panes."""
    return ft.VerticalDivider(width=1, thickness=1, color=LINE)
