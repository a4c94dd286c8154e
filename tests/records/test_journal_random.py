"""Any order of entries, ways back and restarts leaves exactly the rows expected."""

from __future__ import annotations

import copy
import datetime as dt
import shutil
import tempfile
from pathlib import Path
from typing import NamedTuple

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

Lines = dict[int, tuple[object, ...]]
State = dict[str, Lines]


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
        self.state: State = {"brood": {}, "box": {}}
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
        broods, boxes = self.state["brood"], self.state["box"]
        bare = sorted(set(broods) - {box[1] for box in boxes.values()})
        kinds = ["new brood"]
        kinds += ["new box", "rename brood"] if broods else []
        kinds += ["change box", "remove box"] if boxes else []
        kinds += ["remove brood"] if bare else []
        kind = data.draw(st.sampled_from(kinds))
        note = data.draw(st.sampled_from([None, "", "“žuto”\n", "a 'b'"]))
        if kind == "new brood":
            code = (
                f"B{max((int(str(b[1])[1:]) for b in broods.values()), default=0) + 1}"
            )
            new = pen.add(t.Brood, code=code, taxon="x", opened_on=START.date())
            broods[new] = (1, code, None)
        elif kind == "new box":
            brood = data.draw(st.sampled_from(sorted(broods)))
            new = pen.add(
                t.Box,
                brood_id=brood,
                label="A",
                kind=BoxKind.BOX,
                opened_on=START.date(),
                note=note,
            )
            boxes[new] = (1, brood, note, None)
        elif kind == "rename brood":
            brood = data.draw(st.sampled_from(sorted(broods)))
            version, code, _ = broods[brood]
            pen.change(t.Brood, brood, note=note)
            broods[brood] = (int(str(version)) + 1, code, note)
        elif kind == "change box":
            box = data.draw(st.sampled_from(sorted(boxes)))
            version, brood_of, _, _ = boxes[box]
            closed = data.draw(st.none() | st.just(dt.date(2021, 7, 1)))
            pen.change(t.Box, box, note=note, closed_on=closed)
            boxes[box] = (int(str(version)) + 1, brood_of, note, closed)
        else:
            table, lines = (t.Box, boxes) if kind == "remove box" else (t.Brood, broods)
            gone = data.draw(st.sampled_from(sorted(boxes if table is t.Box else bare)))
            pen.remove(table, gone)
            del lines[gone]

    @rule(data=st.data())
    def fail_half_way(self, data: st.DataObject) -> None:
        before = copy.deepcopy(self.state)
        with pytest.raises(ZeroDivisionError), self.book.change(self.entry) as pen:
            pen.say("Never said.")
            self._step(pen, data)
            raise ZeroDivisionError
        self.state = before

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
            row.id: (row.version, row.code, row.note) for row in self.book.all(BroodRow)
        }
        boxes = {
            row.id: (row.version, row.brood_id, row.note, row.closed_on)
            for row in self.book.all(BoxRow)
        }
        assert {"brood": broods, "box": boxes} == self.state

    @invariant()
    def says_one_sentence_for_each_change(self) -> None:
        lines = [line.sentence for line in self.book.journal(most=10_000)]
        assert lines[::-1] == self.sentences


def test_any_order_of_entries_and_ways_back_leaves_the_expected_rows(
    empty_file: Path,
) -> None:
    class OnACopy(Keeping):
        template = empty_file

    run_state_machine_as_test(  # type: ignore[no-untyped-call]
        OnACopy,
        settings=settings(
            max_examples=40,
            stateful_step_count=25,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
