"""How the commands on one lot answer: the lot as it stands after the act, and what to mind next."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from intake.cli.lots import lot_sentence
from intake.cli.show import console, mind_line, print_json
from intake.words import Words

if TYPE_CHECKING:
    from intake.desk.lots import LotLine
    from intake.table.compat.cautions import Caution


def answer(
    act: str, line: "LotLine", says: Sequence[str], mind: "Sequence[Caution]", words: Words, *, as_json: bool
) -> None:
    """Print what an act did to a lot: the document of `shared/lot-act.schema.json`, or a few sentences."""
    from intake.desk.lots_plain import lot_plain

    if as_json:
        lot = lot_plain(line)
        print_json({"act": act, "lot": lot, "says": list(says), "cautions": [c.id for c in mind]})
        return
    for text in (lot_sentence(line, words), *says):
        console().print(text, markup=False)
    if mind:
        console().print(mind_line(mind, words), markup=False)
