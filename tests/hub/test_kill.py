"""A process killed at any moment of a sync loses nothing and doubles nothing."""

import subprocess
import sys
from pathlib import Path

import pytest
from hub.killed import MOMENTS
from ledger_story import a_day

from intake.desk.sync import exchange, sync_folder
from intake.ledger import Ledger, fold
from intake.ledger.verify import verify

SCRIPT = Path(__file__).with_name("killed.py")
SENT = {"connected": 0, "first-sent": 10, "in-batch": 10, "between": 35, "first-read": 35, "first-taken": 35}
TAKEN = {"first-taken": 10}


@pytest.mark.parametrize("moment", MOMENTS)
def test_a_sync_that_is_killed_goes_on_next_time(hub, url, table, sql, moment):
    quay, barge = table(0), table(1)
    a_day(quay, 35)
    a_day(barge, 25, letters="b")
    exchange(barge, hub)
    whole = fold([*quay.events(), *barge.events()])
    quay.close()
    run = subprocess.run([sys.executable, SCRIPT, quay.folder, url, moment], check=False, capture_output=True)
    assert run.returncode == -9, run.stderr
    assert sql("select count(*) from events where station = %s", quay.station) == [(SENT[moment],)]
    assert verify(quay.folder).ok
    with Ledger.open(quay.folder) as left:
        assert len(left.payloads()) == 35 + TAKEN.get(moment, 0)
    done = sync_folder(quay.folder, hub)
    assert (done.sent, done.taken) == (35 - SENT[moment], 25 - TAKEN.get(moment, 0))
    exchange(barge, hub)
    with Ledger.open(quay.folder) as after:
        assert after.state == barge.state == whole
