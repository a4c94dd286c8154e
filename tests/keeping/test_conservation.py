"""Eggs and larvae are conserved, whatever is entered in whatever order.

A slate is kept beside the book with a way of reckoning of its own: a list of what was
entered, added up from nothing. After any entries, back-dated, taken back and put back,
fates, ledger, numbers, life tables and round must all say what the slate says.
"""

from __future__ import annotations

import datetime as dt
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from rearing.keeping import boxes, broods, care, eggs, housing
from rearing.keeping.fates import End, fates
from rearing.keeping.holding import holding
from rearing.keeping.ledger import box_events, standing
from rearing.keeping.life import life_of
from rearing.keeping.round import round_of
from rearing.keeping.round_lines import Task
from rearing.problems import AskFirst, Refusal
from rearing.records.book import Book
from rearing.records.rows import BoxRow, BroodRow, EggPotRow
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, Cause, EggFate, ExitKind
from tests.keeping.karst_book import LATER, Ids, on
from tests.keeping.slate import COUNTED, IN, LEFT, LOST, OUT, Mark, Slate

if TYPE_CHECKING:
    from collections.abc import Callable

FATES = [fate for fate in EggFate if fate is not EggFate.HATCHED]
DAYS = st.integers(0, 38)
NUMBERS = st.integers(1, 30)
WHICH = st.integers(0, 5)
SHELF = load_all()


