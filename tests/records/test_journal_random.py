"""Any order of entries, ways back and restarts leaves exactly the rows expected."""

from __future__ import annotations

import copy
import datetime as dt
import shutil
import tempfile
from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.book import Book, Writing
from rearing.records.journal import Entry
from rearing.records.rows import BoxRow, BroodRow
from rearing.terms import BoxKind

START = dt.datetime(2021, 6, 1, 6, tzinfo=dt.UTC)
KEEPERS = ("Ana", "Bor")

NOTES = st.sampled_from([None, "", "“žuto”\n", "a 'b'"])

Draw = Callable[[st.SearchStrategy[Any]], Any]


class BroodLine(NamedTuple):
    """What is compared of a brood."""

    version: int
    code: str
    note: str | None


class BoxLine(NamedTuple):
    """What is compared of a box."""

    version: int
    brood_id: int
    note: str | None
    closed_on: dt.date | None


class State(NamedTuple):
    """All that the book should hold."""

    broods: dict[int, BroodLine]
    boxes: dict[int, BoxLine]


class Standing(NamedTuple):
    """One entry as the model remembers it."""

    sentence: str
    before: State
    after: State
    entry: Entry


class Keeping(RuleBasedStateMachine):
    """A model in plain dictionaries beside a real book on disk."""

    template: Path

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "Season.rearing"
        shutil.copy(self.template, self.path)
        self.book = Book.open(self.path)
        self.entry = Entry(START, "Ana")
        self.state = State({}, {})
        self.stands: list[Standing] = []
        self.taken: list[Standing] = []
        self.entries = 0
        self.sentences: list[str] = []

    def teardown(self) -> None:
        if hasattr(self, "book"):
            self.book.close()
            self.folder.cleanup()

    # One entry holds one to three steps, as a verb of the keeper's may.
    @rule(data=st.data(), steps=st.integers(1, 3))
    def enter(self, data: st.DataObject, steps: int) -> None:
        before = copy.deepcopy(self.state)
        self.entries += 1
        sentence = f"Entry {self.entries}."
        with self.book.change(self.entry) as pen:
            pen.say(sentence)
            for _ in range(steps):
                self._step(pen, data)
        after = copy.deepcopy(self.state)
        self.stands.append(Standing(sentence, before, after, self.entry))
        self.taken.clear()
        self.sentences.append(sentence)

    def _step(self, pen: Writing, data: st.DataObject) -> None:
        kinds = [self._new_brood]
        kinds += [self._new_box, self._note_brood] if self.state.broods else []
        kinds += [self._change_box, self._remove_box] if self.state.boxes else []
        kinds += [self._remove_brood] if self._bare_broods() else []
        data.draw(st.sampled_from(kinds))(pen, data.draw)

    def _new_brood(self, pen: Writing, draw: Draw) -> None:
        # Codes are used again after a way back, and may stand only once.
        used = {brood.code for brood in self.state.broods.values()}
        code = next(code for n in count(1) if (code := f"B{n}") not in used)
        new = pen.add(t.Brood, code=code, taxon="x", opened_on=START.date())
        self.state.broods[new] = BroodLine(1, code, None)

    def _note_brood(self, pen: Writing, draw: Draw) -> None:
        brood, note = draw(st.sampled_from(sorted(self.state.broods))), draw(NOTES)
        old = self.state.broods[brood]
        pen.change(t.Brood, brood, note=note)
        self.state.broods[brood] = BroodLine(old.version + 1, old.code, note)

    def _new_box(self, pen: Writing, draw: Draw) -> None:
        brood, note = draw(st.sampled_from(sorted(self.state.broods))), draw(NOTES)
        new = pen.add(
            t.Box,
            brood_id=brood,
            label="A",
            kind=BoxKind.BOX,
            opened_on=START.date(),
            note=note,
        )
        self.state.boxes[new] = BoxLine(1, brood, note, None)

    def _change_box(self, pen: Writing, draw: Draw) -> None:
        box, note = draw(st.sampled_from(sorted(self.state.boxes))), draw(NOTES)
        closed_on = draw(st.none() | st.just(dt.date(2021, 7, 1)))
        old = self.state.boxes[box]
        pen.change(t.Box, box, note=note, closed_on=closed_on)
        self.state.boxes[box] = BoxLine(old.version + 1, old.brood_id, note, closed_on)

    def _remove_box(self, pen: Writing, draw: Draw) -> None:
        box = draw(st.sampled_from(sorted(self.state.boxes)))
        pen.remove(t.Box, box)
        del self.state.boxes[box]

    def _remove_brood(self, pen: Writing, draw: Draw) -> None:
        brood = draw(st.sampled_from(self._bare_broods()))
        pen.remove(t.Brood, brood)
        del self.state.broods[brood]

    def _bare_broods(self) -> list[int]:
        lived_in = {box.brood_id for box in self.state.boxes.values()}
        return sorted(set(self.state.broods) - lived_in)

    @rule(data=st.data())
    def fail_half_way(self, data: st.DataObject) -> None:
        before = copy.deepcopy(self.state)
        with pytest.raises(ZeroDivisionError):
            self._fail(data)
        self.state = before

    def _fail(self, data: st.DataObject) -> None:
        with self.book.change(self.entry) as pen:
            pen.say("Never said.")
            self._step(pen, data)
            raise ZeroDivisionError

    @rule()
    def restart(self) -> None:
        self.book.close()
        self.book = Book.open(self.path)

    @rule(days=st.integers(0, 1), who=st.sampled_from(KEEPERS))
    def hand_over(self, days: int, who: str) -> None:
        self.entry = Entry(self.entry.now + dt.timedelta(days=days), who)

    @rule()
    def take_back(self) -> None:
        if not self.stands:
            with pytest.raises(Refusal, match="nothing left"):
                self.book.take_back(self.entry)
            return
        last = self.stands[-1]
        if (last.entry.on, last.entry.who) != (self.entry.on, self.entry.who):
            with pytest.raises(AskFirst) as asked:
                self.book.take_back(self.entry)
            assert last.sentence in asked.value.sentence
            touched = self.book.take_back(self.entry, sure=True)
        else:
            touched = self.book.take_back(self.entry)
        assert touched.sentence == f"Taken back: {last.sentence}"
        self.sentences.append(touched.sentence)
        self.taken.append(self.stands.pop())
        self.state = copy.deepcopy(last.before)

    @precondition(lambda self: self.taken)
    @rule()
    def do_again(self) -> None:
        last = self.taken.pop()
        touched = self.book.do_again(self.entry)
        assert touched.sentence == f"Done again: {last.sentence}"
        self.sentences.append(touched.sentence)
        self.stands.append(last)
        self.state = copy.deepcopy(last.after)

    @precondition(lambda self: not self.taken)
    @rule()
    def do_nothing_again(self) -> None:
        with pytest.raises(Refusal, match="Nothing was taken back"):
            self.book.do_again(self.entry)

    @invariant()
    def holds_what_is_expected(self) -> None:
        broods = {
            row.id: BroodLine(row.version, row.code, row.note)
            for row in self.book.all(BroodRow)
        }
        boxes = {
            row.id: BoxLine(row.version, row.brood_id, row.note, row.closed_on)
            for row in self.book.all(BoxRow)
        }
        assert State(broods, boxes) == self.state

    @invariant()
    def says_one_sentence_for_each_change(self) -> None:
        lines = [line.sentence for line in self.book.journal(most=10_000)]
        assert lines[::-1] == self.sentences


def test_any_order_of_entries_and_ways_back_leaves_the_expected_rows(
    empty_file: Path,
) -> None:
    class OnACopy(Keeping):
        template = empty_file

    run_state_machine_as_test(
        OnACopy,
        settings=settings(
            max_examples=40,
            stateful_step_count=25,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
