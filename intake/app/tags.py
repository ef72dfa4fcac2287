"""The tags of the bins as files: drawn once for what stands on them, whoever asks."""

import threading
from collections.abc import Callable
from types import MappingProxyType

from intake.app.download import Download
from intake.desk.desk import Desk
from intake.desk.labels import is_tagged, record_printed, tag_of, tag_png, tags_pdf
from intake.errors import UnknownName
from intake.table.labels.tag import BinTag
from intake.words import Words

PDF, PNG = "pdf", "png"
_TYPES = MappingProxyType({PDF: "application/pdf", PNG: "image/png"})
Key = tuple[BinTag, str]
"""What stands on a tag, and as which kind of file."""
MOST = 64
"""Drawings that are kept, of 50 to 70 kB each."""


class Tags:
    """Draws tags and records which were handed out; safe from any thread."""

    def __init__(self, desk: Desk, words: Words, changed: Callable[[], None]) -> None:
        self._desk, self._changed = desk, changed
        self._words = Words(words.language, words.texts)
        self._drawn: dict[Key, bytes] = {}
        self._lock = threading.Lock()

    def known(self, bin_id: str) -> bytes | None:
        """The tag as PNG where it is drawn already.

        Raises:
            BadInput: the table has no such bin.
        """
        return self._drawn.get((tag_of(self._desk, bin_id), PNG))

    def draw(self, bin_id: str, kind: str = PNG) -> bytes:
        """The tag as PNG or PDF.

        Raises:
            BadInput: the table has no such bin.
        """
        key = (tag_of(self._desk, bin_id), kind)
        with self._lock:
            if key not in self._drawn:
                made = (
                    tag_png(self._desk, bin_id, self._words)
                    if kind == PNG
                    else tags_pdf(self._desk, self._words, [bin_id])
                )
                while len(self._drawn) >= MOST:
                    del self._drawn[next(iter(self._drawn))]
                self._drawn[key] = made
            return self._drawn[key]

    def download(self, name: str) -> Download:
        """The file called `QT-01.pdf` or `QT-01.png`; that it was handed out is recorded once.

        Raises:
            UnknownName: no such bin or kind of file.
        """
        bin_id, _, kind = name.rpartition(".")
        bins = self._desk.state.bins
        if bin_id not in bins or kind not in _TYPES:
            known = [f"{b}.{k}" for b in bins for k in _TYPES]
            raise UnknownName(where="Tag", got=name, known=known or ["QT-01.pdf"], kept="")
        data = self.draw(bin_id, kind)
        if not is_tagged(self._desk, bin_id):
            record_printed(self._desk, [bin_id])
            self._changed()
        return Download(data=data, media_type=_TYPES[kind], filename=name)
