"""The files a browser loads before the first screen, compressed once and asked for again only when they changed.

The client is 14 to 16 MB as it is shipped. Each file is packed when a browser first wants it, and the largest
beforehand by a thread, so that neither the start nor the first phone waits for all of them.
"""

import gzip
import logging
import os
import shutil
import tempfile
import threading
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from urllib.parse import quote

from anyio import to_thread
from starlette.datastructures import Headers
from starlette.responses import FileResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOG = logging.getLogger("intake.app")
LEVEL = 6
"""gzip level: 9 takes three times as long for the last percent (measured)."""
LARGEST = (
    "/main.dart.wasm", "/canvaskit/skwasm.wasm", "/assets/fonts/MaterialIcons-Regular.otf",
    "/main.dart.js", "/canvaskit/chromium/canvaskit.wasm",
)  # fmt: skip
"""Packed beforehand: for browsers with the newer engine first, then for the others."""
PATCHED = ("/index.html", "/manifest.json", "/assets/FontManifest.json")
"""Files that Flet fills in at the first request; it serves those itself."""
LEFT_OUT = ("/pyodide/",)
"""Python for the browser: 24 MB that a served app never loads."""
TYPES = MappingProxyType(
    {
        ".css": "text/css", ".html": "text/html; charset=utf-8", ".js": "text/javascript",
        ".json": "application/json", ".mjs": "text/javascript", ".map": "application/json",
        ".wasm": "application/wasm", ".png": "image/png", ".otf": "font/otf", ".ttf": "font/ttf",
        ".woff2": "font/woff2",
    }
)  # fmt: skip
PACKED_ALREADY = (".png", ".woff2", ".webp", ".jpg", ".mp3")
CHECK_FIRST = "no-cache"
"""Kept by the browser and asked about at every visit: names carry no version, and a stale mix would not start."""
_ISOLATED = MappingProxyType(
    {"cross-origin-opener-policy": "same-origin", "cross-origin-embedder-policy": "require-corp"}
)


@dataclass(frozen=True, slots=True)
class WebFile:
    """One file: where it lies, its tag, and where its packed twin will lie; None where packing gains nothing."""

    path: Path
    etag: str
    media_type: str
    packed: Path | None
    lock: threading.Lock = field(default_factory=threading.Lock)

    def pack(self) -> Path:
        """The packed twin, made if nobody has; two who want it at once make it once."""
        if self.packed is None:
            return self.path
        with self.lock:
            if not self.packed.exists():
                fd, half = tempfile.mkstemp(
                    dir=self.packed.parent, suffix=".half"
                )  # a second server packs apart
                with (
                    self.path.open("rb") as plain,
                    os.fdopen(fd, "wb") as raw,
                    gzip.open(raw, "wb", LEVEL) as out,
                ):
                    shutil.copyfileobj(plain, out, 1 << 18)
                Path(half).replace(self.packed)
        return self.packed


class StaticFiles:
    """Plain ASGI in front of Flet: answers for files that are only read, passes on everything else."""

    def __init__(self, app: ASGIApp, files: Mapping[str, WebFile]) -> None:
        self.app, self.files = app, files

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """A file, or whatever stands behind."""
        reads = scope["type"] == "http" and scope["method"] in {"GET", "HEAD"}
        file = self.files.get(scope["path"]) if reads else None
        if file is not None:
            await (await _answer(file, Headers(scope=scope)))(scope, receive, send)
        elif scope["type"] == "http":
            await self.app(scope, receive, _check_first(send))
        else:
            await self.app(scope, receive, send)


def web_files(folders: Iterable[Path], packed: Path) -> Mapping[str, WebFile]:
    """Every file by its address; nothing outside can be asked for, as only what is listed here is found.

    Args:
        folders: searched in order; the first one's file counts.
        packed: a folder for the packed twins; it need not be there yet.
    """
    found: dict[str, WebFile] = {}
    for folder in folders:
        for path in sorted(folder.rglob("*")):
            address = "/" + path.relative_to(folder).as_posix()
            passed_on = address in found or address in PATCHED or address.startswith(LEFT_OUT)
            if packed not in path.parents and path.is_file() and not passed_on:
                found[address] = _web_file(path, packed / quote(address, safe=""))
    return MappingProxyType(found)


def pack_largest(files: Mapping[str, WebFile]) -> threading.Thread:
    """Pack what every browser will want, beside everything else; ends early when the folder is taken away."""

    def work() -> None:
        for address in LARGEST:
            try:
                if address in files:
                    files[address].pack()
            except OSError:
                LOG.debug("stopped packing at %s", address)
                return

    thread = threading.Thread(target=work, name="pack", daemon=True)
    thread.start()
    return thread


def _web_file(path: Path, packed: Path) -> WebFile:
    stat = path.stat()
    kind = TYPES.get(path.suffix, "application/octet-stream")
    twin = None if path.suffix in PACKED_ALREADY else packed.with_name(packed.name + ".gz")
    return WebFile(path, f"{stat.st_size:x}-{stat.st_mtime_ns:x}", kind, twin)


async def _answer(file: WebFile, asked: Headers) -> Response:
    """The file, packed where the browser can unpack; only its tag where the browser has it."""
    packs = file.packed is not None and takes_gzip(asked.get("accept-encoding", ""))
    etag = f'"{file.etag}{"-gz" if packs else ""}"'
    headers = {"cache-control": CHECK_FIRST, "etag": etag, "vary": "accept-encoding", **_ISOLATED}
    known = [t.strip().removeprefix("W/") for t in asked.get("if-none-match", "").split(",")]
    if etag in known or known == ["*"]:
        return Response(status_code=304, headers=headers)
    if packs:
        headers["content-encoding"] = "gzip"
    path = await to_thread.run_sync(file.pack) if packs else file.path
    return FileResponse(path, media_type=file.media_type, headers=headers)


def takes_gzip(accepted: str) -> bool:
    """Whether an `Accept-Encoding` allows gzip (RFC 9110, 12.5.3); weight 0 forbids it."""
    for one in accepted.lower().split(","):
        coding, *rest = (p.strip() for p in one.split(";"))
        if coding == "gzip":
            return not any(p.startswith("q=0") and not p.strip("q=0.") for p in rest)
    return False


def _check_first(send: Send) -> Send:
    """A `send` that has pages without a rule of their own checked at every visit."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = message["headers"]
            if not any(name.lower() == b"cache-control" for name, _ in headers):
                message = {**message, "headers": [*headers, (b"cache-control", CHECK_FIRST.encode())]}
        await send(message)

    return sending
