"""Test larvae: a few on leaf of a suspect tree before the others may have it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.closed_trees import is_closed
from rearing.keeping.ledger import box_events, standing
from rearing.keeping.moments import (
    counted,
    day_words,
    refuse_future,
    refuse_negative,
    refuse_none,
    short_day,
)
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import BoxRow, BroodRow, LeafTestRow, TreeRow

if TYPE_CHECKING:
    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched

LARVAE = 2
DAYS = 3
"""Two larvae for three days (Plants and pesticides, butterfly-fun-facts.com)."""

AFTER_DEATHS = dt.timedelta(days=14)
"""A tree whose leaf killed is closed so long at least (common practice, no source)."""

CAUTION = (
    "Growth regulators show only when larvae pupate or moths emerge: strictly a plant "
    "is proven only then."
)
"""As the same source says."""


@dataclass(frozen=True, slots=True)
class LeafTest:
    """A test as on a day: when it may be judged, and what came of it."""

    row: LeafTestRow
    tree: TreeRow
    box: str
    due_on: dt.date
    on: dt.date

    @property
    def is_running(self) -> bool:
        """Whether it is still to be judged."""
        return self.row.judged_on is None or self.row.judged_on > self.on

    @property
    def is_due(self) -> bool:
        """Whether its days are over and nobody has judged it."""
        return self.is_running and self.on >= self.due_on

    @property
    def words(self) -> str:
        """As a sentence: 2 larvae on leaf of Oak 2 since 12 June; look on 15 June."""
        row = self.row
        larvae = counted(row.number, "larva", "larvae")
        since = f"{larvae} on leaf of {self.tree.name} since {short_day(row.begun_on)}"
        if self.is_running:
            when = "look now" if self.is_due else f"look on {day_words(self.due_on)}"
            return f"{since}; {when}"
        judged = short_day(row.judged_on or self.on)
        return f"{since}: {row.alive} alive on {judged}"


def begin_test(
    book: Book,
    entry: Entry,
    *,
    tree_id: int,
    begun_on: dt.date,
    number: int = LARVAE,
    box_id: int | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Put a few larvae on leaf of a suspect tree; `box_id` is the box they stay in."""
    refuse_none(number)
    refuse_future(begun_on, entry.on, sure=sure, field="on")
    tree = book.one(TreeRow, tree_id)
    running = book.find(
        LeafTestRow, t.LeafTest.tree_id == tree_id, t.LeafTest.judged_on.is_(None)
    )
    if running is not None:
        raise Refusal(
            f"Larvae are on leaf of {tree.name} since {short_day(running.begun_on)}; "
            "judge them first.",
            field="tree",
        )
    if box_id is not None:
        _refuse_box(book, box_id, number, begun_on)
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.LeafTest,
            tree_id=tree_id,
            box_id=box_id,
            begun_on=begun_on,
            number=number,
            note=note,
        )
        pen.subjects.add(("tree", tree_id))
        larvae = counted(number, "larva", "larvae")
        due = day_words(begun_on + dt.timedelta(days=DAYS))
        pen.say(f"{larvae} to test leaf of {tree.name}; look on {due}")
    return pen.touched


def _refuse_box(book: Book, box_id: int, number: int, on: dt.date) -> None:
    box = book.one(BoxRow, box_id)
    from rearing.keeping.boxes import refuse_shut

    refuse_shut(box, on)
    there = standing(box_events(book, [box_id], on)[box_id]).number
    if there < number:
        raise Refusal(f"By the book it holds {there}.", field="number")