class Keeping(RuleBasedStateMachine):
    """A keeper who enters, back-dates, and thinks better of it."""

    source: tuple[Path, Ids]

    @initialize()
    def begin(self) -> None:
        path, self.ids = self.source
        self.folder = tempfile.TemporaryDirectory()
        self.book = Book.open(Path(shutil.copy(path, self.folder.name)))
        self.slate, ids = Slate(), self.ids
        hatched, housed = on(6, 11), on(6, 11)
        self.slate.write(
            Mark(on(5, 28), "laid", ids.pot, 41),
            Mark(hatched, EggFate.HATCHED, ids.pot, 35),
            Mark(housed, "housed", ids.pot, 30),
            Mark(housed, IN, ids.box, 30),
        )
        self.kept = len(self.slate.entries)

    def teardown(self) -> None:
        if hasattr(self, "book"):
            self.book.close()
            self.folder.cleanup()

    # what a keeper does

    def enter(self, verb: Callable[[], object], *marks: Mark) -> bool:
        """Enter something; what is refused leaves no mark."""
        before = self.book.journal(most=1)
        try:
            verb()
        except Refusal:
            assert self.book.journal(most=1) == before
            return False
        self.slate.write(*marks)
        return True

    def a_pot(self, which: int) -> int:
        pots = sorted(row.id for row in self.book.all(EggPotRow))
        return pots[which % len(pots)]

    def a_box(self, which: int) -> int:
        found = sorted(row.id for row in self.book.all(BoxRow))
        return found[which % len(found)]

    @rule(day=DAYS, number=NUMBERS, which=WHICH)
    def lay(self, day: int, number: int, which: int) -> None:
        evening, pot = _day(day), self.a_pot(which)
        self.enter(
            lambda: eggs.record_eggs(
                *(self.book, LATER),
                parents=eggs.Parents(self.ids.moth),
                evening=evening,
                number=number,
                pot=eggs.Pot(pot),
            ),
            Mark(evening, "laid", pot, number),
        )

    @rule(day=DAYS, number=NUMBERS, which=WHICH, fate=st.sampled_from(list(EggFate)))
    def say_fate(self, day: int, number: int, which: int, fate: EggFate) -> None:
        when, pot = _day(day), self.a_pot(which)
        self.enter(
            lambda: eggs.record_fate(
                *(self.book, LATER), pot_id=pot, fate=fate, number=number, on=when
            ),
            Mark(when, fate, pot, number),
        )

    @rule(day=DAYS, number=NUMBERS, pot=WHICH, box=WHICH)
    def put_on_leaf(self, day: int, number: int, pot: int, box: int) -> None:
        when, source, target = _day(day), self.a_pot(pot), self.a_box(box)
        self.enter(
            lambda: boxes.move_animals(
                *(self.book, LATER),
                origin=boxes.Origin(pot_id=source),
                to_box_id=target,
                number=number,
                when=boxes.When(when),
            ),
            Mark(when, "housed", source, number),
            Mark(when, IN, target, number),
        )

    @rule(day=DAYS, number=NUMBERS, box=WHICH, other=WHICH)
    def move(self, day: int, number: int, box: int, other: int) -> None:
        when, source, target = _day(day), self.a_box(box), self.a_box(other)
        self.enter(
            lambda: boxes.move_animals(
                *(self.book, LATER),
                origin=boxes.Origin(box_id=source),
                to_box_id=target,
                number=number,
                when=boxes.When(when),
            ),
            Mark(when, OUT, source, number),
            Mark(when, IN, target, number),
        )

    @rule(day=DAYS, number=NUMBERS, box=WHICH)
    def split(self, day: int, number: int, box: int) -> None:
        when, source = _day(day), self.a_box(box)
        new = housing.NewBox(BoxKind.BOX, self.ids.hall)
        if self.enter(
            lambda: housing.move_into_new(
                *(self.book, LATER),
                box_id=source,
                number=number,
                into=new,
                when=boxes.When(when),
            )
        ):
            made = max(row.id for row in self.book.all(BoxRow))
            self.slate.entries[-1] = (
                Mark(when, OUT, source, number),
                Mark(when, IN, made, number),
            )

    @rule(day=DAYS, number=st.integers(0, 40), box=WHICH, lost=st.integers(0, 6))
    def count(self, day: int, number: int, box: int, lost: int) -> None:
        """Count up or down, with losses found at it."""
        when, own = _day(day), self.a_box(box)
        found = [care.Lost(lost, Cause.HEAT)] if lost else []
        marks = [Mark(when, LOST, own, lost)] if lost else []
        self.enter(
            lambda: care.count_box(
                *(self.book, LATER),
                box_id=own,
                number=number,
                when=boxes.When(when),
                losses=found,
            ),
            *marks,
            Mark(when, COUNTED, own, number),
        )

    @rule(day=DAYS, number=NUMBERS, box=WHICH)
    def lose(self, day: int, number: int, box: int) -> None:
        when, own = _day(day), self.a_box(box)
        self.enter(
            lambda: care.lose(
                *(self.book, LATER),
                box_id=own,
                lost=care.Lost(number, Cause.DRY_LEAF),
                when=boxes.When(when),
            ),
            Mark(when, LOST, own, number),
        )

    @rule(day=DAYS, number=NUMBERS, box=WHICH)
    def give(self, day: int, number: int, box: int) -> None:
        when, own = _day(day), self.a_box(box)
        self.enter(
            lambda: care.let_leave(
                *(self.book, LATER),
                box_id=own,
                kind=ExitKind.GIVEN,
                number=number,
                when=boxes.When(when),
            ),
            Mark(when, LEFT, own, number),
        )

    @rule(day=DAYS, box=WHICH)
    def close(self, day: int, box: int) -> None:
        when, own = _day(day), self.a_box(box)
        left, _ = self.slate.box(own)
        marks = [Mark(when, COUNTED, own, 0)] if left else []
        self.enter(
            lambda: boxes.close_box(
                *(self.book, LATER), box_id=own, when=boxes.When(when)
            ),
            *marks,
        )

    @rule()
    def take_back(self) -> None:
        if len(self.slate.entries) > self.kept:
            self.book.take_back(LATER, sure=True)
            self.slate.wipe()

    @rule()
    def put_back(self) -> None:
        if self.slate.wiped:
            self.book.do_again(LATER)
            self.slate.write_again()

    # what must hold

    @invariant()
    def all_pages_say_what_the_slate_says(self) -> None:
        for day in (on(6, 11), on(6, 20), on(7, 6)):
            self.eggs_are_conserved(day)
            self.larvae_are_conserved(day)
            self.pages_agree(day)

    def eggs_are_conserved(self, day: dt.date) -> None:
        held = holding(self.book, day, brood_id=self.ids.brood, all_ever=True)
        for pot in held.pots:
            told = self.slate.pot(pot.row.id, day)
            fated = sum(told[fate] for fate in EggFate)
            assert pot.eggs == told["laid"]
            assert pot.waiting == told["laid"] - fated
            assert {f: pot.of(f) for f in EggFate} == {f: told[f] for f in EggFate}
            assert pot.unhoused == told[EggFate.HATCHED] - told["housed"]
            assert pot.waiting >= 0
            assert pot.unhoused >= 0

    def larvae_are_conserved(self, day: dt.date) -> None:
        ids = [row.id for row in self.book.all(BoxRow)]
        for box, events in box_events(self.book, ids, day).items():
            number, missing = self.slate.box(box, day)
            stands = standing(events)
            assert (stands.number, stands.unaccounted) == (number, missing)
            assert stands.number >= 0

    def pages_agree(self, day: dt.date) -> None:
        slate, brood = self.slate, self.book.one(BroodRow, self.ids.brood)
        ids = [row.id for row in self.book.all(BoxRow)]
        number = sum(slate.box(box, day)[0] for box in ids)
        missing = sum(slate.box(box, day)[1] for box in ids)
        hatched, housed = slate.sum(EggFate.HATCHED, day), slate.sum("housed", day)
        lost, left = slate.sum(LOST, day), slate.sum(LEFT, day)
        assert hatched == number + hatched - housed + lost + left + missing

        found = fates(self.book, brood, day)
        assert (found.eggs, found.hatched) == (slate.sum("laid", day), hatched)
        # more counted than ever came in came from elsewhere, and is no hatch
        more = sum(x.number for x in found.came if not x.hatched)
        assert found.number(End.LOST) == lost
        assert found.number(End.LEFT) == left
        assert found.number(End.UNACCOUNTED) - more == missing
        assert found.all_alive == number + hatched - housed

        life = life_of(self.book, brood, day)
        assert (life.came, life.living) == (hatched + more, found.all_alive)
        held = holding(self.book, day, brood_id=brood.id, all_ever=True)
        told = broods._numbers(self.book, held, ids, day)
        assert told.is_balanced
        assert (told.alive, told.unaccounted) == (number, missing)

    def teardown_round(self) -> None:
        """Compare the round too, once an order of entries has come to its end."""
        day = on(7, 6)
        found = round_of(self.book, SHELF, day, everything=True)
        for line in found.lines:
            if line.kind == "box":
                assert line.number == self.slate.box(line.id, day)[0]
            elif line.kind == "pot":
                told = self.slate.pot(line.id, day)
                unhoused = told[EggFate.HATCHED] - told["housed"]
                waiting = told["laid"] - sum(told[fate] for fate in EggFate)
                on_leaf = line.task is Task.PUT_ON_LEAF
                assert line.number == (unhoused if on_leaf else waiting)


