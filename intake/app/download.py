"""A file that the server hands out."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Download:
    """A file to hand out; `inline` lets the browser show it instead of saving it."""

    data: bytes
    media_type: str
    filename: str
    inline: bool = False
