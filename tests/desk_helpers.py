"""Small readers that several tests of the desk use."""

import csv
from pathlib import Path

TWO_CHARGES = (
    'name = "x"\nletters = "QT"\n[[charge]]\nid = "slat"\nresin = "PE-HD"\ncavity = "1 L"\n'
    '[[charge]]\nid = "lid"\nresin = "PP"\ncavity = "0.5 L"\n'
)


def rows_of(path: Path) -> list[dict[str, str]]:
    """The rows of a CSV file."""
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))
