"""The client's files: packed, checked, and only those that are meant. No browser."""

import asyncio
import gzip
import threading

import httpx
import pytest

from intake.app.static_files import LARGEST, StaticFiles, pack_largest, takes_gzip, web_files

TEXT = b"let resin = 1;\n" * 500


@pytest.fixture
def web(tmp_path):
    """Two folders as they are served: ours before the stock one."""
    ours, stock = tmp_path / "ours", tmp_path / "stock"
    for folder in (ours, stock, stock / "pyodide", stock / "canvaskit", tmp_path / "packed"):
        folder.mkdir(exist_ok=True)
    (ours / "app.js").write_bytes(TEXT)
    for name in ("app.js", "index.html", "pyodide/python.wasm", "canvaskit/x.wasm", "dot.png", "odd.bin"):
        (stock / name).write_bytes(b"stock " + TEXT)
    (tmp_path / "secret.txt").write_text("secret")
    return tmp_path


@pytest.fixture
def files(web):
    return web_files((web / "ours", web / "stock"), web / "packed")


@pytest.fixture
def ask(files):
    async def behind(scope, receive, send):
        await send({"type": "http.response.start", "status": 200, "headers": [(b"x-behind", b"1")]})
        await send({"type": "http.response.body", "body": b"behind"})

    def _ask(path, method="GET", **headers):
        async def asking():
            way = httpx.ASGITransport(app=StaticFiles(behind, files))
            async with httpx.AsyncClient(transport=way, base_url="http://127.0.0.1") as client:
                shown = {
                    "accept-encoding": "identity",
                    **{n.replace("_", "-"): v for n, v in headers.items()},
                }
                return await client.request(method, path, headers=shown)

        return asyncio.run(asking())

    return _ask


def test_a_file_comes_packed_to_who_unpacks_and_plain_to_who_does_not(ask):
    packed, plain = ask("/app.js", accept_encoding="gzip, br"), ask("/app.js")
    assert packed.content == plain.content == TEXT
    assert packed.headers["content-encoding"] == "gzip"
    assert int(packed.headers["content-length"]) < len(TEXT) / 10
    assert "content-encoding" not in plain.headers
    assert packed.headers["etag"] != plain.headers["etag"]
    assert packed.headers["vary"] == plain.headers["vary"] == "accept-encoding"


@pytest.mark.parametrize("encoding", ["gzip", "identity"])
def test_a_browser_that_has_the_file_gets_only_its_tag(ask, encoding):
    first = ask("/app.js", accept_encoding=encoding)
    again = ask("/app.js", accept_encoding=encoding, if_none_match=f'"other", W/{first.headers["etag"]}')
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["etag"] == first.headers["etag"]
    assert first.headers["cache-control"] == "no-cache"


def test_a_file_that_changed_comes_anew(ask, web):
    before = ask("/app.js").headers["etag"]
    (web / "ours" / "app.js").write_bytes(TEXT * 2)
    now = web_files((web / "ours",), web / "packed")["/app.js"].etag
    assert f'"{now}"' != before


@pytest.mark.parametrize(("path", "kind"), [
    ("/app.js", "text/javascript"), ("/canvaskit/x.wasm", "application/wasm"), ("/dot.png", "image/png"),
    ("/odd.bin", "application/octet-stream"),
])  # fmt: skip
def test_every_file_says_what_it_is_and_stays_isolated(ask, path, kind):
    got = ask(path)
    assert got.headers["content-type"].startswith(kind)
    assert got.headers["cross-origin-embedder-policy"] == "require-corp"


@pytest.mark.parametrize(
    "path",
    ["/index.html", "/pyodide/python.wasm", "/../secret.txt", "/%2e%2e/secret.txt", "/packed/app.js.gz", "/"],
)
def test_what_is_no_file_of_the_client_goes_to_who_stands_behind(ask, path):
    got = ask(path)
    assert got.headers["x-behind"] == "1"
    assert got.headers["cache-control"] == "no-cache"


def test_a_picture_is_not_packed_again(ask):
    assert "content-encoding" not in ask("/dot.png", accept_encoding="gzip").headers


def test_only_reading_is_answered(ask):
    assert ask("/app.js", "POST").content == b"behind"
    head = ask("/app.js", "HEAD")
    assert (head.content, head.headers["content-length"]) == (b"", str(len(TEXT)))


def test_many_who_want_a_file_at_once_pack_it_once(files, monkeypatch):
    opened = []
    real = gzip.open
    monkeypatch.setattr(gzip, "open", lambda *how: (opened.append(1), real(*how))[1])
    threads = [threading.Thread(target=files["/app.js"].pack) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert opened == [1]
    assert gzip.decompress(files["/app.js"].pack().read_bytes()) == TEXT


def test_the_largest_are_packed_beforehand_and_a_folder_that_is_gone_ends_it_quietly(web):
    (web / "stock" / "main.dart.wasm").write_bytes(TEXT)
    assert "/main.dart.wasm" in LARGEST
    pack_largest(web_files((web / "stock",), web / "packed")).join(10)
    assert len(list((web / "packed").iterdir())) == 1
    thread = pack_largest(web_files((web / "stock",), web / "gone"))
    thread.join(10)
    assert not thread.is_alive()


@pytest.mark.parametrize(("accepted", "takes"), [
    ("gzip", True), ("br, GZIP;q=0.5", True), ("gzip;q=0", False), ("gzip; q=0.000", False), ("br", False),
    ("", False),     ("gzip;q=1", True), ("gzip;q=0.001", True), ("xgzip", False),
])  # fmt: skip
def test_what_a_browser_unpacks_is_read_as_it_was_meant(accepted, takes):
    """Outside: RFC 9110, 12.5.3 and 12.4.2 (from memory)."""
    assert takes_gzip(accepted) is takes


def test_what_is_packed_below_the_pages_is_no_page_itself(tmp_path):
    ours = tmp_path / "ours"
    (ours / "packed").mkdir(parents=True)
    (ours / "app.js").write_bytes(TEXT)
    (ours / "packed" / "%2Fapp.js.gz.half").write_bytes(TEXT)
    assert list(web_files((ours,), ours / "packed")) == ["/app.js"]
