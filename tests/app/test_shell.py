"""Everything around the screens: sessions, guards, the first screen, the server. No browser."""

import asyncio
import logging
import re

import flet as ft
import httpx
import pytest
from app.harness import Harness, said
from app.sample import BrokenDesk, open_sample, sample_desk
from PIL import Image

from intake.app.download import Download
from intake.app.guards import safe_component, safe_handler
from intake.app.icon import ICONS, icon, write_icons
from intake.app.main import address, session_main
from intake.app.root import Root
from intake.app.server import bound_socket, hosts_of, web_app
from intake.app.session import Hub, Shared, use_shared, use_version
from intake.app.shield import HEADERS
from intake.app.webpage import index_page, write_webpage
from intake.desk.decide import decide
from intake.desk.observe import add_mark
from intake.desk.receive import receive
from intake.errors import BadInput, HandbookGap, UnknownName
from intake.handbook.locate import resources
from intake.words import Words, catalogue

WORDS = catalogue(resources() / "words")
WEB = resources() / "web"


def shared(desk=None):
    return Shared(desk=desk or sample_desk(), words=WORDS)


def run(coroutine):
    return asyncio.run(coroutine)


# sessions


def test_a_change_reaches_every_phone_also_one_that_slept(tmp_path):
    def refuse(desk):
        item = receive(desk, "blister pack")
        add_mark(desk, item, "3 PVC")
        decide(desk, item)

    async def go(desk):
        both = shared(desk)
        async with (
            Harness(None, setup=session_main(both)) as one,
            Harness(None, setup=session_main(both)) as two,
        ):
            await both.act(refuse, desk)
            await one.settle()
            assert "0 held, 1 refused" in one.texts()
            assert "0 held, 1 refused" in two.texts()
            await two.sleep_and_wake(lambda: (refuse(desk), both.hub.publish()))
            assert "0 held, 2 refused" in two.texts()
            assert one.crashes == two.crashes == []

    with open_sample(tmp_path / "l") as desk:
        run(go(desk))


def test_who_left_is_not_told_any_more():
    async def go():
        hub, got = Hub(), []
        leave = hub.subscribe(lambda: got.append(1))
        hub.publish()
        await asyncio.sleep(0)
        leave()
        leave()
        hub.publish()
        await asyncio.sleep(0)
        assert got == [1]
        assert len(hub) == 0

    run(go())


def test_a_session_whose_loop_is_gone_is_forgotten():
    hub = Hub()

    async def go():
        hub.subscribe(print)

    run(go())
    hub.publish()
    assert len(hub) == 0


def test_closing_a_session_unsubscribes_it():
    both = shared()

    async def go():
        async with Harness(None, setup=session_main(both)):
            assert len(both.hub) == 1
        await asyncio.sleep(0.02)
        assert len(both.hub) == 0

    run(go())


@pytest.mark.parametrize(("fails", "published"), [(False, 1), (True, 0)])
def test_an_act_is_published_when_it_was_done_and_only_then(fails, published):
    both, got = shared(), []

    def act(value):
        if fails:
            raise BadInput(where="Mass", got="x", expected="a mass")
        return value

    async def go():
        both.hub.subscribe(lambda: got.append(1))
        try:
            assert await both.act(act, 7) == 7
        except BadInput:
            assert fails
        await asyncio.sleep(0)
        assert len(got) == published

    run(go())


def test_a_screen_outside_the_root_says_so():
    @safe_component
    def Lost():  # noqa: N802
        use_shared()

    async def go():
        async with Harness(Lost) as phone:
            assert "app.error.not_shown" in phone.texts()

    run(go())


# guards


def test_a_fault_in_a_draw_is_a_sentence_and_the_session_goes_on(caplog):
    @safe_component
    def Shaky():  # noqa: N802
        n, set_n = ft.use_state(0)
        button = ft.Button("add", on_click=lambda: set_n(lambda v: v + 1))
        if n == 1:
            Shaky.button = button
            raise KeyError("secret path")
        return ft.Column([ft.Text(f"n={n}"), button])

    async def go():
        async with Harness(Shaky) as phone:
            add = phone.find(ft.Button)
            await phone.click(add)
            assert "app.error.not_shown" in phone.texts()
            assert "secret path" not in phone.texts()
            add.on_click()
            await phone.settle()
            assert "n=2" in phone.texts()
            assert phone.crashes == []

    with caplog.at_level(logging.ERROR, logger="intake.app"):
        run(go())
    assert "could not show" in caplog.text


