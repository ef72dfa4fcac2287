"""What a bin is called, the station's letters and a number (QT-04), and a lot (QT-L04)."""

import re
from collections.abc import Iterable
from typing import NewType

from intake.errors import BadInput

BinId = NewType("BinId", str)

_LETTERS = re.compile(r"[A-Z][A-Z0-9]{0,3}")
_ID = re.compile(r"([A-Z][A-Z0-9]{0,3})-([0-9]{2,4})")
_LOT = re.compile(r"([A-Z][A-Z0-9]{0,3})-L([0-9]{2,4})")
MAX_NUMBER = 9999


def parse_bin_id(text: str, *, where: str = "Bin id") -> BinId:
    """The bin id in `text`, which must be written as on the tag; letter case and outer spaces do not matter.

    Raises:
        BadInput: not one to four letters or digits, a hyphen and two to four digits.
    """
    clean = text.strip().upper()
    if not _ID.fullmatch(clean):
        raise BadInput(where=where, got=text, expected="station letters and a number, such as QT-04")
    return BinId(clean)


def of_another_table(name: str) -> bool:
    """True for the id of a bin or lot whose name two tables gave out: such a one carries its own table's label."""
    return "~" in name


def check_letters(letters: str, *, where: str = "Station letters") -> str:
    """The letters of a station, as they stand before every id it gives out.

    Raises:
        BadInput: not a capital letter and up to three more capitals or digits.
    """
    if not _LETTERS.fullmatch(letters):
        raise BadInput(where=where, got=letters, expected="one to four capital letters or digits, such as QT")
    return letters


def next_bin_id(letters: str, existing: Iterable[str]) -> BinId:
    """The id after the highest that this station ever gave out; ids of other stations do not count.

    A number is never used twice, also not after its bin is gone: an old tag may still hang somewhere.

    Raises:
        BadInput: the letters are not usable, or all numbers are used.
    """
    check_letters(letters)
    matches = (_ID.fullmatch(name) for name in existing)
    last = max((int(m[2]) for m in matches if m and m[1] == letters), default=0)
    if last >= MAX_NUMBER:
        raise BadInput(where="Bin id", got=f"{letters}-{last}", expected="new station letters: all used")
    return BinId(f"{letters}-{last + 1:02d}")


def next_lot_id(letters: str, existing: Iterable[str]) -> str:
    """The id of a station's next lot, such as QT-L07; like a bin's, a number is never used twice.

    Raises:
        BadInput: the letters are not usable, or all numbers are used.
    """
    check_letters(letters)
    matches = (_LOT.match(name) for name in existing)
    last = max((int(m[2]) for m in matches if m and m[1] == letters), default=0)
    if last >= MAX_NUMBER:
        raise BadInput(where="Lot id", got=f"{letters}-L{last}", expected="new station letters: all used")
    return f"{letters}-L{last + 1:02d}"
