"""What stands before every request: who may ask, and what the browser is told to refuse."""

from collections.abc import Iterable
from urllib.parse import urlsplit

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from intake.app.join_page import ENTER

CLOSED = ("/docs", "/redoc", "/openapi.json", "/oauth_callback", "/upload")
"""Paths that Flet's own server opens, or a setting of its could, and nobody needs."""
READS = ("GET", "HEAD")
WRITES = ("POST", ENTER)
PHOTO = ("PUT", "/upload")
"""What a browser sends other than through the socket: the code of a table, photos to signed addresses."""

_POLICY = (
    "default-src 'self'",
    "script-src 'self' 'unsafe-inline' 'wasm-unsafe-eval' blob:",
    "style-src 'self' 'unsafe-inline'",
    "img-src 'self' data: blob:",
    "font-src 'self' data:",
    "connect-src 'self' blob: data:",
    "worker-src 'self' blob:",
    "object-src 'none'",
    "base-uri 'self'",
    "form-action 'self'",
    "frame-ancestors 'none'",
)
HEADERS = (
    (b"content-security-policy", "; ".join(_POLICY).encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"permissions-policy", b"geolocation=(), microphone=(), camera=(self)"),
    (b"cross-origin-resource-policy", b"same-origin"),
)
_DROPPED = (b"access-control-allow-origin", b"server")


class Shield:
    """Plain ASGI, so that it sees pages and sockets alike.

    Attributes:
        hosts: names the server may be called by, without port; empty means any. Refusing others keeps a
            strange page from reaching a loopback server by a name that it points there.
        uploads: whether photos may be sent; Flet itself checks that the address was signed for it.
    """

    def __init__(self, app: ASGIApp, hosts: Iterable[str] = (), *, uploads: bool = False) -> None:
        self._writes = (WRITES, PHOTO) if uploads else (WRITES,)
        self.app, self.hosts = app, frozenset(h.lower() for h in hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what may pass, with our headers on the way back."""
        if scope["type"] not in {"http", "websocket"}:
            await self.app(scope, receive, send)
            return
        headers = dict(scope["headers"])
        status = self._refusal(scope, headers)
        if not status:
            await self.app(scope, receive, _with_headers(send))
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 1008})
        else:
            await _with_headers(send)(
                {"type": "http.response.start", "status": status, "headers": [(b"content-length", b"0")]}
            )
            await send({"type": "http.response.body", "body": b""})

    def _refusal(self, scope: Scope, headers: dict[bytes, bytes]) -> int:
        """The status to refuse with; 0 where the request may pass."""
        host = headers.get(b"host", b"").decode("latin-1").lower()
        if self.hosts and _name(f"//{host}") not in self.hosts:
            return 421
        origin = headers.get(b"origin", b"").decode("latin-1").lower()
        changes = scope["type"] == "websocket" or scope["method"] not in READS
        if changes and origin and _place(origin) != host:
            return 403
        if (
            scope["type"] == "http"
            and scope["method"] not in READS
            and (scope["method"], scope["path"]) not in self._writes
        ):
            return 405
        if (scope.get("method"), scope["path"]) == PHOTO:
            return 0
        closed = any(scope["path"] == p or scope["path"].startswith(p + "/") for p in CLOSED)
        return 404 if closed else 0


def _place(origin: str) -> str:
    """Host and port of an origin; empty where it has none."""
    try:
        return urlsplit(origin).netloc
    except ValueError:
        return ""


def _name(url: str) -> str:
    """The host name in a URL, without port; empty where it has none."""
    try:
        return urlsplit(url).hostname or ""
    except ValueError:
        return ""


def _with_headers(send: Send) -> Send:
    """A `send` that adds our headers and drops those that open the server to other pages."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            ours = {name for name, _ in HEADERS}
            kept = [
                (n, v) for n, v in message["headers"] if n.lower() not in ours and n.lower() not in _DROPPED
            ]
            message = {**message, "headers": [*kept, *HEADERS]}
        await send(message)

    return sending