async def _async_fault():
    raise KeyError("secret path")


def _fault():
    raise KeyError("secret path")


def _bad_input(_event):
    raise BadInput(where="Mass", got="-3 g", expected="a mass above 0 g")


@pytest.mark.parametrize(
    ("handler", "said_at_foot"),
    [
        pytest.param(_fault, WORDS("app.error.not_done"), id="plain"),
        pytest.param(_async_fault, WORDS("app.error.not_done"), id="async"),
        pytest.param(
            _bad_input,
            "Mass: cannot use '-3 g'. Expected a mass above 0 g. Nothing was saved.",
            id="bad input",
        ),
    ],
)
def test_a_fault_in_a_handler_is_a_sentence_and_the_screen_stays(handler, said_at_foot):
    @safe_component
    def Screen():  # noqa: N802
        return ft.Column([ft.Text("still here"), ft.Button("go", on_click=safe_handler(WORDS, handler))])

    async def go():
        async with Harness(Screen) as phone:
            await phone.click(phone.find(ft.Button))
            assert said_at_foot in phone.texts()
            assert "still here" in phone.texts()
            assert "secret path" not in phone.texts()
            assert phone.crashes == []

    run(go())


@pytest.mark.parametrize(
    ("make", "wanted"),
    [
        pytest.param(lambda got: lambda event: got.append(event), "tap", id="one place: the event"),  # noqa: PLW0108
        pytest.param(lambda got: lambda: got.append(None), None, id="no place: nothing"),
        pytest.param(lambda got: lambda value=7: got.append(value), 7, id="a default is kept"),
    ],
)
def test_a_handler_gets_the_event_where_it_has_a_place_for_it(make, wanted):
    got = []
    run(safe_handler(WORDS, make(got))("tap"))
    assert got == [wanted]


def test_a_desk_that_cannot_show_leaves_a_sentence():
    async def go():
        async with Harness(Root, shared(BrokenDesk()), views=True) as phone:
            assert WORDS("app.error.not_shown") in phone.texts()
            assert "secret path" not in phone.texts()
            assert phone.crashes == []

    run(go())


# places


def test_an_unknown_address_leads_home():
    async def go():
        async with Harness(Root, shared(), views=True, route="/nothing/here") as phone:
            assert "There is nothing at this address" in phone.texts()
            await phone.click(phone.find(ft.FilledButton, "Go to today"))
            assert phone.page.route == "/"
            assert "Quayside table" in phone.texts()

    run(go())


@pytest.mark.parametrize("width", [360, 800, 1280])
def test_home_stands_at_every_width_and_after_turning_the_phone(width):
    async def go():
        async with Harness(Root, shared(), views=True, width=width) as phone:
            assert "Quayside table" in phone.texts()
            await phone.resize(1400)
            assert "Quayside table" in phone.texts()
            assert phone.all(ft.VerticalDivider)
            assert phone.crashes == []

    run(go())


def test_every_control_to_press_has_a_name():
    async def go():
        async with Harness(Root, shared(), views=True) as phone:
            buttons = [
                c for c in phone.shown() if isinstance(c, (ft.Button, ft.OutlinedButton, ft.IconButton))
            ]
            assert buttons
            assert all(said(b) for b in buttons)

    run(go())


# words


def keys_used():
    files = (resources().parent / "intake" / "app").rglob("*.py")
    return {k for f in files for k in re.findall(r'"(app\.[a-z_.]+[a-z])"', f.read_text())}


@pytest.mark.parametrize("key", sorted(keys_used()))
def test_every_key_the_app_uses_has_a_sentence(key):
    assert WORDS(key) != key


