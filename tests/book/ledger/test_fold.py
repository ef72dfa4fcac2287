"""The state that follows from events: what each act changes, in whatever order the events are told."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_story import BODIES, OTHER, STATION, judged, opened, received

from intake.ledger import fold
from intake.ledger.chain import Chain
from intake.ledger.checks import state_findings
from intake.ledger.events import (
    CampaignSet,
    EvidenceAdded,
    LabelPrinted,
    Placed,
    PrepDone,
    Revised,
    Source,
    SplitOff,
    Stage,
    TakenBack,
    Undone,
)
from intake.ledger.stamp import stamped
from intake.ledger.state import Part
from intake.table.compat.decision import Verdict
from intake.table.identify.evidence import Mark
from intake.table.item import Adhesive, Closure, LabelOff, Residue


def told(*bodies, station=STATION, now_ms=1_000):
    return stamped(bodies, station=station, chain=Chain(), now_ms=now_ms)[0]


def state_of(*bodies):
    return fold(told(*bodies))


def trouble(state):
    (finding,) = state.troubles
    return str(finding)


def test_nothing_happened_gives_an_empty_table():
    state = fold([])
    assert (state.campaign, dict(state.items), dict(state.bins), state.troubles) == (None, {}, {}, ())


def test_an_item_walks_from_the_table_into_a_bin():
    verdicts = (judged("a1"), judged("a1", stage=Stage.PLACING))
    state = state_of(opened(), received("a1", gross_g=62.0), *verdicts, Placed(item="a1", bin="QT-01"))
    item = state.items["a1"]
    assert (item.bin, item.verdict, item.facts.gross_g) == ("QT-01", Verdict.ACCEPT, 62.0)
    assert item.history == tuple(f"{STATION}.{n}" for n in (2, 3, 4, 5))
    assert state.bins["QT-01"].items == ("a1",)
    assert state.bins["QT-01"].history == (f"{STATION}.1", f"{STATION}.5")
    assert state_findings(state) == ()


def test_taken_back_it_lies_nowhere_and_can_be_placed_again():
    put, back = Placed(item="a1", bin="QT-01"), TakenBack(item="a1", bin="QT-01")
    state = state_of(opened(), received("a1"), put, back)
    assert (state.items["a1"].bin, state.bins["QT-01"].items) == (None, ())
    assert state_of(opened(), received("a1"), put, back, put).bins["QT-01"].items == ("a1",)


def test_the_last_campaign_holds():
    state = state_of(
        CampaignSet(campaign={"name": "a"}, edition="x"), CampaignSet(campaign={"name": "b"}, edition="x")
    )
    assert state.campaign.campaign == {"name": "b"}


def test_a_sheet_row_is_known_again():
    row = Source(sheet="c0ffee", row=4)
    assert state_of(received("a1", source=row)).sources == {row: "a1"}


def test_a_revision_changes_the_facts_and_nothing_else():
    state = state_of(
        received("a1", colour="white"), Revised(item="a1", changes={"gross_g": 48.0, "weighed": "prepared"})
    )
    facts = state.items["a1"].facts
    assert (facts.gross_g, facts.weighed, facts.colour) == (48.0, "prepared", "white")


@pytest.mark.parametrize(
    ("step", "left_on", "fact", "value"),
    [
        ("closure", None, "closure", Closure.OFF),
        ("closure", "on", "closure", Closure.ON),
        ("label", None, "label_off", LabelOff.YES),
        ("label", "partly", "label_off", LabelOff.PARTLY),
        ("adhesive", None, "adhesive", Adhesive.NONE),
        ("adhesive", "residue", "adhesive", Adhesive.RESIDUE),
        ("residue", None, "residue", Residue.CLEAN),
        ("residue", "rinsed", "residue", Residue.RINSED),
        ("residue", "no such word", "residue", Residue.FOOD),
    ],
)
def test_a_prep_step_changes_its_fact(step, left_on, fact, value):
    dirty = received("a1", closure=Closure.ON, adhesive=Adhesive.HEAVY, residue=Residue.FOOD)
    done = PrepDone(item="a1", step=step, minutes=2.0, left_on=left_on)
    item = state_of(dirty, done).items["a1"]
    assert getattr(item.facts, fact) == value
    assert item.prep == (done,)


def test_drying_is_logged_and_changes_no_fact():
    item = state_of(received("a1"), PrepDone(item="a1", step="dry", minutes=60.0)).items["a1"]
    assert item.facts == received("a1")
    assert item.prep[0].minutes == 60.0


def test_evidence_and_labels_are_kept_in_order():
    label = LabelPrinted(bin="QT-01", payload="x", edition="e")
    marks = [EvidenceAdded(item="a1", evidence=Mark(text=t)) for t in "25"]
    state = state_of(opened(), received("a1"), *marks, label)
    assert [mark.text for mark in state.items["a1"].evidence] == ["2", "5"]
    assert state.bins["QT-01"].labels == (label,)


def test_a_part_moves_mass_from_its_parent():
    state = state_of(
        received("jug", gross_g=60.0), received("cap"), SplitOff(item="cap", parent="jug", mass_g=4.5)
    )
    assert state.items["jug"].parts == (Part(item="cap", mass_g=4.5),)
    assert (state.items["jug"].split_g, state.items["cap"].parent) == (4.5, "jug")


@pytest.mark.parametrize(
    ("bodies", "says"),
    [
        ([judged("a1")], "Expected an item that was received before"),
        ([received("a1"), Placed(item="a1", bin="QT-09")], "'QT-09'. Expected a bin that was opened before"),
        ([received("a1"), received("a1")], "'a1'. Expected an id that no item has yet"),
        ([opened(), opened()], "'QT-01'. Expected an id that no bin has yet"),
        (
            [opened(), received("a1"), TakenBack(item="a1", bin="QT-01")],
            "Expected an item that lies in that bin",
        ),
        ([received("a1"), SplitOff(item="a1", parent="a1", mass_g=1.0)], "a part taken off one other item"),
    ],
)
def test_an_event_that_does_not_fit_is_told_and_passed_over(bodies, says):
    state = state_of(*bodies)
    assert says in trouble(state)
    assert state.troubles[0] in state_findings(state)


def test_placed_twice_it_lies_in_the_last_bin_only_and_that_is_told():
    places = (Placed(item="a1", bin="QT-01"), Placed(item="a1", bin="QT-02"))
    state = state_of(opened(), opened("QT-02"), received("a1"), *places)
    assert (state.bins["QT-01"].items, state.bins["QT-02"].items) == ((), ("a1",))
    assert "it lay in QT-01" in trouble(state)


class TestUndo:
    def test_an_undone_event_leaves_no_trace(self):
        before = state_of(opened(), received("a1"))
        after = state_of(
            opened(), received("a1"), Placed(item="a1", bin="QT-01"), Undone(event=f"{STATION}.3")
        )
        assert (after.items, after.bins) == (before.items, before.bins)
        assert after.undone == {f"{STATION}.3"}

    def test_undoing_an_undo_brings_the_event_back(self):
        events = [received("a1"), Undone(event=f"{STATION}.1"), Undone(event=f"{STATION}.2")]
        assert "a1" not in state_of(*events[:2]).items
        assert "a1" in state_of(*events).items

    @pytest.mark.parametrize("times", range(1, 7))
    def test_undo_and_redo_alternate(self, times):
        events = [received("a1"), *(Undone(event=f"{STATION}.{n}") for n in range(1, times + 1))]
        assert ("a1" in state_of(*events).items) == (times % 2 == 0)

    def test_an_undo_of_itself_or_of_nothing_changes_nothing(self):
        state = state_of(received("a1"), Undone(event=f"{STATION}.2"), Undone(event="none"))
        assert "a1" in state.items


class TestTwoTables:
    def both(self):
        here = told(opened("3"), received("a1", colour="white"), Placed(item="a1", bin="3"), now_ms=1_000)
        there = told(
            opened("3", colour="black"), received("a1", colour="black"), Placed(item="a1", bin="3"),
            station=OTHER, now_ms=2_000,
        )  # fmt: skip
        return here, there

    def test_an_id_that_both_used_is_renamed_visibly_and_nothing_is_mixed_up(self):
        here, there = self.both()
        state = fold([*there, *here])
        assert {name: item.bin for name, item in state.items.items()} == {
            "a1": "3",
            f"a1~{OTHER}": f"3~{OTHER}",
        }
        assert state.items[f"a1~{OTHER}"].facts.colour == "black"
        assert state.bins[f"3~{OTHER}"].items == (f"a1~{OTHER}",)
        assert state.troubles == ()

    @pytest.mark.parametrize("name", [f"a1~{STATION}", f"a1~{OTHER}", "a1"])
    def test_a_name_with_its_station_always_means_that_table_s_item(self, name):
        """The other table says 'a1~QT-…' for the item that came first, 'a1' or its full name for its own."""
        here, there = self.both()
        chain = Chain()
        chain.extend(OTHER, 3, there[-1].hlc, "0" * 64)
        late = stamped(
            [Revised(item=name, changes={"colour": "red"})], station=OTHER, chain=chain, now_ms=9_000
        )[0]
        state = fold([*here, *there, *late])
        assert state.items["a1"].facts.colour == ("red" if name == f"a1~{STATION}" else "white")
        assert state.items[f"a1~{OTHER}"].facts.colour == ("black" if name == f"a1~{STATION}" else "red")


@given(st.lists(BODIES, max_size=14), st.randoms(use_true_random=False))
def test_the_order_and_repeats_of_telling_do_not_matter(bodies, chance):
    events = list(told(*bodies))
    shuffled = events + chance.sample(events, len(events) // 2)
    chance.shuffle(shuffled)
    assert fold(shuffled) == fold(events)


@given(st.lists(BODIES, max_size=10), st.lists(BODIES, max_size=10), st.integers(0, 20), st.randoms())
def test_two_tables_fold_to_the_same_state_whoever_tells_first(ours, theirs, later, chance):
    events = [*told(*ours), *told(*theirs, station=OTHER, now_ms=1_000 + later)]
    state = fold(events)
    chance.shuffle(events)
    assert fold(events) == state


@given(st.lists(BODIES, max_size=14))
@settings(max_examples=150)
def test_whatever_is_told_an_item_lies_in_one_bin_and_no_mass_is_negative(bodies):
    state = state_of(*bodies)
    inside = [item for of in state.bins.values() for item in of.items]
    assert len(inside) == len(set(inside))
    assert {name for name, item in state.items.items() if item.bin} == set(inside)
    assert all(part.mass_g >= 0 for item in state.items.values() for part in item.parts)


@given(st.lists(BODIES.filter(lambda b: not isinstance(b, Undone)), min_size=1, max_size=12), st.data())
def test_an_undo_gives_the_state_that_would_have_been_without_the_event(bodies, data):
    events = list(told(*bodies))
    target = data.draw(st.sampled_from(events))
    undo = told(*bodies, Undone(event=target.id))[-1]
    without, after = fold([e for e in events if e is not target]), fold([*events, undo])
    assert (after.items, after.bins, after.sources) == (without.items, without.bins, without.sources)
    assert after.troubles == without.troubles


def test_a_long_random_day_is_folded_alike_forwards_and_shuffled():
    chance = random.Random(3)
    bodies = [opened("QT-01"), opened("QT-02")]
    for n in range(300):
        bodies += [
            received(f"a{n}"),
            Placed(item=f"a{chance.randrange(n + 1)}", bin=f"QT-0{chance.randrange(1, 3)}"),
        ]
    events = list(told(*bodies))
    state = fold(events)
    chance.shuffle(events)
    assert fold(events) == state
    assert sum(len(of.items) for of in state.bins.values()) == sum(1 for i in state.items.values() if i.bin)
