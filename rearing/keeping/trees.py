"""The host trees as on a day: which may be cut, which are closed and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.moments import day_words
from rearing.records.rows import TreeRow

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book


def is_closed(tree: TreeRow, on: dt.date) -> bool:
    """Tell whether a tree may not be cut on a day."""
    since, until = tree.closed_from, tree.closed_until
    return until is not None and (since is None or since <= on) and on < until


def open_trees(book: Book, on: dt.date) -> tuple[TreeRow, ...]:
    """Return the trees that may be cut on a day."""
    return tuple(tree for tree in book.all(TreeRow) if not is_closed(tree, on))


def closed_words(tree: TreeRow) -> str:
    """Say until when a tree is closed, and why."""
    until = day_words(tree.closed_until) if tree.closed_until else "further notice"
    why = f": {tree.closed_why}" if tree.closed_why else ""
    return f"{tree.name} closed until {until}{why}"
