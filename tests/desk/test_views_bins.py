"""What the shelf of bins, a bin's passport and the hold shelf are told."""

from pathlib import Path

import pytest
from app.sample import open_sample, sample_desk, take

from intake.desk import clock
from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.hold import hold_shelf
from intake.desk.labels import is_tagged, record_printed, tag_of
from intake.desk.observe import add_mark, add_test
from intake.desk.place import take_back
from intake.desk.report import report
from intake.desk.views.bins import bin_view, bins_view, moves_view
from intake.desk.views.hold import hold_view, settlings, waited
from intake.errors import BadInput
from intake.table.bins.ids import BinId
from intake.table.compat.decision import Verdict


def _jugs(desk: Desk, count: int = 4, mass_g: float = 240.0) -> str:
    return str(take(desk, "jug", count, mark="2 HDPE", test=("float:water", "floats"), mass_g=mass_g))


def test_the_shelf_tells_what_the_report_tells() -> None:
    desk = sample_desk()
    for tile, line in zip(bins_view(desk), report(desk).bins, strict=True):
        assert (tile.id, tile.resin, tile.colour, tile.flow) == (line.id, line.resin, line.colour, line.flow)
        assert (tile.items, tile.pieces, tile.shred) == (line.items, line.pieces, line.shred_g)


def test_a_bin_is_as_full_as_the_fuller_of_its_limits() -> None:
    """Jugs of 3.8 l fill 60 litres long before 15 kg: the demo's bins hold half a kilogram and are full."""
    desk = sample_desk()
    view = bin_view(desk, "QT-01")
    by_mass, by_room = view.mass_g / view.capacity_g, view.volume_l / view.capacity_l
    assert view.tile.full == max(by_mass, by_room)
    assert by_room > 10 * by_mass
    assert (view.capacity_g, view.capacity_l) == (15_000.0, 60.0)


def test_the_newest_item_of_a_bin_stands_first_with_what_was_observed(tmp_path: Path) -> None:
    with open_sample(tmp_path / "l") as desk:
        first, second = _jugs(desk), _jugs(desk, 2, 118.0)
        view = bin_view(desk, "QT-01")
        assert [one.item.id for one in view.items] == [second, first]
        assert [len(one.evidence) for one in view.items] == [2, 2]
        assert view.tile.pieces == 6


def test_foreign_material_is_told_against_what_the_bin_stands() -> None:
    desk = sample_desk()
    for tile in bins_view(desk):
        content = desk.bench()[BinId(tile.id)].content
        lines = bin_view(desk, tile.id).foreign
        assert lines
        chances = [line.over or 0.0 for line in lines]
        assert chances == sorted(chances, reverse=True)
        for line in lines:
            assert line.material != tile.resin
            assert line.expected == content.expected_share(line.material, bin_view(desk, tile.id).lot_g)


def test_of_a_hazard_only_the_expected_share_counts(tmp_path: Path) -> None:
    with open_sample(tmp_path / "l") as desk:
        take(desk, "detergent bottle", 2, mark="2", test=("float:water", "floats"), mass_g=118.0)
        hazards = [n for n in bin_view(desk, "QT-01").foreign if n.material == "PVC"]
        assert all(n.over is None and n.tolerated == desk.campaign.limits.pvc_of_lot for n in hazards)


def test_what_happened_to_a_bin_is_told_the_newest_first(tmp_path: Path) -> None:
    with open_sample(tmp_path / "l") as desk:
        first, second = _jugs(desk), _jugs(desk, 2, 118.0)
        take_back(desk, second)
        record_printed(desk, ["QT-01"])
        moves = moves_view(desk, "QT-01")
        assert [m.what for m in moves] == ["tagged", "taken_back", "placed", "placed", "opened"]
        assert [m.item.id if m.item else "" for m in moves] == ["", second, second, first, ""]
        assert [m.when for m in moves] == sorted((m.when for m in moves), reverse=True)


def test_a_tag_counts_as_handed_out_once_for_what_stands_on_it(tmp_path: Path) -> None:
    with open_sample(tmp_path / "l") as desk:
        _jugs(desk)
        assert not is_tagged(desk, "QT-01")
        record_printed(desk, ["QT-01", "QT-01"])
        record_printed(desk, ["QT-01"])
        assert [x.payload for x in desk.state.bins["QT-01"].labels] == [tag_of(desk, "QT-01").payload.text]
        assert bin_view(desk, "QT-01").tile.tagged


@pytest.mark.parametrize("view", [bin_view, moves_view, is_tagged])
def test_a_bin_that_is_not_there_is_named(view: object) -> None:
    with pytest.raises(BadInput, match="QT-99"):
        view(sample_desk(), "QT-99")  # type: ignore[operator]


def test_the_hold_shelf_tells_why_and_what_would_settle_it() -> None:
    desk = sample_desk()
    (line,) = hold_view(desk)
    item = line.item.id
    assert desk.state.items[item].verdict is Verdict.HOLD
    assert line.reasons == desk.state.items[item].resin_verdict.reasons  # type: ignore[union-attr]
    told = settlings(desk, (item, "gone"))
    assert list(told) == [item]
    assert told[item].test
    assert told[item] == next(tag.settle for tag in hold_shelf(desk) if tag.item == item)
    assert line.since_ms == next(tag.since_ms for tag in hold_shelf(desk) if tag.item == item)


def test_what_a_test_settled_leaves_the_shelf(tmp_path: Path) -> None:
    with open_sample(tmp_path / "l") as desk:
        item = take(desk, "jug", 3)
        assert [line.item.id for line in hold_view(desk)] == [item]
        add_mark(desk, item, "2 HDPE")
        add_test(desk, item, "float:water", "floats")
        decide(desk, item)
        assert hold_view(desk) == ()


@pytest.mark.parametrize(
    ("minutes", "told"),
    [
        (0, ("now", 0)),
        (59, ("minutes", 59)),
        (60, ("hours", 1)),
        (24 * 60 - 1, ("hours", 23)),
        (24 * 60, ("days", 1)),
        (-5, ("now", 0)),
    ],
    ids=["now", "an hour less a minute", "an hour", "a day less a minute", "a day", "a clock set back"],
)
def test_how_long_something_waits_is_told_in_the_largest_unit(
    minutes: int, told: tuple[str, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clock, "now_ms", lambda: 1_764_000_000_000 + minutes * 60_000)
    assert waited(1_764_000_000_000) == told
