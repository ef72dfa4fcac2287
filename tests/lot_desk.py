"""Bins filled in one line, for tests of what happens to them."""

from collections.abc import Sequence

from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.observe import add_mark, add_test, revise
from intake.desk.place import place_in_bin
from intake.desk.prepare import weigh
from intake.desk.receive import receive


def fill(
    desk: Desk, masses_g: Sequence[float | None], *, kind: str = "jug", colour: str = "natural"
) -> list[str]:
    """Items that were judged, prepared and placed; None is not weighed. Gives their ids."""
    items = []
    for mass_g in masses_g:
        item = receive(desk, kind, colour=colour)
        add_mark(desk, item, "2 HDPE")
        add_test(desk, item, "float:water", "floats")
        revise(desk, item, {"closure": "none", "label": "none", "residue": "clean"})
        decide(desk, item)
        if mass_g is not None:
            weigh(desk, item, mass_g)
        place_in_bin(desk, item)
        items.append(item)
    return items
