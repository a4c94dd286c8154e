"""Host trees and cuts: what may be cut, and what was."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.moments import day_words, refuse_future
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import TreeRow

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched


def add_tree(
    book: Book,
    entry: Entry,
    *,
    name: str,
    host: str,
    where: str | None = None,
    owner: str | None = None,
    note: str | None = None,
) -> Touched:
    """Add a tree that is cut or sleeved."""
    if not name.strip() or not host.strip():
        raise Refusal("A tree needs a name and its kind.", field="name")
    if book.find(TreeRow, t.Tree.name == name):
        raise Refusal(f"There is a tree {name} already.", field="name")
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.Tree, name=name, host=host, where=where, owner=owner, note=note
        )
        pen.say(f"Added the tree {name}, {host}")
    return pen.touched


def close_tree(
    book: Book,
    entry: Entry,
    *,
    tree_id: int,
    since: dt.date,
    until: dt.date,
    why: str,
) -> Touched:
    """Close a tree for cutting until a day, say because it was sprayed."""
    if until <= since:
        raise Refusal("It would open before it closed.", field="until")
    tree = book.one(TreeRow, tree_id)
    with book.change(entry) as pen:
        pen.change(
            t.Tree, tree_id, closed_from=since, closed_until=until, closed_why=why
        )
        pen.say(f"{tree.name} closed until {day_words(until)}: {why}")
    return pen.touched


def cut_leaf(
    book: Book,
    entry: Entry,
    *,
    host: str,
    on: dt.date,
    tree_id: int | None = None,
    grams: float | None = None,
    storage: str | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record leaf cut; a tree that is closed on that day is asked about."""
    refuse_future(on, entry.on, sure=sure, field="on")
    if grams is not None and grams <= 0:
        raise Refusal("Leaf can't weigh nothing.", field="grams")
    if not host.strip():
        raise Refusal("Which leaf was it?", field="host")
    tree = book.one(TreeRow, tree_id) if tree_id is not None else None
    if tree and _closed(tree, on) and not sure:
        raise AskFirst(
            f"{tree.name} is closed until {day_words(tree.closed_until or on)} "
            f"({tree.closed_why}). Cut from it all the same?",
            field="tree",
        )
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.Cut,
            tree_id=tree_id,
            host=host,
            on=on,
            grams=grams,
            storage=storage,
            note=note,
        )
        much = f" {grams:g} g" if grams else ""
        pen.say(f"Cut {host}{much}{f' from {tree.name}' if tree else ''}")
    return pen.touched


def _closed(tree: TreeRow, on: dt.date) -> bool:
    since, until = tree.closed_from, tree.closed_until
    return until is not None and (since is None or since <= on) and on < until
