"""A keeper with three broods, and a slate beside the book: for drawn entries."""

from __future__ import annotations

import datetime as dt
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    rule,
)

from rearing.keeping import boxes, care, eggs, housing, leaf, sleeves, splitting
from rearing.problems import Refusal
from rearing.records.book import Book
from rearing.records.rows import BoxRow, EggPotRow
from rearing.terms import BoxKind, Cause, EggFate, ExitKind, Stage
from tests.keeping.karst_book import LATER, Ids, on
from tests.keeping.slate import (
    BECOMES,
    COUNTED,
    EMPTIED,
    IN,
    LEFT,
    LOST,
    OUT,
    Mark,
    Slate,
)
from tests.keeping.test_verbs_boxes import other_brood

if TYPE_CHECKING:
    from collections.abc import Callable

DAYS = st.integers(12, 24)
NUMBERS = st.integers(1, 6)
WHICH = st.integers(0, 9)


class Keeper(RuleBasedStateMachine):
    """A keeper with three broods, who puts them together and apart again."""

    source: tuple[Path, Ids]

    @initialize()
    def begin(self) -> None:
        path, self.ids = self.source
        self.folder = tempfile.TemporaryDirectory()
        self.book = Book.open(Path(shutil.copy(path, self.folder.name)))
        self.slate = Slate()
        self.slate.write(
            Mark(on(5, 28), "laid", self.ids.pot, 41),
            Mark(on(6, 11), EggFate.HATCHED, self.ids.pot, 35),
            Mark(on(6, 11), "housed", self.ids.pot, 30),
            Mark(on(6, 11), IN, self.ids.box, 30),
        )
        self.trees = [
            leaf.add_tree(self.book, LATER, name=name, host="pear").new_id
            for name in ("Well", "Wall")
        ]
        for _ in range(2):
            self._another_brood()
        self.kept = len(self.slate.entries)

    def _another_brood(self) -> None:
        """Let nine hatch, and put seven of them in a sleeve of their own."""
        brood = other_brood(self.book, self.ids)
        pot = next(p.id for p in self.book.all(EggPotRow) if p.brood_id == brood)
        eggs.record_fate(
            *(self.book, LATER),
            pot_id=pot,
            fate=EggFate.HATCHED,
            number=9,
            on=on(6, 11),
        )
        new = housing.NewBox(BoxKind.SLEEVE, self.ids.hall, tree_id=self.trees[0])
        box = housing.put_on_leaf(
            *(self.book, LATER),
            pot_id=pot,
            number=7,
            into=housing.Into(new=new),
            when=boxes.When(on(6, 11)),
        ).new_id
        self.slate.write(
            Mark(on(5, 29), "laid", pot, 9),
            Mark(on(6, 11), EggFate.HATCHED, pot, 9),
            Mark(on(6, 11), "housed", pot, 7),
            Mark(on(6, 11), IN, box, 7),
        )

    def teardown(self) -> None:
        if hasattr(self, "book"):
            self.book.close()
            self.folder.cleanup()

    def a_line_was_made(self) -> None:
        """What is to hold whenever a line was made, or taken back."""

    # what a keeper does

    def enter(self, verb: Callable[[], object], *marks: Mark) -> bool:
        """Enter something in one line of the journal; a refusal leaves no mark."""
        before = self.book.journal(most=1)[0].id
        try:
            verb()
        except Refusal:
            assert self.book.journal(most=1)[0].id == before
            return False
        assert self.book.journal(most=1)[0].id == before + 1
        self.slate.write(*marks)
        return True

    def a_box(self, which: int) -> int:
        """Return a box, more often one that stands."""
        rows = self.book.all(BoxRow)
        found = sorted(
            row.id
            for row in rows
            if which > 7 or (row.closed_on is None and self.slate.box(row.id)[0])
        )
        return found[which % len(found)] if found else rows[0].id

    def a_pot(self, which: int) -> int:
        pots = sorted(row.id for row in self.book.all(EggPotRow))
        return pots[which % len(pots)]

    def newest(self) -> BoxRow:
        return max(self.book.all(BoxRow), key=lambda row: row.id)

    def put_together(
        self, day: dt.date, target: int, number: int, verb: Callable[[], object]
    ) -> tuple[Mark, ...]:
        """Enter what puts animals into a box; return what the box's own do by it."""
        last, held = self.newest().id, self.slate.box(target, day)[0]
        if not self.enter(verb):
            return ()
        made = self.newest()
        if made.id == last:
            return (Mark(day, IN, target, number),)
        assert held > 0
        self.a_line_was_made()
        return (
            Mark(day, BECOMES, target, made.id),
            Mark(day, EMPTIED, target, held),
            Mark(day, IN, made.id, held),
            Mark(day, IN, made.id, number),
        )

    @rule(day=DAYS, number=NUMBERS, pot=WHICH, box=WHICH)
    def put_on_leaf(self, day: int, number: int, pot: int, box: int) -> None:
        when, source, target = _day(day), self.a_pot(pot), self.a_box(box)
        marks = self.put_together(
            *(when, target, number),
            lambda: boxes.move_animals(
                *(self.book, LATER),
                origin=boxes.Origin(pot_id=source),
                to_box_id=target,
                number=number,
                when=boxes.When(when),
                sure=True,
            ),
        )
        if marks:
            told = Mark(when, "housed", source, number)
            self.slate.entries[-1] = (*marks, told)

    @rule(
        day=DAYS,
        number=NUMBERS,
        box=WHICH,
        other=WHICH,
        stage=st.sampled_from([None, Stage.L3, Stage.PUPA]),
    )
    def move(
        self, day: int, number: int, box: int, other: int, stage: Stage | None
    ) -> None:
        when, source, target = _day(day), self.a_box(box), self.a_box(other)
        marks = self.put_together(
            *(when, target, number),
            lambda: boxes.move_animals(
                *(self.book, LATER),
                origin=boxes.Origin(box_id=source),
                to_box_id=target,
                number=number,
                when=boxes.When(when),
                stage=stage,
                sure=True,
            ),
        )
        if marks:
            self.slate.entries[-1] = (*marks, Mark(when, OUT, source, number))

    @rule(day=DAYS, box=WHICH, other=WHICH)
    def join(self, day: int, box: int, other: int) -> None:
        when, source, target = _day(day), self.a_box(box), self.a_box(other)
        number = self.slate.box(source, when)[0]
        marks = self.put_together(
            *(when, target, number),
            lambda: splitting.join_boxes(
                *(self.book, LATER),
                box_id=source,
                to_box_id=target,
                when=boxes.When(when),
                sure=True,
            ),
        )
        if marks:
            self.slate.entries[-1] = (*marks, Mark(when, EMPTIED, source, number))

    @rule(
        day=DAYS,
        box=WHICH,
        numbers=st.lists(NUMBERS, min_size=1, max_size=3).map(tuple),
    )
    def split(self, day: int, box: int, numbers: tuple[int, ...]) -> None:
        when, source = _day(day), self.a_box(box)
        last, held = self.newest().id, self.slate.box(source, when)[0]
        into = splitting.Parts(numbers, BoxKind.BOTTLE, self.ids.hall)
        if self.enter(
            lambda: splitting.split_box(
                *(self.book, LATER),
                box_id=source,
                into=into,
                when=boxes.When(when),
                sure=True,
            )
        ):
            made = sorted(r.id for r in self.book.all(BoxRow) if r.id > last)
            closed = self.book.one(BoxRow, source).closed_on == when
            assert not closed or held == sum(numbers)
            out = EMPTIED if closed else OUT
            self.slate.entries[-1] = (
                *(Mark(when, out, source, number) for number in numbers),
                *(Mark(when, IN, *one) for one in zip(made, numbers, strict=True)),
            )

    @rule(day=DAYS, number=st.integers(0, 20), box=WHICH, lost=st.integers(0, 3))
    def count(self, day: int, number: int, box: int, lost: int) -> None:
        when, own = _day(day), self.a_box(box)
        marks = [Mark(when, LOST, own, lost)] if lost else []
        self.enter(
            lambda: care.count_box(
                *(self.book, LATER),
                box_id=own,
                number=number,
                when=boxes.When(when),
                losses=[care.Lost(lost, Cause.HEAT)] if lost else [],
            ),
            *marks,
            Mark(when, COUNTED, own, number),
        )

    @rule(day=DAYS, tree=st.integers(0, 1), box=WHICH, number=st.integers(0, 20))
    def sleeve(self, day: int, tree: int, box: int, number: int) -> None:
        """Put a sleeve on another branch, mostly counted on the way."""
        when, own = _day(day), self.a_box(box)
        told = number if number > 3 else None
        marks = [] if told is None else [Mark(when, COUNTED, own, told)]
        self.enter(
            lambda: sleeves.move_sleeve(
                *(self.book, LATER),
                box_id=own,
                tree_id=self.trees[tree],
                when=boxes.When(when),
                number=told,
            ),
            *marks,
        )

    @rule(day=DAYS, number=NUMBERS, box=WHICH)
    def lose(self, day: int, number: int, box: int) -> None:
        when, own = _day(day), self.a_box(box)
        self.enter(
            lambda: care.lose(
                *(self.book, LATER),
                box_id=own,
                lost=care.Lost(number, Cause.VIRUS),
                when=boxes.When(when),
            ),
            Mark(when, LOST, own, number),
        )

    @rule(day=DAYS, number=NUMBERS, box=WHICH)
    def emerge(self, day: int, number: int, box: int) -> None:
        when, own = _day(day), self.a_box(box)
        self.enter(
            lambda: care.let_leave(
                *(self.book, LATER),
                box_id=own,
                kind=ExitKind.EMERGED,
                number=number,
                when=boxes.When(when),
            ),
            Mark(when, LEFT, own, number),
        )

    @rule(day=DAYS, box=WHICH, pupae=NUMBERS, late=st.integers(0, 3))
    def look(self, day: int, box: int, pupae: int, late: int) -> None:
        when, own = _day(day), self.a_box(box)
        seen = {Stage.L5: care.Seen(late), Stage.PUPA: care.Seen(pupae)}
        self.enter(
            lambda: care.look_at_stages(
                *(self.book, LATER), box_id=own, seen=seen, when=boxes.When(when)
            )
        )

    @rule(day=DAYS, box=WHICH)
    def close(self, day: int, box: int) -> None:
        when, own = _day(day), self.a_box(box)
        marks = [Mark(when, COUNTED, own, 0)] if self.slate.box(own)[0] else []
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
            self.a_line_was_made()

    @rule()
    def put_back(self) -> None:
        if self.slate.wiped:
            self.book.do_again(LATER)
            self.slate.write_again()


def _day(number: int) -> dt.date:
    return on(5, 30) + dt.timedelta(days=number)
