"""The web server around the app: health, downloads, and Flet itself mounted last."""

import logging
import secrets
import socket
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from urllib.parse import quote

import flet as ft
import flet_web
import uvicorn
from fastapi import Response
from flet_web import fastapi as flet_server
from starlette.types import ASGIApp

from intake import __version__
from intake.app.door import Door
from intake.app.download import Download
from intake.app.gate import Gate
from intake.app.photo import MOST_BYTES
from intake.app.share import HERE
from intake.app.shield import Shield
from intake.app.static_files import StaticFiles, pack_largest, web_files
from intake.errors import BadInput, IntakeError, UnknownName
from intake.handbook.locate import resources
from intake.words import Words

LOG = logging.getLogger("intake.app")
SESSION_SECONDS = 12 * 3600
"""How long a phone that went away finds its screen again: a day at the table."""
MAX_PORT = 65535
MAX_MESSAGE = 256 * 1024
"""[bytes] more than any screen sends at once; files do not come in this way."""
ANYWHERE = ("0.0.0.0", "::")  # noqa: S104  compared with, not bound to


MakeDownload = Callable[[str], Download]
"""Takes the last part of the address, such as a bin id; raises `IntakeError` where there is no such thing."""


def web_app(
    page_main: Callable[[ft.Page], None], assets: Path, words: Words, downloads: Mapping[str, MakeDownload],
    *, hosts: Iterable[str] = (), door: Door | None = None, uploads: Path | None = None,
) -> Shield:  # fmt: skip
    """The whole server as one ASGI app.

    Args:
        page_main: called once for every new session.
        assets: our web page and icons, see `write_webpage`.
        words: for the sentences a failed download answers with.
        downloads: `/download/{kind}/{name}`, by kind.
        hosts: names the server answers to; empty means any.
        door: of a shared table; None lets in whoever reaches the server.
        uploads: where photos of the app are put; None takes none.
    """
    app = flet_server.FastAPI(docs_url=None, redoc_url=None, openapi_url=None)

    @app.get("/health")
    async def health() -> dict[str, object]:
        return {"ok": True, "version": __version__}

    @app.get("/download/{kind}/{name}")
    def download(kind: str, name: str) -> Response:  # not async: the server runs it beside the event loop
        return _download(downloads, kind, name, words)

    mounted = flet_server.app(
        page_main, no_cdn=True, assets_dir=str(assets), app_name=words("app.title"),
        app_short_name=words("app.title_short"), app_description=words("app.description"),
        session_timeout_seconds=SESSION_SECONDS, upload_dir=str(uploads) if uploads else None,
        max_upload_size=MOST_BYTES, secret_key=secrets.token_hex(32),
    )  # fmt: skip
    app.mount("/", mounted)
    files = with_files(app, assets)
    return Shield(
        files if door is None else Gate(files, door, resources() / "web", words),
        hosts,
        uploads=uploads is not None,
    )


def with_files(app: ASGIApp, assets: Path) -> StaticFiles:
    """`app` with the client's files before it; their packed twins lie below our page, in its temporary folder."""
    files = web_files((assets, Path(flet_web.__file__).parent / "web"), assets / "packed")
    (assets / "packed").mkdir(exist_ok=True)
    pack_largest(files)
    return StaticFiles(app, files)


def _download(downloads: Mapping[str, MakeDownload], kind: str, name: str, words: Words) -> Response:
    """One file, or a sentence and a status; never a trace."""
    if kind not in downloads:
        return Response(words("app.error.not_found"), status_code=404, media_type="text/plain")
    try:
        made = downloads[kind](name)
    except UnknownName as error:
        return Response(str(error), status_code=404, media_type="text/plain")
    except IntakeError as error:
        return Response(str(error), status_code=409, media_type="text/plain")
    except Exception:
        LOG.exception("could not make %s %s", kind, name)
        return Response(words("app.error.not_done"), status_code=500, media_type="text/plain")
    how = "inline" if made.inline else "attachment"
    headers = {
        "content-disposition": f"{how}; filename*=UTF-8''{quote(made.filename)}",
        "cache-control": "no-store",
    }
    return Response(made.data, media_type=made.media_type, headers=headers)


def hosts_of(host: str) -> tuple[str, ...]:
    """The names a server bound to `host` answers to; none (any) where it is bound everywhere."""
    if host in HERE:
        return HERE
    return () if host in ANYWHERE else (*HERE, host)


def bound_socket(host: str, port: int) -> socket.socket:
    """A socket that holds the port; port 0 takes any free one.

    Raises:
        BadInput: the port is taken or not allowed, or the machine has no such address.
    """
    if not 0 <= port <= MAX_PORT:
        raise BadInput(where="Port", got=port, expected="a number from 1 to 65535, such as 8550")
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    held = socket.socket(family, socket.SOCK_STREAM)
    held.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        held.bind((host, port))
    except OSError as error:
        held.close()
        expected = "an address of this machine and a free port, such as 127.0.0.1:8551"
        raise BadInput(
            where="Address", got=f"{host}:{port}", expected=f"{expected} ({error.strerror or error})"
        ) from None
    return held


def serve(app: Shield, held: Sequence[socket.socket]) -> None:
    """Answer until the process is told to stop."""
    config = uvicorn.Config(
        app, log_level="warning", ws="websockets-sansio", ws_max_size=MAX_MESSAGE, server_header=False,
        timeout_graceful_shutdown=2, proxy_headers=False,
    )  # fmt: skip
    uvicorn.Server(config).run(sockets=list(held))
