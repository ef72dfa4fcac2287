"""Where `resources/` lies: inside an installed package, or beside it in a checkout."""

from functools import cache
from pathlib import Path

from intake.errors import HandbookGap

_PACKAGE = Path(__file__).resolve().parents[1]


@cache
def resources() -> Path:
    """The folder of tables, words, fonts and demo data.

    Raises:
        HandbookGap: neither place exists, so the installation is incomplete.
    """
    for place in (_PACKAGE / "_resources", _PACKAGE.parent / "resources"):
        if (place / "sources.toml").is_file():
            return place
    raise HandbookGap("The handbook tables (resources/) are not beside the program. Install it again.")
