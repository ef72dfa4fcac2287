"""Reading the tables: a row that owes something, or passes a published limit, is refused with its name."""

from collections.abc import Callable
from typing import Any

import pytest

from intake.errors import HandbookGap
from intake.handbook import Handbook, cautions, compat, melt
from intake.handbook.figures import RawTable, read_toml
from intake.handbook.locate import resources
from intake.table.resins import Basis

BOOK = Handbook()
READERS: dict[str, tuple[Any, Callable[[Any], Any]]] = {
    "compat.toml": (compat, compat.read_matrix),
    "melt.toml": (melt, melt.read_melts),
    "cautions.toml": (cautions, cautions.read_cautions),
}
Change = Callable[[dict[str, Any]], None]


def pair(**changes: Any) -> Change:
    """Change the first row of the pair table (PE-LD in PE-HD); None takes a key away."""

    def change(data: dict[str, Any]) -> None:
        data["pair"][0].update({k: v for k, v in changes.items() if v is not None})
        for key in [k for k, v in changes.items() if v is None]:
            data["pair"][0].pop(key, None)

    return change


def at(*path: str | int, value: Any) -> Change:
    def change(data: dict[str, Any]) -> None:
        spot: Any = data
        for key in path[:-1]:
            spot = spot[key]
        spot[path[-1]] = value

    return change


def read_changed(monkeypatch: pytest.MonkeyPatch, name: str, change: Change) -> Any:
    """The table as its reader sees it after one change."""
    module, read = READERS[name]
    data = read_toml(resources() / name)
    change(data)
    monkeypatch.setattr(
        module, "raw_table", lambda _: RawTable(name=name, edition="test", data=data)
    )  # fmt: skip
    return read(BOOK.resins)


FIGURE = {"low": 1.0, "typical": 2.0, "high": 3.0, "unit": "degC", "basis": "memory"}
PE_HD = ("resins", "PE-HD")
FAULTS = [
    ("compat.toml", pair(basis="read", source=[]), "a source, which basis read owes"),
    ("compat.toml", pair(basis="library", source=[]), "a source, which basis library owes"),
    ("compat.toml", pair(basis="judgement", why=None, tolerated_share=0.05), "why, which a judgement owes"),
    ("compat.toml", pair(basis="hearsay"), "Expected a basis"),
    ("compat.toml", pair(source=["NOBODY-READ-IT"]), "a key of sources.toml"),
    ("compat.toml", pair(rating="splendid"), "one of same, good, limited, poor, hazard"),
    ("compat.toml", pair(tolerated_share=1.2), "a tolerated share from 0 to 1"),
    ("compat.toml", pair(tolerated_share=-0.1), "a tolerated share from 0 to 1"),
    ("compat.toml", pair(tolerated_share=float("nan")), "a tolerated share from 0 to 1"),
    ("compat.toml", pair(tolerated_share="5 %"), "a tolerated share from 0 to 1"),
    ("compat.toml", pair(tolerated_share=True), "a tolerated share from 0 to 1"),
    ("compat.toml", pair(tolerated_share=0.2, why=None), "a one-line why, since the usual share is 0.05"),
    ("compat.toml", pair(rating="hazard", tolerated_share=0.0), "what it gives off"),
    ("compat.toml", pair(guests=["PE-LD", "PE-LD"]), "one row for each pair"),
    ("compat.toml", pair(guests=["PE-LD", "marzipan"]), "no resin of resins.toml"),
    (
        "compat.toml",
        pair(
            tolerated_share=0.05, why=None,
            published=[{"fact": "injection_bale", "kind": "maximum", "value": 0.02, "source": "ISRI-2018"}],
        ),
        "the lowest published limit, or a why",
    ),
    (
        "compat.toml",
        pair(published=[{"fact": "x", "kind": "maximum", "value": 0.2, "source": "INVENTED"}]),
        "a key of sources.toml",
    ),
    ("compat.toml", at("unpigmented", "why", value=""), "a one-line why"),
    ("melt.toml", at(*PE_HD, "window_c", value={**FIGURE, "low": 5.0}), "low ≤ typical ≤ high"),
    ("melt.toml", at(*PE_HD, "window_c", value={**FIGURE, "basis": "read"}), "a source, which basis read owes"),
    ("melt.toml", at(*PE_HD, "window_c", value={**FIGURE, "unit": "degF"}), "the unit degC"),
    ("melt.toml", at(*PE_HD, "window_c", value={**FIGURE, "source": "GUESS"}), "a key of sources.toml"),
    ("melt.toml", at(*PE_HD, "onset_c", value={**FIGURE}), "opens under the onset of breakdown"),
    ("melt.toml", at("resins", "marzipan", value={"fumes": {"products": [], "basis": "read", "source": "S24"}}),
     "a resin of resins.toml"),
    ("cautions.toml", at("cautions", "guards", "source", value=[]), "a source, which basis read owes"),
    ("cautions.toml", at("cautions", "guards", "level", value="please"), "one of forbid, required"),
    ("cautions.toml", at("cautions", "guards", "acts", value=[]), "the act that the caution belongs to"),
    ("cautions.toml", at("cautions", "guards", "acts", value=["juggle"]), "one of receive, identify"),
    ("cautions.toml", at("cautions", "pvc-heat", "applies_to", value=["marzipan"]), "a resin of resins.toml"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "change", "said"), [pytest.param(*f, id=f"{f[0]}: {f[2]} {n}") for n, f in enumerate(FAULTS)]
)
def test_a_faulty_row_is_refused_and_the_fault_is_named(
    monkeypatch: pytest.MonkeyPatch, name: str, change: Change, said: str
) -> None:
    with pytest.raises(HandbookGap) as caught:
        read_changed(monkeypatch, name, change)
    assert said in str(caught.value)
    assert name in str(caught.value)


@pytest.mark.parametrize("name", sorted(READERS))
def test_an_unchanged_table_is_read(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    assert read_changed(monkeypatch, name, lambda _: None)


def test_a_share_over_a_published_limit_passes_only_with_a_why(monkeypatch: pytest.MonkeyPatch) -> None:
    over = {"fact": "injection_bale", "kind": "maximum", "value": 0.02, "source": "ISRI-2018"}
    matrix = read_changed(
        monkeypatch, "compat.toml", pair(tolerated_share=0.05, why="for a reason", published=[over])
    )
    assert next(iter(matrix.pairs.values())).why == "for a reason"


def test_our_own_shares_are_marked_as_estimates() -> None:
    data = read_toml(resources() / "compat.toml")
    assert {row["basis"] for row in data["tolerated"].values()} == {Basis.JUDGEMENT}
    assert all(row["why"] for row in data["tolerated"].values())
