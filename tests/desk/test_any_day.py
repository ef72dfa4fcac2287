"""Any day at two tables that now and then take in each other: whatever people do, the books hold.

A random sequence of acts; one that is refused leaves the ledger as it was. After each act: an item lies in at most
one bin or lot, no mass is below zero, the balance closes, and the events in any order give the same state.
"""

import random
import shutil
import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from intake.desk.bin_life import merge_bins, relabel_bin, split_bin, write_off_bin
from intake.desk.campaign import campaign_of
from intake.desk.copies import merge_into
from intake.desk.decide import decide
from intake.desk.desk import Desk
from intake.desk.draw import draw, melt_tested, weigh_again, write_off_lot
from intake.desk.float_shred import float_shred
from intake.desk.observe import add_mark, add_test, revise
from intake.desk.place import place_in_bin, take_back
from intake.desk.prepare import prep_all, weigh
from intake.desk.receive import receive, receive_again
from intake.desk.regroup import regroup
from intake.desk.report import report
from intake.desk.shred import shred
from intake.desk.undo import undo_item, undo_last, undo_last_of_bin, undo_last_of_lot, undo_named, undo_shred
from intake.errors import IntakeError
from intake.handbook import Handbook
from intake.ledger import fold
from intake.ledger.checks import CHECKS
from intake.ledger.verify import verify
from intake.table.bins.melt_test import Bend, MeltTest, Peel, Smell, Specks

BOOK = Handbook()
CAMPAIGN = campaign_of(
    {"name": "Slats", "letters": "QT", "charge": [{"id": "slat", "resin": "PE-HD", "cavity": "1 L"}]},
    BOOK,
    where="test",
)
ALWAYS = ("misplaced", "lost_lots", "negative_mass", "circular_parts")
"""Checks that hold also after two tables told different things; the other two may then be told as troubles."""

MELT = MeltTest(smell=Smell.WAXY, specks=Specks.FEW, peel=Peel.NO, bend=Bend.BENDS)

CHANGES = ({"count": 2}, {"residue": "motor-oil"}, {"tare_g": 900.0})
OF_A_BIN = ("merge", "split", "relabel", "off", "regroup")

tables = st.sampled_from((0, 1))
places = st.integers(0, 5)


