"""A session without a browser: Flet's own Session and Page behind a connection that answers as a client would.

async with Harness(Root, shared, views=True, width=390) as phone:
    await phone.click(phone.find(ft.FilledButton, "Take an item"))
    assert "Which mark?" in phone.texts()
"""

import asyncio
import dataclasses
from concurrent.futures import ThreadPoolExecutor

import flet as ft
import flet.canvas as cv
import msgpack
from flet.components.public_utils import unwrap_component
from flet.controls.base_control import BaseControl
from flet.controls.context import _context_page
from flet.messaging.connection import Connection
from flet.messaging.protocol import (
    Message,
    MessageAction,
    RegisterClientResponseBody,
    configure_encode_object_for_msgpack,
)
from flet.messaging.session import Session
from flet.pubsub.pubsub_hub import PubSubHub

SPOKEN = ("label", "title", "content", "value", "text", "tooltip", "semantics_label")
"""Where a control may carry what it says."""


class Line(Connection):
    """The far end of a session; packs every message, because Flet notes what a client knows while packing."""

    def __init__(self, harness):
        super().__init__()
        self.harness, self.sent_bytes = harness, []
        self.loop = asyncio.get_running_loop()
        self.executor = ThreadPoolExecutor(2)
        self.pubsubhub = PubSubHub(loop=self.loop, executor=self.executor)
        self.page_url = "http://127.0.0.1"

    def send_message(self, message):
        packed = msgpack.packb(
            [message.action, message.body], default=configure_encode_object_for_msgpack(BaseControl)
        )
        self.sent_bytes.append(len(packed))
        if message.action == MessageAction.INVOKE_METHOD:
            self.loop.create_task(self.harness.answer(message.body))
        elif message.action == MessageAction.SESSION_CRASHED:
            self.harness.crashes.append(message.body.message)


class Harness:
    """One session showing `component`; `crashes` must stay empty."""

    def __init__(self, component, *args, route="/", width=390, height=844, views=False, setup=None):
        self.component, self.args, self.views, self.setup = component, args, views, setup
        self.first = {"route": route, "width": width, "height": height, "web": True, "platform": "android"}
        self.crashes, self.calls = [], []

    async def __aenter__(self):
        self.line = Line(self)
        self.session = Session(self.line)
        self.page = self.session.page
        _context_page.set(self.page)
        self.session.apply_page_patch(self.first)
        hello = RegisterClientResponseBody(
            session_id=self.session.id, page_patch=self.session.get_page_patch(), error=""
        )
        self.line.send_message(Message(MessageAction.REGISTER_CLIENT, hello))
        if self.setup:
            self.setup(self.page)
        if self.component:
            (self.page.render_views if self.views else self.page.render)(self.component, *self.args)
        await self.settle()
        return self

    async def __aexit__(self, *exc):
        self.session.close()
        await asyncio.sleep(0)
        self.line.executor.shutdown(wait=False)

    async def answer(self, call):
        """What a client returns at once; a pushed address also comes back as a change of address."""
        self.calls.append((call.name, call.args))
        self.session.handle_invoke_method_results(call.control_id, call.call_id, None, None)
        if call.name == "push_route":
            await self.goto(call.args["route"])

    async def settle(self, rounds=3):
        """Let queued draws, effects and answers run."""
        for _ in range(rounds):
            await asyncio.sleep(0.005)

    async def goto(self, route):
        """The address bar changed."""
        self.session.apply_page_patch({"route": route})
        await self.session.dispatch_event(self.page._i, "route_change", {"route": route})
        await self.settle()

    async def sleep_and_wake(self, meanwhile):
        """The phone sleeps, `meanwhile()` happens, the phone comes back."""
        await self.session.disconnect(60)
        meanwhile()
        await self.settle()
        self.session.attach_connection(self.line)
        await self.session.dispatch_connect_event()
        await self.settle()

    async def resize(self, width, height=844):
        """The window changed its size."""
        size = {"width": width, "height": height}
        self.session.apply_page_patch(size)
        await self.session.dispatch_event(self.page._i, "resize", size)
        await self.settle()

    # what is there

    def all(self, kind, text=None):
        return [c for c in self.shown() if isinstance(c, kind) and (text is None or text in said(c))]

    def find(self, kind, text=None):
        found = self.all(kind, text)
        near = [said(c) for c in self.all(kind)]
        assert len(found) == 1, f"{len(found)} {kind.__name__} with {text!r} among {near}"
        return found[0]

    def shown(self):
        return walk([self.page.views, self.page._dialogs.controls])

    def texts(self):
        return plain(
            "\n".join(c.value for c in self.shown() if isinstance(c, (ft.Text, cv.Text)) and c.value)
        )

    # what a person does

    async def event(self, control, name, data=None, **props):
        if props:
            self.session.apply_patch(control._i, props)
        await self.session.dispatch_event(control._i, name, data)
        await self.settle()

    async def click(self, control):
        assert not control.disabled, f"{said(control)!r} is disabled"
        await self.event(control, "click")

    async def type(self, field, value):
        await self.event(field, "change", value, value=value)


def walk(value, seen=None):
    """Every control in `value`, depth first, through components, lists and fields."""
    seen = set() if seen is None else seen
    value = unwrap_component(value)
    if isinstance(value, (list, tuple)):
        for one in value:
            yield from walk(one, seen)
    elif isinstance(value, dict):
        yield from walk(list(value.values()), seen)
    elif dataclasses.is_dataclass(value) and not isinstance(value, type) and id(value) not in seen:
        seen.add(id(value))
        if isinstance(value, BaseControl):
            yield value
        for field in dataclasses.fields(value):
            if not (
                field.name.startswith("_") or field.metadata.get("skip") or field.name in {"parent", "page"}
            ):
                yield from walk(getattr(value, field.name, None), seen)


def said(control):
    """What a control says, its children included, in order."""
    own = [v for n in SPOKEN if isinstance(v := getattr(control, n, None), str) and v]
    if own:
        return plain(own[0])
    below = (c for c in walk(control) if c is not control and isinstance(c, (ft.Text, ft.Icon, ft.Semantics)))
    return plain(" ".join(t for c in below if (t := _word(c))))


def plain(text):
    """`text` without the no-break hyphens and spaces that only matter to a line's end."""
    return text.replace("\N{NON-BREAKING HYPHEN}", "-").replace("\N{NO-BREAK SPACE}", " ")


def _word(control):
    if isinstance(control, ft.Text):
        return control.value
    return control.semantics_label if isinstance(control, ft.Icon) else control.label
