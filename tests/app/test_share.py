"""A shared table: the code, the lock, the cookie, what is refused. No browser; nothing leaves the process."""

import asyncio
import io
import re

import flet as ft
import httpx
import pytest
import zxingcpp
from app.harness import Harness
from app.sample import sample_desk
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from intake.app import door as doors
from intake.app.door import CODE_MS, DEVICE, DEVICE_MS, WINDOW_MS, Answer, Door, plain_name
from intake.app.gate import COOKIE
from intake.app.join_page import join_page
from intake.app.main import bound_sockets
from intake.app.root import Root
from intake.app.screens.join import symbol_png
from intake.app.server import hosts_of, web_app
from intake.app.session import Shared
from intake.app.share import (
    address_towards,
    chosen_address,
    here_url,
    is_loopback,
    join_url,
    own_addresses,
    terminal_qr,
)  # fmt: skip
from intake.app.shield import HEADERS
from intake.app.webpage import write_webpage
from intake.errors import BadInput
from intake.handbook.locate import resources
from intake.words import catalogue

WORDS = catalogue(resources() / "words")
WEB = resources() / "web"
LAN = "192.168.1.7:8550"
PHONE, OTHER = "192.168.1.20", "192.168.1.21"
PAGE = {"accept": "text/html"}


class Wall:
    """A clock that a test moves."""

    def __init__(self):
        self.ms = 1_700_000_000_000

    def __call__(self):
        return self.ms


@pytest.fixture
def clock():
    return Wall()


@pytest.fixture
def door(clock):
    return Door(clock)


def wrong(door):
    return f"{(int(door.code) + 1) % 10**6:06}"


# the door


def test_the_code_is_six_digits_and_new_at_every_start():
    codes = {Door().code for _ in range(20)}
    assert all(re.fullmatch(r"[0-9]{6}", c) for c in codes)
    assert len(codes) > 15


@pytest.mark.parametrize(("before", "between"), [("", ""), ("  ", ""), ("", " "), ("\t", "-")])
def test_the_code_lets_in_however_it_is_spaced(door, before, between):
    answer, token = door.come_in(before + door.code[:3] + between + door.code[3:], PHONE, "A. B.")
    assert answer is Answer.JOINED
    assert door.device_of(token).name == "A B"
    assert door.joined == 1


@pytest.mark.parametrize("typed", ["", "12345", "1234567", "einszwei", "١٢٣٤٥٦", "\x00" * 6, "9" * 900])
def test_anything_else_does_not(door, typed):
    assert door.come_in(typed, PHONE) == (Answer.WRONG, "")
    assert door.joined == 0


@given(st.text(max_size=20))
@settings(max_examples=60)
def test_no_text_but_the_code_lets_in(text):
    door = Door()
    answer, _ = door.come_in(text, PHONE)
    assert (answer is Answer.JOINED) == (re.sub(r"[\s-]", "", text) == door.code)


def test_five_wrong_codes_lock_one_address_also_for_the_right_code_and_nobody_else(door, clock):
    for _ in range(doors.WRONG_BY_ADDRESS):
        assert door.come_in(wrong(door), PHONE)[0] is Answer.WRONG
    assert door.come_in(door.code, PHONE)[0] is Answer.LOCKED
    assert door.come_in(door.code, OTHER)[0] is Answer.JOINED
    clock.ms += WINDOW_MS + 1
    assert door.come_in(door.code, PHONE)[0] is Answer.JOINED


def test_wrong_codes_from_many_addresses_lock_everybody_out_for_a_while(door, clock):
    _, token = door.come_in(door.code, OTHER)
    for n in range(doors.WRONG_BY_ALL):
        assert door.come_in(wrong(door), f"10.0.0.{n}")[0] is Answer.WRONG
    assert door.come_in(door.code, PHONE)[0] is Answer.LOCKED
    assert door.device_of(token) is not None
    clock.ms += WINDOW_MS + 1
    assert door.come_in(door.code, PHONE)[0] is Answer.JOINED


