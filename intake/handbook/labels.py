"""`resources/label_stock.toml` → label stocks by id."""

from dataclasses import fields
from types import MappingProxyType

from intake.errors import BadInput, Finding
from intake.handbook.figures import raw_table
from intake.table.labels.layout import LabelStock, LabelStocks


def read_label_stocks() -> LabelStocks:
    """All label stocks; every one must hold its labels inside its page.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("label_stock.toml")
    names = {f.name for f in fields(LabelStock)} - {"id"}
    stocks: dict[str, LabelStock] = {}
    for key, raw in table.data["stocks"].items():
        table.basis(raw, f"label_stock.toml, {key}")
        missing = sorted(names - raw.keys())
        if missing:
            table.findings.append(
                Finding(where=f"label_stock.toml, {key}", got="", expected=f"values for {', '.join(missing)}")
            )
            continue
        try:
            stocks[key] = LabelStock(id=key, **{n: raw[n] for n in names})
        except BadInput as error:
            table.findings.append(Finding.of(error))
    table.done()
    return MappingProxyType(stocks)
