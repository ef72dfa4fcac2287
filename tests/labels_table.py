"""A table with a few empty bins, for the tests of labels and scans."""

from intake.desk.campaign import campaign_of
from intake.desk.desk import Desk
from intake.ledger.events import BinOpened
from intake.table.kinds import Flow

CAMPAIGN = {
    "name": "Slats", "letters": "QT", "table": "Quayside",
    "charge": [{"id": "slat", "resin": "PE-HD", "cavity": "1 L"}],
}  # fmt: skip
COLOURS = ("natural", "blue", "black")


def table(folder, handbook, bins):
    """A ledger in `folder` with bins QT-01 and so on."""
    with Desk.open(folder, handbook, campaign_of(CAMPAIGN, handbook, where="test")) as desk:
        desk.record(
            [
                BinOpened(bin=f"QT-{n:02d}", resin="PE-HD", colour=COLOURS[n % 3], flow=Flow.BLOW)
                for n in range(1, bins + 1)
            ]
        )
    return folder