def test_a_code_that_was_guessed_at_too_often_is_used_up(door, clock):
    for n in range(doors.WRONG_BY_CODE):
        assert door.come_in(wrong(door), f"10.0.{n}.1")[0] is Answer.WRONG
        clock.ms += WINDOW_MS if n % 25 == 24 else 0
    assert door.expired
    assert door.come_in(door.code, PHONE)[0] is Answer.EXPIRED
    door.new_code()
    assert door.come_in(door.code, PHONE)[0] is Answer.JOINED


@pytest.mark.parametrize(("later", "answer"), [(CODE_MS - 1, Answer.JOINED), (CODE_MS, Answer.EXPIRED)])
def test_a_code_lasts_half_a_day(door, clock, later, answer):
    clock.ms += later
    assert door.come_in(door.code, PHONE)[0] is answer


def test_a_device_stays_in_for_a_day(door, clock):
    _, token = door.come_in(door.code, PHONE)
    clock.ms += DEVICE_MS - 1
    assert door.device_of(token) is not None
    clock.ms += 1
    assert door.device_of(token) is None
    assert door.joined == 0


def test_a_new_code_sends_out_all_but_the_one_who_made_it(door):
    (_, mine), (_, other) = door.come_in(door.code, PHONE), door.come_in(door.code, OTHER)
    me, them = door.device_of(mine), door.device_of(other)
    old = door.code
    door.new_code(keep=me)
    assert door.device_of(mine) is me
    assert door.device_of(other) is None
    assert (me.over.is_set(), them.over.is_set()) == (False, True)
    assert door.joined == 1
    assert door.code != old or door.come_in(old, PHONE)[0] is Answer.JOINED  # one in a million draws it again


def test_no_more_devices_than_a_table_has(door):
    for _ in range(doors.MAX_DEVICES):
        door.come_in(door.code, PHONE)
    assert door.come_in(door.code, PHONE) == (Answer.FULL, "")


@pytest.mark.parametrize("forge", [
    lambda t: t[:0], lambda t: t[32], lambda t: t.split(".")[0], lambda t: t.split(".")[0] + ".", lambda t: t[:-1],
    lambda t: t + "0", lambda t: t.upper(), lambda t: "0" * 32 + t[32:], lambda t: "ü." + t.split(".")[1],
])  # fmt: skip
def test_a_forged_token_is_nobodys(door, forge):
    _, token = door.come_in(door.code, PHONE)
    assert door.device_of(forge(token)) is None


def test_a_token_of_another_start_is_nobodys(door):
    _, token = door.come_in(door.code, PHONE)
    assert Door().device_of(token) is None


@pytest.mark.parametrize(("typed", "kept"), [
    ("", ""), ("  A.B. ", "A B"), ("<script>", "script"), ("x" * 99, "x" * 20), ("Zoë 2", "Zoë 2"),
    ("a\r\nb: c", "a b c"),
])  # fmt: skip
def test_a_name_is_letters_and_digits(typed, kept):
    assert plain_name(typed) == kept


# the gate, over the whole server


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("web")
    write_webpage(WEB, made, WORDS)
    return made


@pytest.fixture
def app(door, folder, monkeypatch):
    monkeypatch.setattr("intake.app.server.pack_largest", lambda _: None)  # packing has its own tests

    def main(page):
        page.add(ft.Text("in"))

    def broken(_name):
        raise KeyError("secret path")

    return web_app(main, folder, WORDS, {"broken": broken}, hosts=hosts_of("192.168.1.7"), door=door)


def ask(app, method, path, *, cookie="", client=PHONE, headers=None, **how):
    async def asking():
        way = httpx.ASGITransport(app=app, raise_app_exceptions=False, client=(client, 1))
        shown = {"host": LAN, **({"cookie": f"{COOKIE}={cookie}"} if cookie else {}), **(headers or {})}
        async with httpx.AsyncClient(transport=way, base_url=f"http://{LAN}") as http:
            return await http.request(method, path, headers=shown, **how)

    return asyncio.run(asking())


def join(app, door, **how):
    got = ask(app, "POST", "/enter", data={"code": door.code, "name": "Ann"}, **how)
    return got, got.cookies.get(COOKIE, "")