class AnyDay(RuleBasedStateMachine):
    """Two desks and what people do at them."""

    @initialize()
    def open(self) -> None:
        self.place = Path(tempfile.mkdtemp(prefix="any-day-"))
        self.desks = [Desk.open(self.place / name, BOOK, CAMPAIGN) for name in ("a", "b")]
        self.merged = False

    def teardown(self) -> None:
        for desk in self.desks:
            folder = desk.ledger.folder
            desk.close()
            found = verify(folder)
            assert not found.damage
            assert self.merged or not found.findings
        shutil.rmtree(self.place)

    def tried(self, table: int, act, *args, **more) -> None:
        """An act; where it is refused nothing is recorded."""
        desk = self.desks[table]
        before = desk.ledger.payloads()
        try:
            act(desk, *args, **more)
        except IntakeError:
            assert desk.ledger.payloads() == before
        assert desk.ledger.payloads()[: len(before)] == before

    def one(self, table: int, shelf: str, place: int) -> str:
        """The id of something on a shelf of the table; a name nobody has where the shelf is empty."""
        names = list(getattr(self.desks[table].state, shelf))
        return names[place % len(names)] if names else "nobody"

    @rule(table=tables, kind=st.sampled_from(("jug", "bottle cap", "blister pack")), count=st.integers(1, 4))
    def receive(self, table, kind, count) -> None:
        self.tried(table, receive, kind, count, colour="natural")

    @rule(table=tables, count=st.integers(1, 3), mass_g=st.floats(5, 300))
    def walk_in(self, table, count, mass_g) -> None:
        """A good jug, straight into its bin."""
        self.tried(table, receive, "jug", count, colour="natural")
        item = list(self.desks[table].state.items)[-1]
        self.tried(table, add_mark, item, "2 HDPE")
        self.tried(table, add_test, item, "float:water", "floats")
        self.tried(table, decide, item)
        self.tried(table, weigh, item, mass_g)
        self.tried(table, place_in_bin, item)

    @rule(table=tables, place=places, act=st.sampled_from(
        (decide, place_in_bin, take_back, prep_all, receive_again, undo_last, undo_item)))  # fmt: skip
    def of_an_item(self, table, place, act) -> None:
        self.tried(table, act, self.one(table, "items", place))

    @rule(table=tables, place=places, text=st.sampled_from(("2 HDPE", "3 PVC", "5", "")))
    def mark(self, table, place, text) -> None:
        self.tried(table, add_mark, self.one(table, "items", place), text)

    @rule(table=tables, place=places, mass_g=st.floats(0, 500))
    def weigh(self, table, place, mass_g) -> None:
        self.tried(table, weigh, self.one(table, "items", place), mass_g)

    @rule(
        table=tables,
        place=places,
        change=st.sampled_from(({"count": 2}, {"residue": "motor-oil"}, {"tare_g": 900.0})),
    )
    def revise(self, table, place, change) -> None:
        self.tried(table, revise, self.one(table, "items", place), change)

    @rule(table=tables, place=places, share=st.floats(0.3, 1.2))
    def shred(self, table, place, share) -> None:
        name = self.one(table, "bins", place)
        state = self.desks[table].state.bins.get(name)
        mass_g = (
            sum(self.desks[table].state.items[i].facts.gross_g or 40.0 for i in state.items)
            if state
            else 10.0
        )
        self.tried(table, shred, name, max(mass_g * share, 1.0), sure=True)

    @rule(
        table=tables,
        place=places,
        other=places,
        act=st.sampled_from(("merge", "split", "relabel", "off", "regroup")),
    )
    def of_a_bin(self, table, place, other, act) -> None:
        name, into = self.one(table, "bins", place), self.one(table, "bins", other)
        state = self.desks[table].state.bins.get(name)
        if act == "merge":
            self.tried(table, merge_bins, name, into)
        elif act == "split":
            self.tried(table, split_bin, name, state.items[:1] if state else ())
        elif act == "relabel":
            self.tried(table, relabel_bin, name, "white")
        elif act == "off":
            self.tried(table, write_off_bin, name, "spilled")
        else:
            self.tried(table, regroup)

    @rule(table=tables, place=places, mass_g=st.floats(0.5, 120),
          act=st.sampled_from(("draw", "float", "off", "again", "melt")))  # fmt: skip
    def of_a_lot(self, table, place, mass_g, act) -> None:
        lot = self.one(table, "lots", place)
        if act == "draw":
            self.tried(table, draw, lot, "slat", mass_g)
        elif act == "float":
            self.tried(table, float_shred, lot, mass_g)
        elif act == "off":
            self.tried(table, write_off_lot, lot, "spilled", mass_g=mass_g)
        elif act == "again":
            self.tried(table, weigh_again, lot, mass_g, reason="scale")
        else:
            self.tried(table, melt_tested, lot, MELT)

    @rule(table=tables, place=places, act=st.sampled_from((undo_last_of_lot, undo_shred, undo_named)))
    def undo_of_a_lot(self, table, place, act) -> None:
        self.tried(table, act, self.one(table, "lots", place))

    @rule(table=tables, place=places)
    def undo_of_a_bin(self, table, place) -> None:
        self.tried(table, undo_last_of_bin, self.one(table, "bins", place))

    @rule(table=tables)
    def merge(self, table) -> None:
        """One table takes in the other; done again it brings nothing."""
        mine, other = self.desks[table], self.desks[1 - table]
        folder = mine.ledger.folder
        mine.close()
        merge_into(folder, other.ledger.folder)
        assert merge_into(folder, other.ledger.folder).added == ()
        self.desks[table] = Desk.open(folder, BOOK)
        self.merged = True

    @rule(table=tables)
    def power_cut(self, table) -> None:
        """Closed and opened, the table is the same."""
        state, folder = self.desks[table].state, self.desks[table].ledger.folder
        self.desks[table].close()
        self.desks[table] = Desk.open(folder, BOOK)
        assert self.desks[table].state == state

    @invariant()
    def the_books_hold(self) -> None:
        for desk in self.desks:
            names = ALWAYS if self.merged else tuple(CHECKS)
            assert [str(f) for name in names for f in CHECKS[name](desk.state)] == []
            assert abs(report(desk).balance.gap_g) < 1e-6

    @invariant()
    def the_order_in_which_events_are_told_does_not_matter(self) -> None:
        for desk in self.desks:
            events = list(desk.ledger.events())
            random.Random(len(events)).shuffle(events)
            assert fold(events + events[:3]) == desk.state

    @invariant()
    def tables_that_know_the_same_say_the_same(self) -> None:
        first, second = (desk.ledger for desk in self.desks)
        if first.heads == second.heads:
            assert first.state == second.state


AnyDay.TestCase.settings = settings(max_examples=12, stateful_step_count=20, deadline=None)
TestAnyDay = AnyDay.TestCase
