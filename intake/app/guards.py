"""What keeps one fault from ending a session.

Flet 1.0.5 stops redrawing for good after an exception in a render, and covers the whole screen after one in
a handler. So every component of the app goes through `safe_component`, every handler through `safe_handler`.
"""

import functools
import inspect
import logging
from collections.abc import Callable
from typing import Any

import flet as ft

from intake.app.parts.snack import tell
from intake.app.session import use_words
from intake.app.theme import TEXT_BODY
from intake.errors import IntakeError
from intake.words import Words

LOG = logging.getLogger("intake.app")


def safe_component(render: Callable[..., Any]) -> Callable[..., Any]:
    """A component that shows a sentence where its render fails; the fault goes to the log."""

    @ft.component
    @functools.wraps(render)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        words = (
            use_words()
        )  # first, so that it keeps its place among the hooks when the render stops half-way
        try:
            return render(*args, **kwargs)
        except Exception:
            LOG.exception("could not show %s", render.__qualname__)
            return ft.SafeArea(ft.Text(words("app.error.not_shown"), size=TEXT_BODY))

    return guarded


def safe_view(render: Callable[..., ft.View]) -> Callable[..., Any]:
    """The same for a component that fills a route and must return a view."""

    @ft.component
    @functools.wraps(render)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        words = use_words()
        route = ft.use_view_path()
        try:
            return render(*args, **kwargs)
        except Exception:
            LOG.exception("could not show %s", render.__qualname__)
            text = ft.Text(words("app.error.not_shown"), size=TEXT_BODY)
            return ft.View(route=route, appbar=ft.AppBar(), controls=[ft.SafeArea(text)])

    return guarded


def safe_handler(words: Words, handler: Callable[..., Any]) -> Callable[[Any], Any]:
    """A handler whose fault becomes one sentence at the foot of the screen.

    Args:
        words: the sentences of the person's language.
        handler: plain or async; gets the event where it has a place without a default.

    Returns:
        An async handler; it never raises, except when it is cancelled.
    """
    wants_event = any(p.default is p.empty for p in inspect.signature(handler).parameters.values())

    async def guarded(event: Any) -> None:
        try:
            result = handler(event) if wants_event else handler()
            if inspect.isawaitable(result):
                await result
        except IntakeError as error:
            tell(str(error))
        except Exception:
            LOG.exception("could not do %s", getattr(handler, "__qualname__", handler))
            tell(words("app.error.not_done"))

    return guarded
