"""Eggs and larvae are conserved through mixing, splitting, joining and sleeving.

Three broods of one species, entered in any order, back-dated, taken back and put back.
A slate beside the book reckons on its own what each box holds, which line it is of and
which broods that line may be of.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, settings
from hypothesis.stateful import (
    invariant,
    run_state_machine_as_test,
)

from rearing.keeping import broods
from rearing.keeping.descent import chain
from rearing.keeping.fates import End, fates
from rearing.keeping.holding import holding
from rearing.keeping.ledger import box_events, standing
from rearing.keeping.mixing import one_of_words, sources_of
from rearing.keeping.round import round_of
from rearing.records.rows import BoxRow, BroodRow, EggPotRow, MoveRow, StayRow
from rearing.sheets.shelf import load_all
from rearing.terms import EggFate
from tests.keeping.karst_book import Ids, on
from tests.keeping.mixing_keeper import Keeper
from tests.keeping.slate import (
    LEFT,
    LOST,
)

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

SHELF = load_all()
SEEN = (on(6, 17), on(7, 6))


class Mixing(Keeper):
    """What must hold, whatever the keeper enters."""

    def teardown(self) -> None:
        if hasattr(self, "book"):
            self.whole_book_adds_up()
            self.the_round_agrees()
        super().teardown()

    def a_line_was_made(self) -> None:
        self.a_mixed_line_is_of_those_that_came_into_it()

    @invariant()
    def every_box_holds_what_the_slate_says(self) -> None:
        rows = {row.id: row for row in self.book.all(BoxRow)}
        for day in (*SEEN, on(7, 19)):
            for box, events in box_events(self.book, list(rows), day).items():
                stands, told = standing(events), self.slate.box(box, day)
                assert (stands.number, stands.unaccounted) == told
                assert stands.number >= 0
                shut = rows[box].closed_on
                assert shut is None or shut > day or stands.number == 0

    def whole_book_adds_up(self) -> None:
        self.all_broods_together_are_conserved()
        self.each_brood_and_line_adds_up()
        self.a_mixed_line_is_of_those_that_came_into_it()
        self.every_box_stands_somewhere_while_it_is_open()

    def all_broods_together_are_conserved(self) -> None:
        for day in SEEN:
            slate = self.slate
            ids = [row.id for row in self.book.all(BoxRow)]
            told = [fates(self.book, b, day) for b in self._broods(day)]
            assert sum(x.eggs for x in told) == slate.sum("laid", day)
            hatched = sum(x.hatched for x in told)
            assert hatched == slate.sum(EggFate.HATCHED, day)
            alive = sum(slate.box(box, day)[0] for box in ids)
            missing = sum(slate.box(box, day)[1] for box in ids)
            unhoused = hatched - slate.sum("housed", day)
            assert sum(x.all_alive for x in told) == alive + unhoused
            assert hatched == (
                alive + unhoused + slate.sum(LOST, day) + slate.sum(LEFT, day) + missing
            )

    def each_brood_and_line_adds_up(self) -> None:
        for day in SEEN:
            for brood in self._broods(day):
                told = fates(self.book, brood, day)
                assert told.eggs == sum(told.egg_fates.values()) + told.waiting
                came = sum(one.number for one in told.came)
                gone = sum(one.number for one in told.ended)
                assert came == told.all_alive + gone
                assert told.number(End.LOST) == sum(
                    mark.number
                    for mark in self.slate.marks(day)
                    if mark.kind == LOST and self._is_of(mark.thing, brood)
                )
                held = holding(self.book, day, brood_id=brood.id, all_ever=True)
                ids = [box.row.id for box in held.boxes]
                assert broods._numbers(self.book, held, ids, day).is_balanced

    def a_mixed_line_is_of_those_that_came_into_it(self) -> None:
        """Each line is of just the broods whose animals came to its boxes."""
        mixed = sources_of(self.book)
        rows = {row.id: row for row in self.book.all(BoxRow)}
        pots = {row.id: row.brood_id for row in self.book.all(EggPotRow)}
        came: dict[int, set[int]] = defaultdict(set)
        for move in self.book.all(MoveRow):
            box = rows.get(move.from_box_id or 0)
            from_brood = box.brood_id if box else pots.get(move.from_pot_id or 0, 0)
            to_brood = rows[move.to_box_id].brood_id
            parts = {one.id for one in mixed.get(to_brood, ())} or {to_brood}
            theirs = {one.id for one in mixed.get(from_brood, ())} or {from_brood}
            assert theirs <= parts
            came[to_brood] |= theirs
        for line_id, sources in mixed.items():
            assert {one.id for one in sources} == came[line_id]
            line = self.book.one(BroodRow, line_id)
            words = [link.words for link in chain(self.book, line, on(7, 6))]
            codes = sorted(one.code for one in sources)
            assert words == [one_of_words(sources)] == [f"one of {', '.join(codes)}"]
            opened = [b.opened_on for b in rows.values() if b.brood_id == line_id]
            assert line.opened_on == min(opened)

    def every_box_stands_somewhere_while_it_is_open(self) -> None:
        stays: dict[int, list[StayRow]] = defaultdict(list)
        for stay in self.book.all(StayRow):
            stays[stay.box_id or 0].append(stay)
        for row in self.book.all(BoxRow):
            own = sorted(stays[row.id], key=lambda stay: stay.from_at)
            assert own
            assert all(a.to_at == b.from_at for a, b in pairwise(own))
            assert (own[-1].to_at is None) == (row.closed_on is None)

    def the_round_agrees(self) -> None:
        found = round_of(self.book, SHELF, on(7, 6), everything=True)
        for line in found.lines:
            if line.kind == "box":
                assert line.number == self.slate.box(line.id, on(7, 6))[0]

    def _broods(self, day: dt.date) -> list[BroodRow]:
        return [b for b in self.book.all(BroodRow) if b.opened_on <= day]

    def _is_of(self, box_id: int, brood: BroodRow) -> bool:
        return self.book.one(BoxRow, box_id).brood_id == brood.id


def test_mixed_lines_conserve_what_came_into_them(filled: tuple[Path, Ids]) -> None:
    class Own(Mixing):
        source = filled

    run_state_machine_as_test(
        Own,
        settings=settings(
            max_examples=10,
            stateful_step_count=20,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
