"""The lines of test larvae on the round: asked on the third day how many live."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.leaf_tests import leaf_tests
from rearing.keeping.moments import day_words
from rearing.keeping.round_lines import RoundLine, Task
from rearing.records import tables as t
from rearing.records.rows import LeafTestRow

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from rearing.keeping.holding import Holding
    from rearing.keeping.leaf_tests import LeafTest
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

    Standing = Mapping[int, int]

TEST_PLACE = -1
"""Stands for the place of test larvae that are in no box of the book."""


def judging_lines(
    book: Book, shelf: SheetShelf, held: Holding, standing: Callable[[], Standing]
) -> Iterator[tuple[int, RoundLine]]:
    """Yield the running tests, with the place where their box stands.

    `standing` tells where each box stands; it is asked only where there is a test.
    """
    if book.find(LeafTestRow, t.LeafTest.begun_on <= held.on) is None:
        return
    places = standing()
    days = round(shelf.defaults.figures.leaf_test_days.middle)
    for test in leaf_tests(book, held.on, days=days):
        judged_today = test.row.judged_on == held.on
        if test.is_running or judged_today:
            place_id = places.get(test.row.box_id or 0, TEST_PLACE)
            yield place_id, _line(test, done=judged_today)


def _line(test: LeafTest, *, done: bool) -> RoundLine:
    row, tree = test.row, test.tree
    due = test.is_due or done
    told = test.words.partition(";")[0]
    if not due:
        told += f"; to be judged {day_words(test.due_on)}"
    where = f"In {test.box}. " if test.box else ""
    return RoundLine(
        kind="test",
        id=row.id,
        code=tree.name,
        brood_id=0,
        taxon=tree.host,
        short=tree.host,
        task=Task.JUDGE_LEAF if due else Task.NOTHING,
        done=f"{row.alive} of {row.number} alive" if done else None,
        reason=f"{where}{told}",
        number=row.number,
        known="test larvae",
        by_book=False,
        until=None,
        quarantine=False,
        tree_id=tree.id,
    )
