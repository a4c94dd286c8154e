"""Tools that go with a box: its own forceps and brush, known by a name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.boxes import box_name
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import BoxRow

if TYPE_CHECKING:
    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched


def set_tools(book: Book, entry: Entry, *, box_id: int, tools: str | None) -> Touched:
    """Say which forceps and brush go with a box; None: those of the round."""
    box = book.one(BoxRow, box_id)
    name = " ".join((tools or "").split()) or None
    if name == box.tools:
        raise Refusal("That is what goes with it already.", field="tools")
    with book.change(entry) as pen:
        pen.change(t.Box, box_id, tools=name)
        pen.subjects.add(("box", box_id))
        if name:
            pen.say(f"{box_name(book, box)} has tools of its own: {name}")
        else:
            pen.say(f"{box_name(book, box)} is handled with the round's tools")
    return pen.touched
