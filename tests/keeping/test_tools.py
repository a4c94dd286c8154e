"""Tools that go with a box, and whom they tie it to."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import care
from rearing.keeping.round import round_of
from rearing.keeping.tools import known_tools, set_tools
from rearing.keeping.tracing import Shared, trace
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import BoxRow
from rearing.sheets.shelf import load_all
from rearing.terms import Visit
from tests.keeping.karst_book import LATER, on, picture, when
from tests.keeping.test_verbs_boxes import new_box

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


@pytest.fixture
def other(book: Book, ids: Ids) -> int:
    """Return a box that is handled after the first on one evening."""
    made = new_box(book, ids)
    for box_id, hour in ((ids.box, 19), (made, 20)):
        care.visit(
            book, LATER, what=Visit.ALL_WELL, when=when(6, 14, hour), box_id=box_id
        )
    return made


def ties(book: Book, ids: Ids, other: int) -> dict[Shared, str]:
    found = trace(book, load_all(), book.one(BoxRow, ids.box), on(6, 15))
    near = next(one for one in found.neighbours if one.box_id == other)
    found_ties: dict[Shared, str] = {}
    for tie in near.ties:
        found_ties[tie.shared] = "; ".join(
            filter(None, (found_ties.get(tie.shared), tie.words))
        )
    return found_ties


def test_the_same_hands_go_from_box_to_box(book: Book, ids: Ids, other: int) -> None:
    assert ties(book, ids, other)[Shared.TOOLS] == "handled after it on 1 day"


def test_tools_of_its_own_leave_only_the_day(book: Book, ids: Ids, other: int) -> None:
    before = picture(book)
    touched = set_tools(book, LATER, box_id=ids.box, tools=" red  forceps ")
    assert touched.sentence == "B21-01 A has tools of its own: red forceps"
    found = ties(book, ids, other)
    assert Shared.TOOLS not in found
    assert Shared.DAY in found
    book.take_back(LATER)
    assert picture(book) == before


def test_the_same_tools_tie_two_boxes(book: Book, ids: Ids, other: int) -> None:
    for box_id in (ids.box, other):
        set_tools(book, LATER, box_id=box_id, tools="red forceps")
    assert "both with red forceps" in ties(book, ids, other)[Shared.TOOLS]
    with pytest.raises(Refusal, match="goes with it already"):
        set_tools(book, LATER, box_id=other, tools="red forceps")
    gone = set_tools(book, LATER, box_id=other, tools=None)
    assert gone.sentence.endswith("handled with the round's tools")


def test_tools_are_the_same_however_they_are_written(
    book: Book, ids: Ids, other: int
) -> None:
    set_tools(book, LATER, box_id=ids.box, tools="Soft  brush")
    touched = set_tools(book, LATER, box_id=other, tools="soft brush ")
    assert touched.sentence.endswith("has tools of its own: Soft brush")
    assert known_tools(book) == ("Soft brush",)
    assert "both with Soft brush" in ties(book, ids, other)[Shared.TOOLS]


def test_a_name_nobody_else_has_can_be_written_otherwise(book: Book, ids: Ids) -> None:
    set_tools(book, LATER, box_id=ids.box, tools="red forceps")
    set_tools(book, LATER, box_id=ids.box, tools="Red forceps")
    assert book.one(BoxRow, ids.box).tools == "Red forceps"


def test_books_that_spell_tools_in_two_ways_are_traced_as_one(
    book: Book, ids: Ids, other: int
) -> None:
    with book.change(LATER) as pen:
        pen.change(t.Box, ids.box, tools="soft brush")
        pen.change(t.Box, other, tools="Soft  Brush")
        pen.say("written by an earlier program")
    found = ties(book, ids, other)[Shared.TOOLS]
    assert "both with" in found
    assert "handled after it on 1 day" in found
    assert len(known_tools(book)) == 1


def test_the_round_says_which_tools_to_take(book: Book, ids: Ids) -> None:
    set_tools(book, LATER, box_id=ids.box, tools="red forceps")
    walked = round_of(book, load_all(), on(6, 15))
    line = next(x for x in walked.lines if (x.kind, x.id) == ("box", ids.box))
    assert line.task.is_due
    assert line.reason.endswith("Its own tools: red forceps.")
