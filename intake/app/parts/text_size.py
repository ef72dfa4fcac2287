"""How large a person has set the text of their phone or browser; Flet itself does not say."""

from collections.abc import Callable
from typing import Any

import flet as ft

LARGE_FROM = 1.5
"""[-] text this much larger than usual needs fewer things side by side."""
_PROBE = 10.0


def text_probe(on_large: Callable[[bool], Any]) -> ft.Control:
    """One silent, clear letter whose height follows the text size; calls back with whether that is large."""

    def sized(event: Any) -> None:
        on_large(event.height / _PROBE >= LARGE_FROM)

    letter = ft.Text("M", size=_PROBE, style=ft.TextStyle(height=1.0))
    box = ft.Container(letter, on_size_change=sized, opacity=0, ignore_interactions=True)
    return ft.Container(ft.Semantics(content=box, exclude_semantics=True), left=0, top=0)


def columns(usual: int, *, large: bool) -> int:
    """How many tiles stand side by side where `usual` do at the usual size of text."""
    return max(usual // 2, 2) if large else usual
