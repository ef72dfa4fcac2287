"""Data that leaves with its owner: open tables and the events themselves, and the way back."""

from intake.desk.exchange.export import Exported, export
from intake.desk.exchange.formats import Format
from intake.desk.exchange.take import Taken, take

__all__ = ["Exported", "Format", "Taken", "export", "take"]
