"""`resources/pace.toml` → `PaceTables`."""

from types import MappingProxyType

from intake.errors import Finding
from intake.handbook.compat import one_of
from intake.handbook.figures import raw_table
from intake.table.item import Label
from intake.table.prep.pace import PaceTables


def read_pace() -> PaceTables:
    """What is known of a table's pace before it logged anything.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("pace.toml")
    prior = {name: table.figure(raw, f"prior {name}") for name, raw in table.data["prior"].items()}
    handling_s = table.figure(table.data["handling_s"], "handling_s")
    glue = {
        one_of(table, Label, name, "pace.toml, glue_left"): table.figure(raw, f"glue_left {name}")
        for name, raw in table.data["glue_left"].items()
    }
    worth = table.figure(table.data["seldom_worth_g_min"], "seldom_worth_g_min")
    table.findings.extend(
        Finding(where=f"pace.toml, glue_left {label}", got=f"{f.low:g}..{f.high:g}", expected="0 to 1")
        for label, f in glue.items()
        if not 0.0 <= f.low <= f.high <= 1.0
    )
    floors = (
        ("rows", prior["rows"], 0.0),
        ("shape", prior["shape"], 1.0),
        ("outlier_sd", prior["outlier_sd"], 0.0),
        ("handling_s", handling_s, 0.0),
        ("seldom_worth_g_min", worth, 0.0),
    )
    table.findings.extend(
        Finding(where=f"pace.toml, {name}", got=f"{figure.low:g}", expected=f"a figure above {least:g}")
        for name, figure, least in floors
        if figure.low <= least
    )
    table.done()
    return PaceTables(
        handling_s=handling_s,
        glue_left=MappingProxyType(glue),
        prior_rows=prior["rows"].typical,
        prior_shape=prior["shape"].typical,
        outlier_sd=prior["outlier_sd"].typical,
        seldom_worth_g_min=worth.typical,
    )
