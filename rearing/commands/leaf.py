"""Leaf for the days to come on paper or as JSON: need, reach, trees, cuts, tests.

JSON: ``on`` (ISO date), ``days`` from the next on, each with ``day``, ``total`` and
``hosts`` (each a ``host`` and a ``cut``; total and cut have ``low``, ``expected`` and
``high``, the 80 % band, in grams to cut), and ``plans``, most needed first: host,
``eaters`` (eggs and larvae alive that it is for), ``broods`` (each a ``brood``,
``taxon``, ``number``, ``last_g``: what they eat in the last instar, were it whole
before them, ``last_into``: when the last come into it, or null, and ``give_by``: the
day before half are L4, or null), ``whole`` (all that is still to cut), ``eaten_g``,
``until`` (nearly all is eaten), ``last_on``, ``week`` (``first`` and ``last`` of the
fullest seven days, ``a_day_g``), ``peak_on``, ``peak``, ``heaviest_g`` (what the
hungriest day may ask for), ``open_trees``, ``closed`` (each a ``tree``, until and
``why``), ``lying_g`` (cut and not given yet, or null), ``lasts_to`` (or null),
``short_on`` and ``short_why`` (null and empty where a tree is open throughout),
``reached`` (spans of days: first, last, ``lies_cut``, and why there is none, empty
where there is), ``keep`` and ``keep_surely`` (how many can be fed on what can be
carried, null where that was not said), and ``words``.

``can_keep``, where leaf or boxes were named: by host ``by_leaf`` and ``by_room`` (each
``sure`` and ``most``, or null), ``room`` (its part of the boxes, each a ``kind`` and a
number, or null where none was named), ``binds`` (leaf, room or empty), ``give_away``,
``give_by`` (or null) and words. ``beware``: sentences. ``cuts``: host, tree,
``cut_on``, ``grams``, ``left_g`` (null: not weighed), ``unweighed`` feedings from it,
``storage``, ``keeps_to``, ``is_old``. ``trees``: ``name``, host, ``where``, ``owner``,
``is_closed``, until, why, ``signs`` of the year (``sign`` and day), ``last_cut``,
``feeds``. ``tests`` of leaf by larvae: tree, ``box``, number, ``begun_on``,
``due_on``, ``judged_on`` and ``alive`` (null while they run).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.commands.leaf_data import leaf_data
from rearing.keeping.how_many import how_many
from rearing.keeping.larder import cuts_now
from rearing.keeping.leaf_tests import leaf_tests
from rearing.keeping.leaf_view import AHEAD, leaf_view
from rearing.keeping.moments import day_words, short_day
from rearing.keeping.trees import trees_now
from rearing.problems import Refusal

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from rearing.commands.paper import Paper
    from rearing.keeping.how_many import HowMany
    from rearing.keeping.larder import CutNow
    from rearing.keeping.leaf_plan import LeafDay
    from rearing.keeping.leaf_view import LeafView
    from rearing.keeping.trees import TreeNow
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf
    from rearing.terms import BoxKind

MOST_DAYS = 240


@dataclass(frozen=True, slots=True)
class LeafAsked:
    """From which day, for how many; what can be carried a day, and which boxes are."""

    on: dt.date
    days: int
    carry_kg: float | None = None
    rooms: Mapping[BoxKind, int] | None = None
    host: str = ""
    """How many can be kept is asked of this one alone; empty: of each."""


def write_leaf(
    book: Book,
    shelf: SheetShelf,
    asked: LeafAsked,
    paper: Paper,
    *,
    as_json: bool = False,
) -> None:
    """Write leaf from a day on, for so many days; how many can be kept, where asked."""
    on, days = asked.on, asked.days
    view, kept = view_asked(book, shelf, asked)
    trees, cuts = trees_now(book, on), cuts_now(book, on)
    tests = leaf_tests(book, on)
    if as_json:
        paper.json(leaf_data(view, kept, (trees, cuts, tests), days=days))
        return
    _write_need(view, kept, paper)
    if view.hosts:
        paper.line()
        _write_days(view.plan.days[:days], view, paper)
    _write_cuts(cuts, paper)
    _write_trees(trees, paper)
    running = [one.words for one in tests if one.is_running]
    for words in running:
        paper.line()
        paper.paragraph(f"Test larvae: {words}.")
    if view.hosts:
        paper.line()
        paper.paragraph(
            "Grams to cut a day, twigs and waste among them, with 80% bands; nobody is "
            "taken to be lost."
        )
    if any(one.part is not None for one in kept):
        paper.paragraph(
            "Room is for the last instar, as if all were in it at one time; of several "
            "hosts each has its part."
        )


def view_asked(
    book: Book, shelf: SheetShelf, asked: LeafAsked
) -> tuple[LeafView, tuple[HowMany, ...]]:
    """Return the leaf to come, and how many can be kept where that is asked."""
    if not 1 <= asked.days <= MOST_DAYS:
        raise Refusal(f"Leaf is planned for 1 to {MOST_DAYS} days.", field="days")
    view = leaf_view(book, shelf, asked.on, days=max(asked.days, AHEAD))
    rooms, host = asked.rooms, _host_named(view, asked.host)
    if asked.carry_kg is None and not rooms:
        if host:
            said = "--host goes with --carry, --boxes, --cages or --sleeves."
            raise Refusal(said, field="host")
        return view, ()
    carry_g = None if asked.carry_kg is None else asked.carry_kg * 1000
    return view, how_many(view, shelf, carry_g=carry_g, rooms=rooms, host=host)


def _host_named(view: LeafView, said: str) -> str:
    known = [one.host for one in view.hosts]
    wanted = said.strip().casefold()
    if not wanted or wanted in known:
        return wanted
    like = [name for name in known if wanted in name.casefold()]
    if len(like) != 1:
        eaten = f"Eaten are {', '.join(known)}." if known else "Nobody here will eat."
        raise Refusal(f"Nobody here will eat “{said}”. {eaten}", field="host")
    return like[0]


def _write_need(view: LeafView, kept: Sequence[HowMany], paper: Paper) -> None:
    paper.line(f"Leaf to cut, as on {full_day(view.on)}")
    if not view.hosts:
        paper.line("Nobody here will eat.")
        return
    short = view.first_short
    if short is not None and short.plan.short_on is not None:
        paper.paragraph(
            f"Runs short first: {short.host}, {day_words(short.plan.short_on)} "
            f"({short.plan.short_why})."
        )
    told = {one.host: one for one in kept}
    for host in view.hosts:
        paper.line()
        paper.paragraph(host.words)
        if host.host in told:
            paper.paragraph(_bare(told[host.host].words), indent=2)
    for words in view.warnings:
        paper.line()
        paper.paragraph(f"Beware: {words}")


def _bare(words: str) -> str:
    return f"To keep: {words}"


def _write_days(days: Sequence[LeafDay], view: LeafView, paper: Paper) -> None:
    hosts = [one.host for one in view.hosts]
    shown = hosts[:3]
    rows = [["", *shown, *(["others"] if len(hosts) > 3 else []), "in all", "80%"]]
    for day in days:
        cells = [day.hosts[h].expected if h in day.hosts else 0.0 for h in hosts]
        rest = [sum(cells[3:])] if len(hosts) > 3 else []
        told = [f"{grams:.0f}" if grams >= 0.5 else "" for grams in (*cells[:3], *rest)]
        total = day.total
        band = f"{total.low:.0f}–{total.high:.0f}"
        name = f"{day.on:%a} {day.on.day} {day.on:%b}"
        rows.append([name, *told, f"{total.expected:.0f}", band])
    paper.table(rows, indent=2, right="." + "r" * len(rows[0]))


def _write_cuts(cuts: Sequence[CutNow], paper: Paper) -> None:
    lies = [one for one in cuts if not one.is_gone and not one.is_used_up]
    if not lies:
        return
    paper.line()
    paper.line("Lying cut")
    paper.table(
        [
            [
                one.row.host,
                f"{short_day(one.row.on)}{f', {one.tree}' if one.tree else ''}",
                one.left_words,
                one.age_words,
            ]
            for one in lies
        ],
        indent=2,
    )


def _write_trees(trees: Sequence[TreeNow], paper: Paper) -> None:
    if not trees:
        return
    paper.line()
    paper.line("Trees")
    for tree in trees:
        fed = f"feeds {', '.join(tree.fed)}" if tree.fed else ""
        parts = (tree.state_words, tree.year_words, tree.cut_words, fed)
        said = "; ".join(part for part in parts if part)
        paper.paragraph(f"{tree.row.name}, {tree.row.host}: {said}.", indent=2, later=2)
