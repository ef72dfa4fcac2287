"""The file beneath the journal: five verbs, so that a test can stand a faulty disk in its place."""

import fcntl
import os
from pathlib import Path
from typing import Protocol

_FULL_FLUSH: int | None = getattr(fcntl, "F_FULLFSYNC", None)
"""On macOS `fsync` leaves the bytes in the drive's own memory; this call does not."""


class AppendFile(Protocol):
    """What the journal asks of a file."""

    def size(self) -> int:
        """Bytes in the file now."""

    def append(self, data: bytes) -> int:
        """Writes at the end; may write less than all and says how much."""

    def sync(self) -> None:
        """Returns when everything written is on the disk."""

    def cut(self, length: int) -> None:
        """Shortens the file to `length` bytes."""

    def close(self) -> None:
        """Lets go of the file."""


class DiskFile:
    """An existing file of the operating system, opened for appending."""

    def __init__(self, path: Path) -> None:
        self._fd = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CLOEXEC)

    def size(self) -> int:
        """Bytes in the file now."""
        return os.lseek(self._fd, 0, os.SEEK_END)

    def append(self, data: bytes) -> int:
        """Writes at the end; may write less than all and says how much."""
        return os.write(self._fd, data)

    def sync(self) -> None:
        """Returns when everything written is on the disk."""
        if _FULL_FLUSH is None:
            os.fsync(self._fd)
        else:
            flush(self._fd)

    def cut(self, length: int) -> None:
        """Shortens the file to `length` bytes."""
        os.ftruncate(self._fd, length)

    def close(self) -> None:
        """Lets go of the file."""
        os.close(self._fd)


def flush(fd: int) -> None:
    """Brings what was written to `fd` onto the disk."""
    if _FULL_FLUSH is None:
        os.fsync(fd)
    else:
        fcntl.fcntl(fd, _FULL_FLUSH)


def write_durably(path: Path, data: bytes) -> None:
    """A whole new file that is on the disk when this returns; never seen half-written under its name."""
    aside = path.with_name(path.name + ".part")
    with aside.open("wb") as file:
        file.write(data)
        file.flush()
        flush(file.fileno())
    aside.replace(path)
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Brings the names in `folder` onto the disk."""
    fd = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)