def test_the_code_gives_a_cookie_that_scripts_and_other_pages_cannot_use(app, door):
    got, token = join(app, door)
    assert (got.status_code, got.headers["location"]) == (303, "/")
    kept = got.headers["set-cookie"].lower()
    assert all(
        part in kept for part in ("httponly", "samesite=strict", "path=/", f"max-age={DEVICE_MS // 1000}")
    )
    assert ask(app, "GET", "/health", cookie=token).json()["ok"] is True
    assert ask(app, "GET", "/enter", cookie=token).headers["location"] == "/"


@pytest.mark.parametrize("path", ["/", "/bins/H-1", "/item", "/nothing"])
def test_a_page_without_the_cookie_leads_to_the_code(app, path):
    got = ask(app, "GET", path, headers=PAGE)
    assert (got.status_code, got.headers["location"]) == (303, "/enter")


@pytest.mark.parametrize(
    "path",
    [
        "/health",
        "/main.dart.js",
        "/index.html",
        "/manifest.json",
        "/download/tag/H-1.pdf",
        "/favicon.png",
    ],
)
def test_nothing_is_handed_out_without_the_cookie(app, path):
    got = ask(app, "GET", path)
    assert (got.status_code, got.content) == (401, b"")


def test_a_wrong_code_is_a_sentence_and_no_cookie(app, door):
    got = ask(app, "POST", "/enter", data={"code": wrong(door)})
    assert got.status_code == 403
    assert WORDS("share.enter.wrong") in got.text
    assert "set-cookie" not in got.headers
    assert door.code not in got.text


