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
    """Say which forceps and brush go with a box; None: those of the round.

    Tools another box has are written as they are there, so that they stay the same.
    """
    box = book.one(BoxRow, box_id)
    name = " ".join((tools or "").split()) or None
    if name is not None:
        name = next((x for x in _of_others(book, box) if same_tools(x, name)), name)
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


def same_tools(one: str | None, other: str | None) -> bool:
    """Tell whether two names are of the same tools, however they are written.

    No name means the round's, which go from box to box.
    """
    return _key(one) == _key(other)


def known_tools(book: Book) -> tuple[str, ...]:
    """Return the tools any box has or had, each once, by name."""
    named: dict[str, str] = {}
    for box in book.all(BoxRow, t.Box.tools.is_not(None)):
        named.setdefault(_key(box.tools), box.tools or "")
    return tuple(named[key] for key in sorted(named))


def _key(name: str | None) -> str:
    return " ".join((name or "").split()).casefold()


def _of_others(book: Book, box: BoxRow) -> list[str]:
    others = book.all(BoxRow, t.Box.tools.is_not(None), t.Box.id != box.id)
    return [other.tools for other in others if other.tools]