def test_no_sentence_of_the_app_shouts():
    assert [k for k, t in WORDS.texts.items() if k.startswith("app.") and "!" in t] == []


# the web page


STOCK = '<meta charset="UTF-8"><!-- fletAppConfig --><div id="loading"><img src="a"></div>'


def test_the_page_is_ours_and_keeps_the_place_flet_fills(tmp_path):
    write_webpage(WEB, tmp_path, WORDS)
    page = (tmp_path / "index.html").read_text()
    assert "<!-- fletAppConfig -->" in page
    assert "<span>Resin Intake</span>" in page
    assert page.count('id="loading"') == 1
    assert "loading-animation" not in page
    assert "{" + "title}" not in page


@pytest.mark.parametrize("gone", ['<meta charset="UTF-8">', "<!-- fletAppConfig -->", 'id="loading"'])
def test_a_page_without_our_places_is_refused(gone):
    with pytest.raises(HandbookGap, match="flet_web"):
        index_page(STOCK.replace(gone, ""), WEB, WORDS)


def test_words_cannot_break_the_page():
    nasty = Words("xx", {"app.title": "<script>alert(1)</script>"})
    assert "<script>alert" not in index_page(STOCK, WEB, nasty)


def test_every_icon_is_written_at_its_size(tmp_path):
    write_icons(tmp_path)
    for name, (side, _) in ICONS.items():
        with Image.open(tmp_path / name) as image:
            assert image.size == (side, side), name


def test_an_icon_that_phones_cut_to_shape_fills_its_square():
    assert icon(rounded=False).getpixel((0, 0))[3] == 255
    assert icon(rounded=True).getpixel((0, 0))[3] == 0


# the server


def label(name):
    if name == "closed":
        raise BadInput(where="Bin", got=name, expected="an open bin")
    if name != "H-1":
        raise UnknownName(where="Bin", got=name, known=["H-1"])
    return Download(data=b"%PDF", media_type="application/pdf", filename='H-1 "ü".pdf')


def broken(_name):
    raise KeyError("secret path")


class Client:
    """Asks the ASGI app itself: pages through httpx, sockets by hand."""

    def __init__(self, app):
        self.app = app

    def get(self, path, headers=None):
        async def ask():
            way = httpx.ASGITransport(app=self.app, raise_app_exceptions=False)
            async with httpx.AsyncClient(transport=way, base_url="http://127.0.0.1") as client:
                return await client.get(path, headers=headers)

        return run(ask())

    def socket(self, origin, host="127.0.0.1:8550"):
        """The first thing the server says to a socket opened by a page of `origin`."""
        headers = [(b"host", host.encode()), *([(b"origin", origin.encode())] if origin else [])]
        scope = {
            "type": "websocket", "path": "/ws", "raw_path": b"/ws", "root_path": "", "query_string": b"",
            "scheme": "ws", "headers": headers, "subprotocols": [], "client": ("127.0.0.1", 1), "server": None,
        }  # fmt: skip

        async def ask():
            answers = asyncio.Queue()
            asked = asyncio.create_task(self.app(scope, connect, lambda m: answers.put(m)))  # noqa: PLW0108
            answer = await asyncio.wait_for(answers.get(), 5)
            asked.cancel()
            await asyncio.gather(asked, return_exceptions=True)
            return answer["type"]

        async def connect():
            await asyncio.sleep(0)
            return {"type": "websocket.connect"}

        return run(ask())


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web")
    write_webpage(WEB, folder, WORDS)
    downloads = {"label": label, "broken": broken}
    return Client(web_app(session_main(shared()), folder, WORDS, downloads, hosts=hosts_of("127.0.0.1")))


def test_the_server_says_that_it_is_well(client):
    assert client.get("/health").json()["ok"] is True


def test_a_download_comes_as_a_file_with_a_safe_name(client):
    got = client.get("/download/label/H-1")
    assert (got.status_code, got.content, got.headers["content-type"]) == (200, b"%PDF", "application/pdf")
    assert got.headers["content-disposition"] == "attachment; filename*=UTF-8''H-1%20%22%C3%BC%22.pdf"