def test_a_locked_out_phone_is_told_how_long(app, door):
    for _ in range(doors.WRONG_BY_ADDRESS):
        ask(app, "POST", "/enter", data={"code": wrong(door)})
    got = ask(app, "POST", "/enter", data={"code": door.code})
    assert (got.status_code, got.headers["retry-after"]) == (429, str(WINDOW_MS // 1000))
    assert join(app, door, client=OTHER)[0].status_code == 303


def test_an_address_that_a_header_claims_does_not_count(app, door):
    for n in range(doors.WRONG_BY_ADDRESS):
        ask(app, "POST", "/enter", data={"code": wrong(door)}, headers={"x-forwarded-for": f"10.0.0.{n}"})
    assert join(app, door)[0].status_code == 429


@pytest.mark.parametrize("body", [b"", b"\xff\xfe", b"code", b"&" * 900, b"code=%00%ff"])
def test_a_broken_form_is_a_wrong_code(app, body):
    assert ask(app, "POST", "/enter", content=body).status_code == 403


def test_a_long_form_is_refused(app):
    assert ask(app, "POST", "/enter", content=b"code=" + b"1" * 2000).status_code == 413


@pytest.mark.parametrize("origin", ["http://table.example", "null", "http://192.168.1.7:1", "http://["])
def test_a_strange_page_cannot_send_a_code(app, door, origin):
    assert join(app, door, headers={"origin": origin})[0].status_code == 403
    assert door.joined == 0


def test_our_own_page_can(app, door):
    assert join(app, door, headers={"origin": f"http://{LAN}"})[0].status_code == 303


@pytest.mark.parametrize(("host", "status"), [
    (LAN, 200), ("127.0.0.1:8550", 200), ("localhost:8550", 200), ("table.example", 421), ("192.168.1.8", 421),
])  # fmt: skip
def test_a_shared_table_answers_to_its_address_only(app, door, host, status):
    _, token = join(app, door)
    assert ask(app, "GET", "/health", cookie=token, headers={"host": host}).status_code == status


@pytest.mark.parametrize(("method", "path"), [
    ("PUT", "/upload"), ("POST", "/upload"), ("PUT", "/x"), ("POST", "/"), ("DELETE", "/enter"), ("POST", "/ws"),
])  # fmt: skip
def test_nothing_can_be_sent_but_the_code(app, door, method, path):
    _, token = join(app, door)
    assert ask(app, method, path, cookie=token, content=b"x").status_code in {404, 405}


@pytest.mark.parametrize(("method", "path", "inside"), [
    ("GET", "/enter", False), ("POST", "/enter", False), ("GET", "/", False), ("GET", "/health", False),
    ("GET", "/", True), ("GET", "/main.dart.js", True), ("GET", "/nothing.js", True),
    ("GET", "/download/broken/x", True), ("PUT", "/upload", True), ("GET", "/docs", True), ("GET", "/%00", True),
])  # fmt: skip
def test_every_answer_is_protected_and_tells_no_path(app, door, method, path, inside):
    cookie = join(app, door)[1] if inside else ""
    got = ask(app, method, path, cookie=cookie)
    assert {n.decode() for n, _ in HEADERS} <= set(got.headers)
    assert "access-control-allow-origin" not in got.headers
    if "javascript" not in got.headers.get("content-type", ""):
        assert not re.search(r"secret path|Traceback|site-packages|line [0-9]", got.text)
        assert str(resources()) not in got.text


# sockets


def socket(app, cookie="", *, host=LAN, then=None):
    """What the server says to a socket, in order; `then()` happens once it is open."""
    headers = [(b"host", host.encode()), (b"origin", f"http://{host}".encode())]
    headers += [(b"cookie", f"{COOKIE}={cookie}".encode())] if cookie else []
    scope = {
        "type": "websocket", "path": "/ws", "raw_path": b"/ws", "root_path": "", "query_string": b"",
        "scheme": "ws", "headers": headers, "subprotocols": [], "client": (PHONE, 1), "server": None,
    }  # fmt: skip

    async def asking():
        said, heard = asyncio.Queue(), asyncio.Queue()
        heard.put_nowait({"type": "websocket.connect"})
        task = asyncio.create_task(app(scope, heard.get, said.put))
        answers = [(await asyncio.wait_for(said.get(), 5))["type"]]
        if then:
            then()
            answers.append((await asyncio.wait_for(said.get(), 5))["type"])
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)
        return answers

    return asyncio.run(asking())


@pytest.mark.parametrize("forge", [lambda t: t[:0], lambda t: t[:-1] + "x", lambda t: t[32:]])
def test_a_socket_without_the_cookie_is_refused(app, door, forge):
    assert socket(app, forge(join(app, door)[1])) == ["websocket.close"]


def test_a_socket_with_the_cookie_opens_and_closes_when_the_device_is_sent_out(app, door):
    _, token = join(app, door)
    assert socket(app, token) == ["websocket.accept"]
    assert socket(app, token, then=door.new_code) == ["websocket.accept", "websocket.close"]
    assert socket(app, token) == ["websocket.close"]


# addresses and pictures


@pytest.mark.parametrize(("ways", "found"), [
    (["", "", "", ""], ()), (["10.0.0.9"] * 4, ("10.0.0.9",)), (["127.0.0.1", "", "", ""], ()),
    (["192.168.1.7", "192.168.1.7", "10.0.0.9", ""], ("192.168.1.7", "10.0.0.9")), (["0.0.0.0"] * 4, ()),
])  # fmt: skip
def test_own_addresses_are_told_once_the_likeliest_first(ways, found):
    left = iter(ways)
    assert own_addresses(lambda _: next(left)) == found


def test_the_way_to_loopback_is_loopback():
    assert address_towards("127.0.0.1") == "127.0.0.1"
    assert address_towards("no such place at all.") == ""


def test_who_asks_for_an_address_gets_it_and_nobody_is_guessed_for():
    assert chosen_address("10.1.1.1", ("10.0.0.9",)) == "10.1.1.1"
    assert chosen_address(None, ("10.0.0.9", "192.168.1.7")) == "10.0.0.9"
    with pytest.raises(BadInput, match="--host"):
        chosen_address(None, ())


@pytest.mark.parametrize(("host", "is_it"), [
    ("127.0.0.1", True), ("127.9.9.9", True), ("::1", True), ("localhost", True),
    ("192.168.1.7", False), ("x", False),
])  # fmt: skip
def test_loopback_is_known(host, is_it):
    assert is_loopback(host) is is_it


def test_a_shared_address_is_held_at_loopback_too_and_an_unshared_one_is_not():
    for shared, count in ((True, 2), (False, 1)):
        held = bound_sockets("127.0.0.2", 0, shared=shared)
        names = [one.getsockname() for one in held]
        for one in held:
            one.close()
        assert len({port for _, port in names}) == 1
        assert [name for name, _ in names] == ["127.0.0.2", "127.0.0.1"][:count]


@pytest.mark.parametrize("address", ["http://192.168.1.7:8550", "http://192.168.100.100:65535"])
def test_another_phone_reads_the_picture_on_screen_and_in_the_terminal(address):
    """Outside: the zxing-cpp reader."""
    url = join_url(address, "012345")
    assert zxingcpp.read_barcode(Image.open(io.BytesIO(symbol_png(url))).convert("L")).text == url
    rows = [[letter not in dark for letter in row] for row in terminal_qr(url) for dark in ("█▀", "█▄")]
    flat = Image.new("L", (len(rows[0]), len(rows)))
    flat.putdata([255 * light for row in rows for light in row])
    big = flat.resize((8 * flat.width, 8 * flat.height), Image.Resampling.NEAREST)
    assert zxingcpp.read_barcode(big).text == url


def test_the_code_stands_where_browsers_keep_it_to_themselves():
    assert httpx.URL(join_url("http://192.168.1.7:8550", "012345")).raw_path == b"/enter"
    assert here_url("http://192.168.1.7:8550") == "http://127.0.0.1:8550"


def test_words_cannot_break_the_join_page():
    nasty = type(WORDS)("en", {**WORDS.texts, "share.enter.title": "<script>alert(1)</script>"})
    page = join_page(WEB, nasty, "share.enter.wrong").decode()
    assert "<script>alert" not in page
    assert not re.search(r"\{[a-z_]+\}", page)


@pytest.mark.parametrize("key", sorted(k for k in WORDS.texts if k.startswith("share.")))
def test_no_sentence_about_sharing_shouts(key):
    assert WORDS(key)
    assert "!" not in WORDS(key)


# the join screen


def shared(door=None):
    return Shared(desk=sample_desk(), words=WORDS, door=door, address="http://192.168.1.7:8550")


@pytest.mark.parametrize("width", [360, 1280])
def test_today_leads_to_the_code_where_the_table_is_shared(door, width):
    async def go():
        both = shared(door)
        door.on_change = both.hub.publish
        async with Harness(Root, both, views=True, width=width) as phone:
            await phone.click(phone.find(ft.OutlinedButton, WORDS("share.join.way")))
            assert phone.page.route == "/join"
            assert f"Code {door.code}" in phone.texts()
            assert "Joined so far: 0" in phone.texts()
            door.come_in(door.code, PHONE)
            await phone.settle()
            assert "Joined so far: 1" in phone.texts()
            assert phone.crashes == []

    asyncio.run(go())


def test_a_table_that_is_not_shared_says_so_and_offers_no_way():
    async def go():
        async with Harness(Root, shared(), views=True) as phone:
            assert not phone.all(ft.OutlinedButton, WORDS("share.join.way"))
            await phone.goto("/join")
            assert WORDS("share.join.off") in phone.texts()
            assert phone.crashes == []

    asyncio.run(go())


@pytest.mark.parametrize("sure", [True, False])
def test_a_new_code_is_made_after_asking_and_keeps_the_one_who_made_it(door, sure):
    async def go():
        both = shared(door)
        door.on_change = both.hub.publish
        mine, other = (door.device_of(door.come_in(door.code, a)[1]) for a in (PHONE, OTHER))
        DEVICE.set(mine)
        old = door.code
        async with Harness(Root, both, views=True, route="/join") as phone:
            await phone.click(phone.find(ft.OutlinedButton, WORDS("share.join.new")))
            kind, text = (
                (ft.FilledButton, "share.join.new") if sure else (ft.OutlinedButton, "share.join.new_no")
            )
            await phone.click(phone.find(kind, WORDS(text)))
            assert f"Code {door.code}" in phone.texts()
            assert phone.crashes == []
        assert (door.code != old, other.over.is_set(), mine.over.is_set()) == (sure, sure, False)

    asyncio.run(go())


def test_a_code_that_is_over_is_not_shown(door, clock):
    async def go():
        clock.ms += CODE_MS
        async with Harness(Root, shared(door), views=True, route="/join") as phone:
            assert WORDS("share.join.expired") in phone.texts()
            assert door.code not in phone.texts()

    asyncio.run(go())
