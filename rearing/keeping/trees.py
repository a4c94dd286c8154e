"""The host trees as on a day: which may be cut, which are closed and why."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.closed_trees import is_closed
from rearing.keeping.moments import day_words, short_day
from rearing.keeping.sleeves import trees_of_sleeves
from rearing.keeping.tree_year import bare_hosts, of_this_year, signs
from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.earlier import trees_on
from rearing.records.fed import boxes_of_cuts
from rearing.records.rows import BoxRow, BroodRow, CutRow
from rearing.terms import BoxKind

if TYPE_CHECKING:
    from rearing.keeping.tree_year import Signs
    from rearing.records.book import Book
    from rearing.records.rows import TreeRow

DAY = dt.timedelta(days=1)
LATELY = dt.timedelta(days=14)
"""Boxes fed from a tree within so long are named with it."""


@dataclass(frozen=True, slots=True)
class TreeNow:
    """A tree as on a day: may it be cut, its year so far, and who lives off it."""

    row: TreeRow
    on: dt.date
    signs: Signs
    last_cut: CutRow | None
    fed: tuple[str, ...]
    """Codes of the boxes fed from it lately, and of the sleeves on it."""
    bare_since: dt.date | None

    @property
    def is_closed(self) -> bool:
        """Whether it may not be cut."""
        return is_closed(self.row, self.on)

    @property
    def state_words(self) -> str:
        """Open; or closed until when and why; or bare."""
        if self.is_closed and self.row.closed_until is not None:
            why = f", {self.row.closed_why}" if self.row.closed_why else ""
            return f"closed until {day_words(self.row.closed_until)}{why}"
        if self.bare_since is not None:
            return f"bare since {short_day(self.bare_since)}"
        return "open"

    @property
    def year_words(self) -> str:
        """Signs of the year so far: bud burst 23 April, full leaf 6 May."""
        return ", ".join(f"{one.sign} {short_day(one.on)}" for one in self.signs)

    @property
    def cut_words(self) -> str:
        """When it was cut last, and how much."""
        if self.last_cut is None:
            return ""
        much = f", {self.last_cut.grams:.0f} g" if self.last_cut.grams else ""
        return f"cut {short_day(self.last_cut.on)}{much}"


def open_trees(book: Book, on: dt.date) -> tuple[TreeRow, ...]:
    """Return the trees that may be cut on a day."""
    return tuple(tree for tree in trees_on(book, on) if not is_closed(tree, on))


def closed_words(tree: TreeRow) -> str:
    """Say until when a tree is closed, and why."""
    until = day_words(tree.closed_until) if tree.closed_until else "further notice"
    why = f": {tree.closed_why}" if tree.closed_why else ""
    return f"{tree.name} closed until {until}{why}"


def trees_now(book: Book, on: dt.date) -> tuple[TreeNow, ...]:
    """Return every tree as on a day, by kind and name."""
    rows = sorted(trees_on(book, on), key=lambda row: (row.host, row.name))
    seen = signs(book, on)
    bare = bare_hosts(rows, seen, on)
    cuts = book.all(
        CutRow, t.Cut.on <= on, t.Cut.tree_id.is_not(None), order=(t.Cut.on, t.Cut.id)
    )
    last = {cut.tree_id: cut for cut in cuts}
    fed = _fed(book, cuts, on)
    return tuple(
        TreeNow(
            row=row,
            on=on,
            signs=of_this_year(seen, row.id, on.year),
            last_cut=last.get(row.id),
            fed=fed.get(row.id, ()),
            bare_since=bare.get(row.host.casefold()),
        )
        for row in rows
    )


def _fed(
    book: Book, cuts: tuple[CutRow, ...], on: dt.date
) -> dict[int, tuple[str, ...]]:
    """Return the codes of the boxes that lately lived off each tree."""
    tree_of = {cut.id: cut.tree_id for cut in cuts}
    found: defaultdict[int, set[int]] = defaultdict(set)
    for cut_id, box_id in boxes_of_cuts(book, on - LATELY + DAY, on):
        tree_id = tree_of.get(cut_id)
        if tree_id is not None:
            found[tree_id].add(box_id)
    sleeves = book.all(
        BoxRow,
        t.Box.kind == BoxKind.SLEEVE,
        t.Box.opened_on <= on,
        t.Box.closed_on.is_(None) | (t.Box.closed_on > on),
    )
    for box_id, tree_id in trees_of_sleeves(book, sleeves, on).items():
        found[tree_id].add(box_id)
    codes = _codes(book, {box_id for ids in found.values() for box_id in ids})
    return {
        tree: tuple(sorted(codes[box_id] for box_id in ids))
        for tree, ids in found.items()
    }


def _codes(book: Book, box_ids: set[int]) -> dict[int, str]:
    if not box_ids:
        return {}
    rows = book.all(BoxRow, among(t.Box.id, list(box_ids)))
    broods = {
        brood.id: brood.code
        for brood in book.all(
            BroodRow, among(t.Brood.id, list({row.brood_id for row in rows}))
        )
    }
    return {row.id: f"{broods[row.brood_id]} {row.label}" for row in rows}