@pytest.mark.parametrize(
    ("path", "status", "text"),
    [
        ("/download/label/H-9", 404, "H-1"),
        ("/download/label/closed", 409, "an open bin"),
        ("/download/nothing/H-1", 404, "There is no such file."),
        ("/download/broken/H-1", 500, "nothing was changed"),
    ],
)
def test_a_failed_download_is_a_sentence_without_a_trace(client, path, status, text):
    got = client.get(path)
    assert got.status_code == status
    assert text in got.text
    assert "secret path" not in got.text
    assert "Traceback" not in got.text


@pytest.mark.parametrize(
    "path", ["/", "/health", "/docs", "/main.dart.js", "/nothing", "/download/label/H-1"]
)
def test_every_answer_carries_the_headers_that_protect_it(client, path):
    got = client.get(path)
    assert {n.decode() for n, _ in HEADERS} <= set(got.headers)
    assert "access-control-allow-origin" not in got.headers
    assert "server" not in got.headers


@pytest.mark.parametrize(
    "path", ["/docs", "/redoc", "/openapi.json", "/oauth_callback", "/docs/oauth2-redirect"]
)
def test_doors_nobody_needs_are_shut(client, path):
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    "path", ["/../pyproject.toml", "/%2e%2e/%2e%2e/etc/passwd", "/download/label/..%2f..%2fx"]
)
def test_no_file_outside_is_handed_out(client, path):
    got = client.get(path)
    assert "root:" not in got.text
    assert "[project]" not in got.text


@pytest.mark.parametrize(
    ("host", "status"),
    [("127.0.0.1:8550", 200), ("localhost", 200), ("[::1]:8550", 200), ("table.example", 421), ("", 421)],
)
def test_a_loopback_server_answers_only_to_its_own_names(client, host, status):
    assert client.get("/health", headers={"host": host}).status_code == status


@pytest.mark.parametrize("origin", ["http://table.example", "http://127.0.0.1:1", "null"])
def test_a_strange_page_cannot_open_a_socket(client, origin):
    assert client.socket(origin) == "websocket.close"


@pytest.mark.parametrize("origin", ["http://127.0.0.1:8550", ""])
def test_our_own_page_can_open_a_socket(client, origin):
    assert client.socket(origin) == "websocket.accept"


def test_a_socket_by_a_strange_name_is_refused(client):
    assert client.socket("http://table.example", host="table.example") == "websocket.close"


@pytest.mark.parametrize(
    ("host", "names"),
    [
        ("127.0.0.1", ("127.0.0.1", "localhost", "::1")),
        ("192.168.1.7", ("127.0.0.1", "localhost", "::1", "192.168.1.7")),
        ("0.0.0.0", ()),
    ],
)
def test_a_server_answers_to_the_names_of_its_address(host, names):
    assert hosts_of(host) == names


def test_a_taken_port_is_a_sentence():
    with bound_socket("127.0.0.1", 0) as held:
        held.listen()
        port = held.getsockname()[1]
        with pytest.raises(BadInput, match=f"127.0.0.1:{port}"):
            bound_socket("127.0.0.1", port)


@pytest.mark.parametrize(
    ("host", "port"), [("127.0.0.1", -1), ("127.0.0.1", 70000), ("203.0.113.1", 8550), ("no host", 1)]
)
def test_an_address_that_cannot_be_is_a_sentence(host, port):
    with pytest.raises(BadInput, match=r"cannot use"):
        bound_socket(host, port)


@pytest.mark.parametrize(
    ("host", "url"), [("127.0.0.1", "http://127.0.0.1:8550"), ("::1", "http://[::1]:8550")]
)
def test_the_address_can_be_typed(host, url):
    assert address(host, 8550) == url


def test_the_version_hook_counts():
    seen = []
    both = shared()

    @ft.component
    def Counting():  # noqa: N802
        seen.append(use_version(both.hub))
        return ft.Text("x")

    async def go():
        async with Harness(Counting) as phone:
            both.hub.publish()
            await phone.settle()
            both.hub.publish()
            await phone.settle()

    run(go())
    assert seen == [0, 1, 2]
