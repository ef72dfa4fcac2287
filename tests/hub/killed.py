"""Syncs a folder and kills itself at the moment it is told: `killed.py FOLDER URL MOMENT`."""

import os
import signal
import sys
from pathlib import Path

from intake.desk import sync as act
from intake.hub.store import Hub
from intake.ledger import Ledger

MOMENTS = ("connected", "first-sent", "in-batch", "between", "first-read", "first-taken")
"""After connecting; one batch sent; a batch not yet committed; all sent; one batch read; one batch recorded."""


def die():
    os.kill(os.getpid(), signal.SIGKILL)


class Killer(Hub):
    moment = ""
    calls = 0

    def cursors(self):
        if self.moment == "connected":
            die()
        return super().cursors()

    def send(self, rows):
        self.calls += 1
        if self.moment == "in-batch" and self.calls == 2:
            with self._connection.transaction():
                super().send(rows)
                die()
        added = super().send(rows)
        if self.moment == "first-sent":
            die()
        return added

    def read(self, station, first, last):
        if self.moment == "between" and station == "WB-77b0d2":
            die()
        found = super().read(station, first, last)
        if self.moment == "first-read" and station == "WB-77b0d2":
            die()
        return found


if __name__ == "__main__":
    folder, url, Killer.moment = sys.argv[1:]
    act.BATCH = 10
    if Killer.moment == "first-taken":
        adopt = Ledger.adopt
        Ledger.adopt = lambda self, payloads: (adopt(self, payloads), die())
    with Killer.connect(url) as hub:
        act.sync_folder(Path(folder), hub)
