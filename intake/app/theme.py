"""Colours, type and spacing of the app, as roles: a screen names a role, the theme says what it looks like.

Flet's own role names are kept for what Flet draws itself; ours stand below for what a collector sees. The
hold wall rides on `tertiary_fixed`, because the scheme has no third signal colour of its own.
"""

from dataclasses import dataclass
from types import MappingProxyType

import flet as ft

TEXT_SMALL, TEXT_BODY, TEXT_QUESTION, TEXT_VERDICT, TEXT_NUMBER = 14, 18, 28, 32, 44
"""[px at 100 %] the five sizes; the first two do most of the work."""

GRID = 8
"""[px] every gap is a multiple of this."""
GAP, GAP_WIDE, EDGE = GRID, 2 * GRID, 2 * GRID
RADIUS_CARD, RADIUS_BUTTON, RADIUS_WALL = 16, 16, 18
TARGET_MIN = 48
"""[px] smallest side of anything to press."""
BUTTON_PAD = 17
"""[px] above and below an 18 px line, which makes a button 58 px high and lets it grow with the text."""
TABLET_FROM, DESKTOP_FROM = 720, 1120
"""[px] window widths from which one pane and then two stand beside the item in hand."""
COLUMN_MAX = 560
"""[px] a question is never wider than this: a phone is not stretched."""

PAPER, CARD, BAR, TRACK = (
    ft.Colors.SURFACE,
    ft.Colors.SURFACE_CONTAINER_LOWEST,
    ft.Colors.SURFACE_CONTAINER,
    ft.Colors.SURFACE_CONTAINER_HIGHEST,
)
INK, MUTED, LINE, EDGE_LINE = (
    ft.Colors.ON_SURFACE,
    ft.Colors.ON_SURFACE_VARIANT,
    ft.Colors.OUTLINE_VARIANT,
    ft.Colors.OUTLINE,
)
ACTION, ON_ACTION, PALE, ON_PALE = (
    ft.Colors.PRIMARY,
    ft.Colors.ON_PRIMARY,
    ft.Colors.PRIMARY_CONTAINER,
    ft.Colors.ON_PRIMARY_CONTAINER,
)
DOUBT = ft.Colors.INVERSE_PRIMARY
"""The end of a bar or ring that we are not sure of."""

WALLS = MappingProxyType(
    {
        "accept": (ft.Colors.TERTIARY_CONTAINER, ft.Colors.ON_TERTIARY_CONTAINER),
        "hold": (ft.Colors.TERTIARY_FIXED, ft.Colors.ON_TERTIARY_FIXED),
        "refuse": (ft.Colors.ERROR_CONTAINER, ft.Colors.ON_ERROR_CONTAINER),
    }
)
"""Verdict → colour of its wall and of what stands on it; white on deep colour in both themes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """One theme's colours by what they are for, `#RRGGBB`."""

    paper: str
    card: str
    bar: str
    track: str
    ink: str
    muted: str
    line: str
    edge: str
    action: str
    on_action: str
    pale: str
    on_pale: str
    doubt: str
    accept: str
    accept_wall: str
    hold: str
    hold_wall: str
    refuse: str
    refuse_wall: str
    on_wall: str = "#FFFFFF"

    def scheme(self) -> ft.ColorScheme:
        """The same colours under Flet's role names, none left to be guessed from a seed."""
        return ft.ColorScheme(
            primary=self.action, on_primary=self.on_action,
            primary_container=self.pale, on_primary_container=self.on_pale,
            secondary=self.action, on_secondary=self.on_action,
            secondary_container=self.pale, on_secondary_container=self.on_pale,
            tertiary=self.accept, on_tertiary=self.paper,
            tertiary_container=self.accept_wall, on_tertiary_container=self.on_wall,
            tertiary_fixed=self.hold_wall, on_tertiary_fixed=self.on_wall, tertiary_fixed_dim=self.hold,
            error=self.refuse, on_error=self.paper,
            error_container=self.refuse_wall, on_error_container=self.on_wall,
            surface=self.paper, on_surface=self.ink, on_surface_variant=self.muted,
            surface_dim=self.paper, surface_bright=self.paper, surface_tint=self.paper,
            surface_container_lowest=self.card, surface_container_low=self.card,
            surface_container=self.bar, surface_container_high=self.bar, surface_container_highest=self.track,
            outline=self.edge, outline_variant=self.line,
            inverse_surface=self.ink, on_inverse_surface=self.paper, inverse_primary=self.doubt,
            shadow="#000000", scrim="#000000",
        )  # fmt: skip


