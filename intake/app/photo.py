"""A photo from the phone: picked inside the tap, sent by a signed address, read once, and thrown away."""

import asyncio
import logging
import secrets
from collections.abc import Callable
from pathlib import Path
from typing import Any

import flet as ft

from intake.app.session import Shared
from intake.desk.scan import Scanned, scan_photo
from intake.errors import IntakeError

LOG = logging.getLogger("intake.app")
MOST_BYTES = 16_000_000
"""[bytes] of one photo: more than a phone's camera writes as JPEG."""
VALID_S = 120
"""[s] for which the address of an upload is good."""


_NOTHING = (Path(), "")
"""What was sent while nothing was."""


class Photo:
    """One session's photos; says what went wrong, or what was found.

    The name that a phone gives its file is only ever shown. The file lies under a name of ours, in a folder that
    nothing is served from, until it is read.
    """

    def __init__(
        self, shared: Shared, on_said: Callable[[str], Any], on_found: Callable[[tuple[Scanned, ...]], Any]
    ) -> None:
        self._shared, self._on_said, self._on_found = shared, on_said, on_found
        self._sent = _NOTHING
        self.picker = ft.FilePicker(on_result=self._picked, on_upload=self._uploaded)

    async def _picked(self, event: ft.FilePickerResultEvent) -> None:
        """Have the client send what was picked, unless it is too large."""
        words = self._shared.words
        if not event.files or self._shared.uploads is None:
            return
        one = event.files[0]
        if one.size > MOST_BYTES:
            self._on_said(words("app.scan.too_large", name=_shown(one.name), most=MOST_BYTES // 1_000_000))
            return
        self._on_said(words("app.scan.reading"))
        stored = secrets.token_hex(16)
        self._sent = (self._shared.uploads / stored, _shown(one.name))
        address = ft.context.page.get_upload_url(stored, VALID_S)
        await self.picker.upload([ft.FilePickerUploadFile(upload_url=address, id=one.id, name=one.name)])

    async def _uploaded(self, event: ft.FilePickerUploadEvent) -> None:
        """Read the photo beside the event loop once it is all there."""
        words, sent = self._shared.words, self._sent
        if sent is _NOTHING or (event.error is None and event.progress != 1.0):
            return
        self._sent = _NOTHING
        path, name = sent
        try:
            if event.error is not None:
                self._on_said(words("app.scan.not_sent"))
                return
            found = await asyncio.to_thread(scan_photo, path, name, self._shared.desk)
        except IntakeError as error:
            self._on_said(str(error))
        except Exception:
            LOG.exception("could not read a photo")
            self._on_said(words("app.error.not_done"))
        else:
            self._on_said("" if found else words("app.scan.none"))
            self._on_found(found)
        finally:
            path.unlink(missing_ok=True)


def _shown(name: str) -> str:
    """A phone's file name as far as it is shown."""
    return "".join(c for c in name[:60] if c.isprintable())
