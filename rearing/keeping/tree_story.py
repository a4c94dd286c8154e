"""A tree's own page in a few paragraphs: whose it is, its years, closings and cuts."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from rearing.keeping.leaf_tests import leaf_tests
from rearing.keeping.moments import short_day
from rearing.keeping.remarks import remarks_of
from rearing.keeping.trees import trees_now
from rearing.records import tables as t
from rearing.records.earlier import closings
from rearing.records.rows import CutRow, TreeDayRow

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.trees import TreeNow
    from rearing.records.book import Book

MOST_CUTS = 8

Paragraph = tuple[str, str]


def tree_story(book: Book, tree_id: int, on: dt.date) -> tuple[str, list[Paragraph]]:
    """Return a tree's name, and (heading, words) of all that is known of it."""
    tree = next(one for one in trees_now(book, on) if one.row.id == tree_id)
    row = tree.row
    said: list[Paragraph] = [(row.host.capitalize(), _whose(tree))]
    told = [
        ("Its years", _years(book, tree_id, on)),
        ("Closed", _closed(book, tree_id, on)),
        ("Test larvae", _tests(book, tree_id, on)),
        ("Cuts", _cuts(book, tree_id, on)),
        ("Fed from it", ", ".join(tree.fed)),
        ("Notes", _notes(book, tree_id, on)),
    ]
    said += [(head, words) for head, words in told if words]
    return row.name, said


def _whose(tree: TreeNow) -> str:
    row = tree.row
    parts = [tree.state_words.capitalize()]
    parts += [f"Stands: {row.where}"] if row.where else []
    parts += [f"Whose: {row.owner}"] if row.owner else []
    parts += [row.note] if row.note else []
    return "\n".join(parts)


def _years(book: Book, tree_id: int, on: dt.date) -> str:
    years: defaultdict[int, list[str]] = defaultdict(list)
    for one in book.all(
        TreeDayRow,
        t.TreeDay.tree_id == tree_id,
        t.TreeDay.on <= on,
        order=(t.TreeDay.on, t.TreeDay.id),
    ):
        note = f" ({one.note})" if one.note else ""
        years[one.on.year].append(f"{one.sign} {short_day(one.on)}{note}")
    lines = [
        f"{year}: {', '.join(years[year])}" for year in sorted(years, reverse=True)
    ]
    return "\n".join(lines)


def _closed(book: Book, tree_id: int, on: dt.date) -> str:
    return "\n".join(
        f"{short_day(one.since)} {one.since.year} until {short_day(one.until)}"
        f"{f': {one.why}' if one.why else ''}"
        for one in reversed(closings(book, tree_id))
        if one.since <= on
    )


def _tests(book: Book, tree_id: int, on: dt.date) -> str:
    return "\n".join(one.words for one in leaf_tests(book, on, tree_id=tree_id))


def _cuts(book: Book, tree_id: int, on: dt.date) -> str:
    rows = book.all(
        CutRow,
        t.Cut.tree_id == tree_id,
        t.Cut.on <= on,
        order=(t.Cut.on.desc(), t.Cut.id.desc()),
    )
    lines = [
        f"{short_day(row.on)} {row.on.year}, "
        f"{f'{row.grams:.0f} g' if row.grams else 'not weighed'}"
        for row in rows[:MOST_CUTS]
    ]
    if len(rows) > MOST_CUTS:
        lines.append(f"and {len(rows) - MOST_CUTS} before")
    return "\n".join(lines)


def _notes(book: Book, tree_id: int, on: dt.date) -> str:
    return "\n".join(
        f"{short_day(note.on)} {note.on.year}: {note.text}"
        for note in remarks_of(book, "tree", tree_id, on)
    )
