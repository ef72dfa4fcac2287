"""One address of the walk: the step that the item may stand at, or where it went."""

from collections.abc import Callable
from types import MappingProxyType
from typing import Any

import flet as ft

from intake.app.guards import safe_view
from intake.app.parts.buttons import primary_button
from intake.app.parts.question import question
from intake.app.screens.kind import Kind
from intake.app.screens.mark import Mark
from intake.app.screens.placed import Placed
from intake.app.screens.prepare import Prepare
from intake.app.screens.test import Test
from intake.app.screens.verdict import VerdictStep
from intake.app.screens.walk import NEW_ITEM, test_of_address, use_walk
from intake.app.screens.weigh import Weigh
from intake.app.session import use_shared, use_version
from intake.desk.views.item import WalkStep, next_step, stands_at
from intake.desk.views.looks import next_test_id

_SCREENS: MappingProxyType[WalkStep, Callable[..., Any]] = MappingProxyType(
    {
        WalkStep.KIND: Kind,
        WalkStep.MARK: Mark,
        WalkStep.TEST: Test,
        WalkStep.VERDICT: VerdictStep,
        WalkStep.PREPARE: Prepare,
        WalkStep.WEIGH: Weigh,
        WalkStep.PLACED: Placed,
    }
)


@safe_view
def ItemStep() -> Any:  # noqa: N802
    """The step that the address asks for, where the item may stand there; else the one it stands at."""
    shared = use_shared()
    use_version(shared.hub)
    params = ft.use_route_params()
    item, test = params["item"], test_of_address(params.get("test", ""))
    if item not in shared.desk.state.items:
        return Gone()
    asked = params.get("step", "")
    if asked in set(WalkStep):
        step = shared.seen(stands_at, item, WalkStep(asked))
    else:
        step = shared.seen(next_step, item)
    if step is WalkStep.TEST and not (test or shared.seen(next_test_id, item)):
        step = WalkStep.VERDICT
    args = (item, test) if step is WalkStep.TEST else (item,)
    return _SCREENS[step](*args, key="/".join((*args, step)))


@safe_view
def Gone() -> ft.View:  # noqa: N802
    """The item is not at this table any more."""
    walk = use_walk(WalkStep.KIND)
    words = walk.words
    body: list[ft.Control] = [question(words("walk.gone"), hint=words("walk.gone.hint"))]
    return walk.view(body, [primary_button(words("walk.next_item"), walk.taps.goes(NEW_ITEM))])
