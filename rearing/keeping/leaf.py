"""Host trees and cuts: what may be cut, what was, and a tree's days of the year."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.closed_trees import is_closed
from rearing.keeping.moments import day_words, refuse_future, short_day
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import CutRow, TreeDayRow, TreeRow
from rearing.terms import TreeSign

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched

ONCE_A_YEAR = frozenset(
    {
        TreeSign.BUD_BURST,
        TreeSign.FULL_LEAF,
        TreeSign.FIRST_YELLOW,
        TreeSign.LEAF_DROP,
    }
)
"""Signs that come once; a second flush, mildew and the shears may come again."""


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
    if not why.strip():
        raise Refusal("Why? It will be asked for when it opens again.", field="why")
    tree = book.one(TreeRow, tree_id)
    with book.change(entry) as pen:
        pen.change(
            t.Tree, tree_id, closed_from=since, closed_until=until, closed_why=why
        )
        pen.say(f"{tree.name} closed until {day_words(until)}: {why}")
    return pen.touched


def reopen_tree(
    book: Book, entry: Entry, *, tree_id: int, on: dt.date, sure: bool = False
) -> Touched:
    """Open a closed tree again before its day, say because test larvae lived."""
    refuse_future(on, entry.on, sure=sure, field="on")
    tree = book.one(TreeRow, tree_id)
    if not is_closed(tree, on):
        raise Refusal(f"{tree.name} is not closed on {short_day(on)}.", field="on")
    with book.change(entry) as pen:
        # Left standing, so that the days it was closed on stay known.
        pen.change(t.Tree, tree_id, closed_until=on)
        pen.say(f"{tree.name} open again from {day_words(on)}")
    return pen.touched


def note_sign(
    book: Book,
    entry: Entry,
    *,
    tree_id: int,
    sign: TreeSign,
    on: dt.date,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record a sign of a tree's year; one that comes once is moved after a yes."""
    refuse_future(on, entry.on, sure=sure, field="on")
    tree = book.one(TreeRow, tree_id)
    standing = _sign_of_year(book, tree_id, sign, on.year)
    if standing is not None and not sure:
        raise AskFirst(
            f"{tree.name} has its {sign} of {on.year} on {short_day(standing.on)}. "
            f"Put {short_day(on)} in its place?",
            field="on",
        )
    with book.change(entry) as pen:
        if standing is None:
            pen.new_id = pen.add(
                t.TreeDay, tree_id=tree_id, sign=sign, on=on, note=note
            )
        else:
            pen.change(t.TreeDay, standing.id, on=on, note=note or standing.note)
        pen.subjects.add(("tree", tree_id))
        pen.say(f"{tree.name}: {sign} {day_words(on)}")
    return pen.touched


def _sign_of_year(
    book: Book, tree_id: int, sign: TreeSign, year: int
) -> TreeDayRow | None:
    if sign not in ONCE_A_YEAR:
        return None
    rows = book.all(TreeDayRow, t.TreeDay.tree_id == tree_id, t.TreeDay.sign == sign)
    return next((row for row in rows if row.on.year == year), None)


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
    if tree and is_closed(tree, on) and not sure:
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


def throw_away(
    book: Book,
    entry: Entry,
    *,
    cut_id: int,
    on: dt.date,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record that a cut is gone: used up, or thrown away because it is old."""
    refuse_future(on, entry.on, sure=sure, field="on")
    cut = book.one(CutRow, cut_id)
    if cut.gone_on is not None and cut.gone_on <= on:
        raise Refusal(f"It is gone since {short_day(cut.gone_on)}.", field="on")
    if on < cut.on:
        raise Refusal(f"It was cut on {short_day(cut.on)}, later.", field="on")
    values: dict[str, object] = {"gone_on": on}
    if note:
        values["note"] = f"{cut.note}; {note}" if cut.note else note
    with book.change(entry) as pen:
        pen.change(t.Cut, cut_id, **values)
        pen.say(f"{cut.host.capitalize()} cut on {short_day(cut.on)} is gone")
    return pen.touched
