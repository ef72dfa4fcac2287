"""How the commands on bins answer: one sentence, or the bins as they stand after the act."""

from typing import TYPE_CHECKING

from intake.cli.bins import bin_plain
from intake.cli.show import console, print_json

if TYPE_CHECKING:
    from collections.abc import Sequence

    from intake.desk.bin_life import ShelfLine


def answer(act: str, shelved: "Sequence[ShelfLine]", says: str, *, as_json: bool) -> None:
    """Print what an act did to bins: the document of `shared/bin-act.schema.json`, or a sentence."""
    if as_json:
        print_json({"act": act, "bins": [bin_plain(b) for b in shelved], "says": [says], "cautions": []})
    else:
        console().print(says, markup=False)