LIGHT = Palette(
    paper="#FAF8F4", card="#FFFFFF", bar="#F1ECE4", track="#E6E0D5",
    ink="#1C2126", muted="#50575E", line="#DDD7CC", edge="#757A7F",
    action="#23415F", on_action="#FFFFFF", pale="#D3DEE8", on_pale="#14293D", doubt="#8B9BAC",
    accept="#0B6B63", accept_wall="#0B6B63", hold="#8A5A00", hold_wall="#8A5A00",
    refuse="#9C2F22", refuse_wall="#9C2F22",
)  # fmt: skip
DARK = Palette(
    paper="#14181C", card="#1C2126", bar="#20262C", track="#353C43",
    ink="#ECE8E1", muted="#B4B9BE", line="#353C43", edge="#8A9198",
    action="#A5C6E6", on_action="#0E2438", pale="#2C4761", on_pale="#DCE9F5", doubt="#64788C",
    accept="#6CC9BD", accept_wall="#0D7169", hold="#E3B55C", hold_wall="#8A5A00",
    refuse="#F0998C", refuse_wall="#A83A2C",
)  # fmt: skip

TEXT_PAIRS = (
    ("ink", "paper"), ("ink", "card"), ("ink", "bar"),
    ("muted", "paper"), ("muted", "card"), ("muted", "bar"),
    ("action", "paper"), ("action", "card"), ("action", "bar"), ("on_action", "action"), ("on_pale", "pale"),
    ("accept", "card"), ("hold", "card"), ("refuse", "card"), ("accept", "paper"), ("hold", "paper"),
    ("refuse", "paper"), ("on_wall", "accept_wall"), ("on_wall", "hold_wall"), ("on_wall", "refuse_wall"),
    ("paper", "ink"),
)  # fmt: skip
"""Text colour and what it stands on; each must reach 4.5:1 (WCAG 2.2, 1.4.3)."""

SHAPE_PAIRS = (
    ("edge", "paper"),
    ("edge", "card"),
    ("action", "track"),
    ("action", "pale"),
    ("action", "paper"),
)
"""Shapes a person must tell apart without reading; each must reach 3:1 (WCAG 2.2, 1.4.11)."""


def theme(palette: Palette) -> ft.Theme:
    """The Flet theme of a palette: 48 px targets on every machine, screens that change without a slide."""
    still = ft.PageTransitionTheme.NONE
    return ft.Theme(
        color_scheme=palette.scheme(),
        scaffold_bgcolor=palette.paper,
        visual_density=ft.VisualDensity.STANDARD,
        page_transitions=ft.PageTransitionsTheme(
            android=still, ios=still, linux=still, macos=still, windows=still
        ),
        icon_button_theme=ft.IconButtonTheme(style=ft.ButtonStyle(padding=12)),
        appbar_theme=ft.AppBarTheme(bgcolor=palette.paper, elevation=0),
        snackbar_theme=ft.SnackBarTheme(bgcolor=palette.ink),
    )


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two `#RRGGBB` colours, 1 to 21, after WCAG 2.2 (relative luminance of sRGB)."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance, 0 to 1."""
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    """An sRGB channel as linear light."""
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4  # noqa: PLR2004
