"""A photo of labels sent from the phone: what it opens, what it is told, and that nothing else can be sent."""

import asyncio
import io

import flet as ft
import httpx
import pytest
import qrcode
from app.harness import Harness
from app.sample import sample_desk
from app.test_lots import WORDS
from app.test_shell import Client, shared
from PIL import Image

from intake.app.main import session_main
from intake.app.photo import MOST_BYTES
from intake.app.press import SETTLE_S
from intake.app.root import Root
from intake.app.server import hosts_of, web_app
from intake.app.session import Shared
from intake.desk.labels import tag_png


def png(text):
    out = io.BytesIO()
    qrcode.make(text).get_image().save(out, "PNG")
    return out.getvalue()


def blank():
    out = io.BytesIO()
    Image.new("L", (200, 200), 255).save(out, "PNG")
    return out.getvalue()


def send(folder, data, *, name="IMG 1.png", size=None, error=None):
    """Pick a photo and have it arrive as the server would store it: the address, the words, what was stored."""
    names, out = [], {}

    def sign(stored, _seconds):
        names.append(stored)
        return f"/upload?f={stored}"

    async def go():
        table = Shared(desk=sample_desk(), words=WORDS, uploads=folder)
        async with Harness(Root, table, views=True, route="/find") as phone:
            await asyncio.sleep(SETTLE_S)
            phone.line.get_upload_url = sign
            picker = phone.find(ft.OutlinedButton, "Photograph the label").action.file_picker
            picked = {"id": 1, "name": name, "size": len(data) if size is None else size}
            await phone.event(picker, "result", {"files": [picked]})
            if names:
                (folder / names[0]).write_bytes(data)
                told = {"file_name": name, "progress": None if error else 1.0, "error": error}
                await phone.event(picker, "upload", told)
            for _ in range(400):
                if WORDS("app.scan.reading") not in phone.texts():
                    break
                await phone.settle()
            assert phone.crashes == []
            out.update(route=phone.page.route, texts=phone.texts())

    asyncio.run(go())
    return names, out


def test_the_tag_of_a_bin_opens_the_bin_and_the_photo_is_gone(tmp_path):
    names, out = send(tmp_path, tag_png(sample_desk(), "QT-02", WORDS))
    assert out["route"] == "/bins/QT-02"
    assert len(names[0]) == 32
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("data", "told"),
    [
        pytest.param(png("https://example.org/"), None, id="a foreign code"),
        pytest.param(blank(), "No label of ours is in this photo", id="no code"),
        pytest.param(b"%PDF-1.4 not a picture", "a picture, JPEG or PNG", id="no picture"),
        pytest.param(b"\0\0\0\x18ftypheic" + bytes(40), "HEIC", id="HEIC"),
        pytest.param(tag_png(sample_desk(), "QT-02", WORDS)[:2000], "cut short or damaged", id="cut short"),
    ],
)
def test_what_cannot_be_opened_is_told_and_stays_here(tmp_path, data, told):
    _, out = send(tmp_path, data)
    assert out["route"] == "/find"
    assert (told or WORDS("reason.scan_foreign")) in out["texts"]
    assert "example.org" not in out["texts"]
    assert list(tmp_path.iterdir()) == []


def test_a_photo_that_is_too_large_is_not_sent(tmp_path):
    names, out = send(tmp_path, b"", size=MOST_BYTES + 1)
    assert names == []
    assert "IMG 1.png is too large" in out["texts"]


def test_a_photo_that_did_not_arrive_is_told_and_removed(tmp_path):
    _, out = send(tmp_path, b"", error="413")
    assert "did not arrive" in out["texts"]
    assert list(tmp_path.iterdir()) == []


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    page, photos = tmp_path_factory.mktemp("web"), tmp_path_factory.mktemp("photos")
    app = web_app(session_main(shared()), page, WORDS, {}, hosts=hosts_of("127.0.0.1"), uploads=photos)
    return Client(app), photos


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/upload", 400),
        ("/upload?f=x&e=2999-01-01T00:00:00%2B00:00&s=00", 403),
        ("/upload?f=../x&e=2999-01-01T00:00:00%2B00:00&s=00", 403),
        ("/upload/x", 405),
    ],
)
def test_nothing_is_stored_without_a_signed_address(client, path, status):
    web, photos = client

    async def put():
        way = httpx.ASGITransport(app=web.app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=way, base_url="http://127.0.0.1") as sender:
            return await sender.put(path, content=b"x")

    assert asyncio.run(put()).status_code == status
    assert list(photos.iterdir()) == []
