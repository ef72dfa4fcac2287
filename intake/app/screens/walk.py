"""What every step of the walk has: its address, its bar, its taps, and what stands beside it on a wide window."""

from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import flet as ft

from intake.app.parts.buttons import choice
from intake.app.parts.cards import reason_card
from intake.app.parts.frame import NO_PANES, Panes, Width, step_view
from intake.app.parts.steps_bar import steps_bar
from intake.app.places import HOME
from intake.app.press import Presses, use_presses
from intake.app.screens.said import item_text, mass_texts
from intake.app.session import LargeTextContext, Shared, WidthContext, use_shared
from intake.desk.views.item import ItemHead, WalkStep, beside
from intake.desk.views.looks import next_test_id
from intake.words import Words

NEW_ITEM = "/item"
_TO_ADDRESS, _FROM_ADDRESS = str.maketrans(":.", "~,"), str.maketrans("~,", ":.")
"""A point in the last part of an address would make the server look for a file."""
_PIECES = 5
_DONE = MappingProxyType(
    {
        WalkStep.KIND: 1,
        WalkStep.MARK: 2,
        WalkStep.TEST: 2,
        WalkStep.VERDICT: 3,
        WalkStep.PREPARE: 3,
        WalkStep.WEIGH: 4,
        WalkStep.PLACED: 5,
    }
)
_BACK = MappingProxyType(
    {
        WalkStep.MARK: WalkStep.KIND,
        WalkStep.TEST: WalkStep.MARK,
        WalkStep.VERDICT: WalkStep.MARK,
        WalkStep.PREPARE: WalkStep.VERDICT,
        WalkStep.WEIGH: WalkStep.PREPARE,
    }
)


def address(item_id: str, step: WalkStep | None = None, test: str = "") -> str:
    """The address of a step of an item; without a step, of where it goes on."""
    named = test.translate(_TO_ADDRESS)
    return "/".join(["", "item", item_id, *([step.value] if step else []), *([named] if named else [])])


def test_of_address(part: str) -> str:
    """The test that an address names."""
    return part.translate(_FROM_ADDRESS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """One step on one phone."""

    shared: Shared
    route: str
    width: Width
    large_text: bool
    taps: Presses
    item_id: str
    step: WalkStep
    go: Callable[[str], Any]

    @property
    def words(self) -> Words:
        """The sentences."""
        return self.shared.words

    def act(
        self, work: Callable[..., Any], *args: Any, to: Callable[[Any], str | None]
    ) -> Callable[[Any], Any]:
        """A handler for one act of the desk; `to` says from its result where to go."""

        async def deed() -> str | None:
            return to(await self.shared.act(work, self.shared.desk, *args))

        return self.taps.once(deed)

    def at(self, step: WalkStep | None = None, test: str = "") -> str:
        """The address of a step of this item."""
        return address(self.item_id, step, test)

    def onward(self, step: WalkStep) -> str:
        """The address of the step that an answer led to; a test is named by its own address."""
        test = self.shared.seen(next_test_id, self.item_id) if step is WalkStep.TEST else ""
        return self.at(step, test)

    def view(self, body: list[ft.Control], foot: list[ft.Control]) -> ft.View:
        """The step as a view."""
        done = _DONE[self.step]
        back = _BACK.get(self.step)
        bar = steps_bar(done, _PIECES, label=self.words("walk.steps", done=done, total=_PIECES))
        view = step_view(
            self.route, body, foot, steps=bar, back=self.words("walk.back"), width=self.width,
            on_back=lambda: self.go(self.at(back) if back else HOME), panes=self._panes(),
        )  # fmt: skip
        view.disabled = self.taps.busy
        return view

    def _panes(self) -> Panes:
        """The pile on the left and the bins on the right, where they fit."""
        if self.width is Width.PHONE:
            return NO_PANES
        words, near = self.words, self.shared.seen(beside)
        pile: list[ft.Control] = [
            reason_card(words("walk.pile"), () if near.unfinished else (words("walk.pile.none"),))
        ]
        pile += [self._waiting(i) for i in near.unfinished]
        bins: list[ft.Control] = [
            reason_card(words("walk.bins"), () if near.bins else (words("walk.bins.none"),))
        ]
        for b in near.bins:
            mass, doubt = mass_texts(words, b.shred)
            line = words("walk.bin.line", resin=b.resin, colour=words(f"colour.{b.colour}"))
            bins.append(reason_card(b.id, (line, mass, doubt), key=b.id))
        return Panes(left=tuple(pile), right=tuple(bins))

    def _waiting(self, item: ItemHead) -> ft.Control:
        """An item of the pile, to go on with."""
        here = item.id == self.item_id
        hint = self.words("walk.pile.here" if here else "walk.pile.go_on")
        return choice(
            item_text(self.words, item),
            lambda: self.go(address(item.id)),
            hint=hint,
            chosen=here,
            key=item.id,
        )


def use_walk(step: WalkStep, item_id: str = "") -> Walk:
    """Hook: this step."""
    shared = use_shared()
    return Walk(
        shared=shared,
        route=ft.use_view_path(),
        width=ft.use_context(WidthContext),
        large_text=ft.use_context(LargeTextContext),
        taps=use_presses(shared.words),
        item_id=item_id,
        step=step,
        go=ft.context.page.navigate,
    )
