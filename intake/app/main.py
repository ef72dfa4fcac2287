"""Start the app: open the desk, make the page, hold the port, answer."""

import socket
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from pathlib import Path
from tempfile import TemporaryDirectory
from types import MappingProxyType

import flet as ft

from intake.app.door import Door
from intake.app.papers import Papers
from intake.app.root import Root
from intake.app.server import ANYWHERE, MakeDownload, bound_socket, hosts_of, serve, web_app
from intake.app.session import Shared, keep_in_touch
from intake.app.share import HERE, is_loopback
from intake.app.texts import unbroken
from intake.app.theme import DARK, LIGHT, theme
from intake.app.webpage import write_webpage
from intake.desk.desk import Desk
from intake.errors import BadInput
from intake.handbook.locate import resources
from intake.words import catalogue


def downloads_of(shared: Shared) -> Mapping[str, MakeDownload]:
    """What the app hands out, by kind."""
    papers = Papers(shared)
    return MappingProxyType(
        {
            "tag": shared.tags.download,
            "lot": papers.lot,
            "sheet": papers.sheet,
            "report": papers.report,
            "card": papers.card,
        }
    )


def run(
    desk_factory: Callable[[], Desk], *, host: str = "127.0.0.1", port: int = 8550, language: str = "en",
    downloads: Callable[[Shared], Mapping[str, MakeDownload]] = downloads_of,
    on_ready: Callable[[str], None] = lambda _: None, door: Door | None = None,
) -> None:  # fmt: skip
    """Serve the app until the process is told to stop, and let go of the desk then.

    Args:
        desk_factory: opens the desk; called once, after the port is held.
        host: address to bind; anything but loopback needs a door. A shared one answers at loopback too.
        port: 0 takes any free one.
        language: of the sentences.
        downloads: files to hand out, by kind, reached at `/download/{kind}/{name}`.
        on_ready: called with the address once it can be opened.
        door: asks every session for a code; None for this machine alone.

    Raises:
        BadInput: the address cannot be used.
        IntakeError: whatever the desk says when it cannot open.
    """
    with ExitStack() as stack:
        held = bound_sockets(host, port, shared=door is not None)
        for one in held:
            stack.enter_context(one)
        folder = stack.enter_context(TemporaryDirectory(prefix="intake-web-"))
        words = unbroken(catalogue(resources() / "words", language))
        with desk_factory() as desk:
            assets = Path(folder)
            write_webpage(resources() / "web", assets, words)
            where = address(host, held[0].getsockname()[1])
            uploads = Path(stack.enter_context(TemporaryDirectory(prefix="intake-photos-")))
            shared = Shared(desk=desk, words=words, door=door, address=where, uploads=uploads)
            if door is not None:
                door.on_change = shared.hub.publish
            app = web_app(
                session_main(shared),
                assets,
                words,
                downloads(shared),
                hosts=hosts_of(host),
                door=door,
                uploads=uploads,
            )
            for one in held:
                one.listen()
            on_ready(where)
            serve(app, held)


def bound_sockets(host: str, port: int, *, shared: bool) -> tuple[socket.socket, ...]:
    """The port held at `host`, and at loopback too where the table is shared at an address of a network.

    Raises:
        BadInput: the address cannot be used, or lies open to a network without being shared.
    """
    if not shared and not is_loopback(host):
        expected = f"{HERE[0]}, or --share as well, so that phones are asked for a code"
        raise BadInput(where="Address", got=host, expected=expected, kept="Nothing was opened.")
    if host in ANYWHERE:
        expected = "one address of this machine, as phones need one to go to"
        raise BadInput(where="Address", got=host, expected=expected, kept="Nothing was opened.")
    first = bound_socket(host, port)
    if host in HERE or not shared:
        return (first,)
    try:
        return first, bound_socket(HERE[0], first.getsockname()[1])
    except BadInput:
        first.close()
        raise


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
    here = HERE[0] if host in ANYWHERE else host
    shown = f"[{here}]" if ":" in here else here
    return f"http://{shown}:{port}"
