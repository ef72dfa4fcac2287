"""Start the app: open the desk, make the page, hold the port, answer."""

from collections.abc import Callable, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from types import MappingProxyType

import flet as ft

from intake.app.root import Root
from intake.app.server import ANYWHERE, LOOPBACK, MakeDownload, bound_socket, hosts_of, serve, web_app
from intake.app.session import Shared, keep_in_touch
from intake.app.texts import unbroken
from intake.app.theme import DARK, LIGHT, theme
from intake.app.webpage import write_webpage
from intake.desk.desk import Desk
from intake.handbook.locate import resources
from intake.words import catalogue


def downloads_of(shared: Shared) -> Mapping[str, MakeDownload]:
    """What the app hands out, by kind."""
    return MappingProxyType({"tag": shared.tags.download})


def run(
    desk_factory: Callable[[], Desk], *, host: str = "127.0.0.1", port: int = 8550, language: str = "en",
    downloads: Callable[[Shared], Mapping[str, MakeDownload]] = downloads_of,
    on_ready: Callable[[str], None] = lambda _: None,
) -> None:  # fmt: skip
    """Serve the app until the process is told to stop, and let go of the desk then.

    Args:
        desk_factory: opens the desk; called once, after the port is held.
        host: address to bind; loopback unless somebody asks for more.
        port: 0 takes any free one.
        language: of the sentences.
        downloads: files to hand out, by kind, reached at `/download/{kind}/{name}`.
        on_ready: called with the address once it can be opened.

    Raises:
        BadInput: the address cannot be used.
        IntakeError: whatever the desk says when it cannot open.
    """
    held = bound_socket(host, port)
    with held, TemporaryDirectory(prefix="intake-web-") as folder:
        words = unbroken(catalogue(resources() / "words", language))
        with desk_factory() as desk:
            write_webpage(resources() / "web", Path(folder), words)
            shared = Shared(desk=desk, words=words)
            app = web_app(session_main(shared), Path(folder), words, downloads(shared), hosts=hosts_of(host))
            held.listen()
            on_ready(address(host, held.getsockname()[1]))
            serve(app, held)


def session_main(shared: Shared) -> Callable[[ft.Page], None]:
    """What Flet calls for every new session."""

    def main(page: ft.Page) -> None:
        page.title = shared.words("app.title")
        page.theme, page.dark_theme = theme(LIGHT), theme(DARK)
        keep_in_touch(page, shared.hub)
        page.render_views(Root, shared)

    return main


def address(host: str, port: int) -> str:
    """What to type into a browser on this machine."""
    here = LOOPBACK[0] if host in ANYWHERE else host
    shown = f"[{here}]" if ":" in here else here
    return f"http://{shown}:{port}"