def _day(number: int) -> dt.date:
    return on(5, 28) + dt.timedelta(days=number)


def test_a_count_behind_what_was_taken_out_later_is_asked_about(
    book: Book, ids: Ids
) -> None:
    """30 stand in the box from 11 June; 5 are given on 28 June."""
    care.let_leave(
        *(book, LATER),
        box_id=ids.box,
        kind=ExitKind.GIVEN,
        number=5,
        when=boxes.When(on(6, 28)),
    )
    early = boxes.When(on(6, 16))
    with pytest.raises(AskFirst, match="4 more were taken out on later days"):
        care.count_box(book, LATER, box_id=ids.box, number=1, when=early)
    care.count_box(book, LATER, box_id=ids.box, number=5, when=early)
    events = box_events(book, [ids.box], on(7, 6))[ids.box]
    assert standing(events).number == 0
    care.count_box(book, LATER, box_id=ids.box, number=1, when=early, sure=True)


def test_every_page_conserves_eggs_and_larvae(filled: tuple[Path, Ids]) -> None:
    class Own(Keeping):
        source = filled

        def teardown(self) -> None:
            if hasattr(self, "book"):
                self.teardown_round()
            super().teardown()

    run_state_machine_as_test(
        Own,
        settings=settings(
            max_examples=8,
            stateful_step_count=14,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
