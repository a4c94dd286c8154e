"""The leaf in reach as tables: trees, cuts, test larvae, and how many can be kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.keeping.how_many import HowMany
    from rearing.keeping.larder import CutNow
    from rearing.keeping.leaf_tests import LeafTest
    from rearing.keeping.trees import TreeNow

_TREES = (
    *("tree", "kind", "where", "owner", "closed", "closed from", "closed until"),
    *("why", "bare since", "signs this year", "last cut", "feeds", "note"),
)
_CUTS = (
    *("host", "cut on", "tree", "cut [g]", "given [g]", "left [g]"),
    *("feedings not weighed", "storage", "keeps to", "too old", "gone on", "note"),
)
_TESTS = (
    *("tree", "begun on", "larvae", "box", "due on", "judged on", "alive", "note"),
)
_KEEP = (
    *("host", "eaters", "leaf a day [g]", "by leaf, surely", "by leaf, at most"),
    *("by room, surely", "by room, at most", "room", "binds", "keep", "give away"),
    "give by",
)


def trees_table(trees: Iterable[TreeNow]) -> Table:
    """Return the trees as on a day."""
    rows = (
        (
            *(x.row.name, x.row.host, x.row.where, x.row.owner, x.is_closed),
            *((x.row.closed_from, x.row.closed_until) if x.is_closed else (None,) * 2),
            *(x.row.closed_why if x.is_closed else None, x.bare_since),
            *(x.year_words or None, x.last_cut.on if x.last_cut else None),
            *(", ".join(x.fed) or None, x.row.note),
        )
        for x in trees
    )
    return table("Trees", _TREES, rows)


def cuts_table(cuts: Iterable[CutNow]) -> Table:
    """Return the cuts, latest first, with what is left of each by the book."""
    rows = (
        (
            *(x.row.host, x.row.on, x.tree or None, x.row.grams, x.given_g, x.left_g),
            *(x.unweighed, x.row.storage, x.keeps_to, x.is_old),
            *(x.row.gone_on if x.is_gone else None, x.row.note),
        )
        for x in cuts
    )
    return table("Cuts", _CUTS, rows)


def larvae_table(tests: Iterable[LeafTest]) -> Table:
    """Return the test larvae, latest first, as they stand on the day."""
    rows = (
        (
            *(x.tree.name, x.row.begun_on, x.row.number, x.box or None, x.due_on),
            *((None,) * 2 if x.is_running else (x.row.judged_on, x.row.alive)),
            x.row.note,
        )
        for x in tests
    )
    return table("Test larvae", _TESTS, rows)


def keep_table(found: Iterable[HowMany]) -> Table:
    """Return how many can be kept, by host."""
    rows = (
        (
            *(x.host, x.eaters, x.carry_g),
            *(x.by_leaf or (None, None)),
            *(x.by_room or (None, None)),
            x.room_words or None,
            *(x.binds or None, x.keep, x.too_many, x.give_by),
        )
        for x in found
    )
    return table("How many can be kept", _KEEP, rows)
