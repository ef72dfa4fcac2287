"""One writer per ledger: a lock that the operating system lets go of when its holder dies."""

import fcntl
import os
import time
from pathlib import Path
from typing import Self

from intake.errors import LedgerBusy

_TRIES = 5
_PAUSE_S = 0.02
"""[s] a reader that asks who writes holds the lock for an instant; a writer tries again after that."""


class WriterLock:
    """Holds the right to write to the ledger in one folder until `release` or the end of the process.

    The file stays behind when a process is killed, but the lock on it does not: what a dead holder wrote into
    it is simply overwritten. The file is never removed, because two processes could then lock two files.
    """

    def __init__(self, fd: int) -> None:
        self._fd = fd

    @classmethod
    def take(cls, folder: Path, what: str) -> Self:
        """The lock of the ledger in `folder`, for the program that calls itself `what`.

        Raises:
            LedgerBusy: another process holds it; the sentence says which.
        """
        fd = os.open(folder / "lock", os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o644)
        for _ in range(_TRIES):
            if _locked(fd, fcntl.LOCK_EX):
                os.ftruncate(fd, 0)
                os.pwrite(fd, f"{os.getpid()} {what}\n".encode(), 0)
                return cls(fd)
            time.sleep(_PAUSE_S)
        who = _holder(fd)
        os.close(fd)
        raise LedgerBusy(
            f"The ledger in {folder} is being written by {who}. "
            "Close that first; reading it is possible meanwhile. Nothing was changed."
        )

    def release(self) -> None:
        """Lets the next writer in."""
        os.ftruncate(self._fd, 0)
        os.close(self._fd)


def writer_of(folder: Path) -> str | None:
    """Who writes to the ledger in `folder` now; None where nobody does."""
    try:
        fd = os.open(folder / "lock", os.O_RDONLY | os.O_CLOEXEC)
    except OSError:
        return None
    try:
        return None if _locked(fd, fcntl.LOCK_SH) else _holder(fd)
    finally:
        os.close(fd)


def _locked(fd: int, how: int) -> bool:
    """Takes the lock if it is free."""
    try:
        fcntl.flock(fd, how | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _holder(fd: int) -> str:
    """What the holder wrote about itself."""
    pid, _, what = os.pread(fd, 200, 0).decode("utf-8", "replace").strip().partition(" ")
    return f"{what} (process {pid})" if what else "another process"