def judge_test(
    book: Book,
    entry: Entry,
    *,
    test_id: int,
    alive: int,
    on: dt.date,
    opens: bool | None = None,
    until: dt.date | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Judge test larvae, and open or close their tree by what came of them.

    All alive after the days of the test: asked, then the tree opens on that day;
    with `opens` False it stays as it is. Any dead: it is closed, until a day named or
    a fortnight on.
    """
    refuse_negative(alive, field="alive")
    refuse_future(on, entry.on, sure=sure, field="on")
    test = book.one(LeafTestRow, test_id)
    tree = book.one(TreeRow, test.tree_id)
    _refuse_judging(test, alive, on)
    opening = alive == test.number and opens is not False and is_closed(tree, on)
    if opening and not sure:
        raise AskFirst(_open_question(test, tree, on), field="alive")
    if until is not None and until <= on:
        raise Refusal("It would open before it closed.", field="until")
    with book.change(entry) as pen:
        pen.change(
            *(t.LeafTest, test_id),
            judged_on=on,
            alive=alive,
            note=note or test.note,
        )
        pen.subjects.add(("tree", tree.id))
        said = f"{alive} of {test.number} alive on leaf of {tree.name}"
        if alive < test.number:
            said += _close(pen, tree, test.number - alive, on, until)
        elif opening:
            pen.change(t.Tree, tree.id, closed_until=on)
            said += "; open again"
        elif is_closed(tree, on) and tree.closed_until is not None:
            said += f"; closed until {day_words(tree.closed_until)} all the same"
        pen.say(said)
    return pen.touched


def _refuse_judging(test: LeafTestRow, alive: int, on: dt.date) -> None:
    if test.judged_on is not None:
        raise Refusal(f"It was judged on {short_day(test.judged_on)}.", field="alive")
    if on < test.begun_on:
        raise Refusal(f"It was begun on {short_day(test.begun_on)}.", field="on")
    if alive > test.number:
        raise Refusal(f"Only {test.number} were on it.", field="alive")


def _open_question(test: LeafTestRow, tree: TreeRow, on: dt.date) -> str:
    days = (on - test.begun_on).days
    lived = f"All {test.number} live after {counted(days, 'day')}."
    if test.number == 1:
        lived = f"It lives after {counted(days, 'day')}."
    early = f" {DAYS} days are usual before leaf is trusted." if days < DAYS else ""
    return f"{lived}{early} {CAUTION} Open {tree.name} from {short_day(on)}?"


def _close(
    pen: Writing, tree: TreeRow, dead: int, on: dt.date, until: dt.date | None
) -> str:
    """Close the tree, or close it for longer, and return the words of it."""
    closed = is_closed(tree, on)
    least = until or on + AFTER_DEATHS
    last = max(least, tree.closed_until) if closed and tree.closed_until else least
    died = f"{counted(dead, 'test larva', 'test larvae')} died by {short_day(on)}"
    why = f"{tree.closed_why}; {died}" if closed and tree.closed_why else died
    pen.change(
        *(t.Tree, tree.id),
        closed_from=tree.closed_from if closed else on,
        closed_until=last,
        closed_why=why,
    )
    stays = "stays" if closed else "is"
    return f"; {tree.name} {stays} closed until {day_words(last)}: {died}"


def leaf_tests(
    book: Book, on: dt.date, *, days: int = DAYS, tree_id: int | None = None
) -> tuple[LeafTest, ...]:
    """Return the tests begun up to a day, latest first."""
    trees = {tree.id: tree for tree in book.all(TreeRow)}
    rows = book.all(
        LeafTestRow,
        t.LeafTest.begun_on <= on,
        *(() if tree_id is None else (t.LeafTest.tree_id == tree_id,)),
        order=(t.LeafTest.begun_on.desc(), t.LeafTest.id.desc()),
    )
    return tuple(
        LeafTest(
            row=row,
            tree=trees[row.tree_id],
            box=_box_words(book, row.box_id),
            due_on=row.begun_on + dt.timedelta(days=days),
            on=on,
        )
        for row in rows
    )


def _box_words(book: Book, box_id: int | None) -> str:
    if box_id is None:
        return ""
    box = book.one(BoxRow, box_id)
    return f"{book.one(BroodRow, box.brood_id).code} {box.label}"
