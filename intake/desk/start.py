"""Open a table for the app: its own ledger, a new one, or the demo's."""

from pathlib import Path

from intake.desk.campaign import read_campaign
from intake.desk.desk import Desk
from intake.desk.sheet import read_sheet
from intake.desk.sort import sort_rows, weigh_sheet
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.ledger import ledger_exists


def open_table(folder: Path, handbook: Handbook, *, campaign: Path | None = None, demo: bool = False) -> Desk:
    """The desk whose ledger lies in `folder`.

    Args:
        folder: the ledger; made where it is missing.
        handbook: the tables.
        campaign: a campaign file to work by from now on; None: the ledger's own, or for a new ledger the
            starter campaign (the demo's for a demo).
        demo: True to begin a new ledger with the demo's afternoon; a ledger that exists is left as it is.

    Raises:
        BadInput: the campaign file or the folder cannot be used.
        ManyFaults: the campaign file has faults.
        LedgerBusy: another process writes there.
        DamagedLedger: the journal does not read as it was written.
    """
    if ledger_exists(folder):
        given = read_campaign(campaign, handbook) if campaign else None
        return Desk.open(folder, handbook, given)
    file = campaign or resources() / "demo" / ("campaign.toml" if demo else "starter-campaign.toml")
    desk = Desk.open(folder, handbook, read_campaign(file, handbook))
    if demo:
        _play_demo(desk)
    return desk


def _play_demo(desk: Desk) -> None:
    """Walk the demo sheet into the desk's ledger."""
    sheet = read_sheet(resources() / "demo" / "sheet.csv", desk.handbook, scale_g=desk.campaign.scale)
    weighed, _ = weigh_sheet(sheet, desk)
    sort_rows(weighed, sheet, desk, lambda _done: None)
