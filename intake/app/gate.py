"""What stands before a shared table: pages and sockets alike pass only with the cookie of a device that joined."""

import asyncio
from collections.abc import Mapping
from http import HTTPStatus
from http.cookies import CookieError, SimpleCookie
from pathlib import Path
from types import MappingProxyType
from urllib.parse import parse_qs

from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from intake.app.door import DEVICE, DEVICE_MS, WINDOW_MS, Answer, Device, Door
from intake.app.join_page import ENTER, join_page
from intake.words import Words

COOKIE = "intake_device"
MAX_FORM = 1024
"""[bytes] more than a code and a name ever need."""
POLICY_VIOLATION = 1008
"""WebSocket close code (RFC 6455, 7.4.1); before the handshake the server answers 403."""
NO_STORE = MappingProxyType({"cache-control": "no-store"})
_STATUS = MappingProxyType(
    {
        Answer.WRONG: HTTPStatus.FORBIDDEN,
        Answer.EXPIRED: HTTPStatus.FORBIDDEN,
        Answer.LOCKED: HTTPStatus.TOO_MANY_REQUESTS,
        Answer.FULL: HTTPStatus.SERVICE_UNAVAILABLE,
    }
)


class Gate:
    """Plain ASGI. Sockets of a device that is sent out are closed at once."""

    def __init__(self, app: ASGIApp, door: Door, web: Path, words: Words) -> None:
        self.app, self.door, self.web, self.words = app, door, web, words

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what comes from a device that joined; show everybody else the join page."""
        if scope["type"] not in {"http", "websocket"}:
            await self.app(scope, receive, send)
            return
        device = self.door.device_of(_token(scope))
        if scope["type"] == "http" and scope["path"] == ENTER:
            await (await self._enter(scope, receive, device))(scope, receive, send)
        elif device is None:
            await _refuse(scope, receive, send)
        else:
            DEVICE.set(device)
            ends = scope["type"] == "websocket"
            await self.app(scope, _until_over(device, receive, send) if ends else receive, send)

    async def _enter(self, scope: Scope, receive: Receive, device: Device | None) -> Response:
        """The join page, or what came of a code."""
        if scope["method"] != "POST":
            return _to("/") if device else self._page()
        form = await _form(receive)
        if form is None:
            return Response(status_code=HTTPStatus.REQUEST_ENTITY_TOO_LARGE, headers=NO_STORE)
        address = scope["client"][0] if scope.get("client") else ""
        answer, token = self.door.come_in(form.get("code", ""), address, form.get("name", ""))
        if answer is not Answer.JOINED:
            return self._page(answer)
        response = _to("/")
        response.set_cookie(
            COOKIE, token, max_age=DEVICE_MS // 1000, path="/", httponly=True, samesite="strict"
        )
        return response

    def _page(self, answer: Answer | None = None) -> Response:
        """The join page with a sentence about the answer."""
        body = join_page(self.web, self.words, f"share.enter.{answer.value}" if answer else "")
        status = _STATUS[answer] if answer else HTTPStatus.OK
        headers = {**NO_STORE, **({"retry-after": str(WINDOW_MS // 1000)} if answer is Answer.LOCKED else {})}
        return Response(body, status_code=status, media_type="text/html", headers=headers)


def _to(path: str) -> Response:
    """Go on to `path`, by GET."""
    return Response(status_code=HTTPStatus.SEE_OTHER, headers={**NO_STORE, "location": path})


def _token(scope: Scope) -> str:
    """What the request shows; empty where it shows nothing that can be read."""
    raw = "; ".join(v.decode("latin-1") for n, v in scope["headers"] if n == b"cookie")
    try:
        shown = SimpleCookie(raw).get(COOKIE)
    except CookieError:
        return ""
    return shown.value if shown else ""


async def _refuse(scope: Scope, receive: Receive, send: Send) -> None:
    """A page leads to the join page, everything else is refused without a word."""
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": POLICY_VIOLATION})
        return
    wants = dict(scope["headers"]).get(b"accept", b"")
    page = scope["method"] == "GET" and b"text/html" in wants
    refused = Response(status_code=HTTPStatus.UNAUTHORIZED, headers=NO_STORE)
    await (_to(ENTER) if page else refused)(scope, receive, send)


async def _form(receive: Receive) -> Mapping[str, str] | None:
    """The fields of a form; None where it is too long."""
    body, more = b"", True
    while more:
        message = await receive()
        if message["type"] != "http.request":
            return {}
        body += message.get("body", b"")
        more = message.get("more_body", False)
        if len(body) > MAX_FORM:
            return None
    fields = parse_qs(body.decode("utf-8", "replace"))
    return {name: values[0] for name, values in fields.items()}


def _until_over(device: Device, receive: Receive, send: Send) -> Receive:
    """A `receive` that closes the socket and reports it gone when the device has to leave."""

    async def receiving() -> Message:
        arrives = asyncio.ensure_future(receive())
        leaves = asyncio.ensure_future(device.over.wait())
        try:
            await asyncio.wait((arrives, leaves), return_when=asyncio.FIRST_COMPLETED)
            if not device.over.is_set():
                return await arrives
            await send({"type": "websocket.close", "code": POLICY_VIOLATION})
            return {"type": "websocket.disconnect", "code": POLICY_VIOLATION}
        finally:
            arrives.cancel()
            leaves.cancel()

    return receiving
