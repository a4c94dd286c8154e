"""The keeper's questions at the shelf: how each is typed, and what answers it."""

from __future__ import annotations

import argparse
import math
from pathlib import Path
from typing import TYPE_CHECKING

from rearing.commands.answer_as import add_answer_as
from rearing.commands.days import day_from
from rearing.problems import Refusal
from rearing.terms import BoxKind

if TYPE_CHECKING:
    import datetime as dt
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable, Mapping

    from rearing.commands.leaf import LeafAsked
    from rearing.commands.paper import Paper
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

OVERVIEW = """\
  rearing numbers BOOK ...     losses, survivorship and life table of a brood
  rearing away BOOK ...        what would fail on days away, and what would save it
  rearing trace BOOK [BOX]     who shared something with a box; who is kept apart
  rearing calendar BOOK [OUT]  what is coming, and as a calendar file (OUT.ics)
  rearing leaf BOOK            leaf to cut for the days to come, when it runs short
  rearing widths FILE.csv      instars by the widths of head capsules
"""
_DATE = "a day as 2021-06-12, or as you write it if it can mean one day only"


def _numbers(parser: ArgumentParser) -> None:
    parser.description = (
        "Losses by stage and cause, survivorship and life table of a brood as on a "
        "day; with --against, compared with another. With --species, the losses of a "
        "species in all broods, by year."
    )
    _book(parser)
    whose = parser.add_mutually_exclusive_group(required=True)
    whose.add_argument("--brood", metavar="CODE", help="of this brood")
    whose.add_argument("--species", metavar="NAME", help="losses of this species")
    parser.add_argument("--against", metavar="CODE", help="compare with this brood")
    parser.add_argument(
        "--box", metavar="LABEL", help="what became of those put into this box"
    )
    _on(parser)
    add_answer_as(
        *(parser, "stages", "days", "losses"),
        *("ledger", "hatch", "looks", "measured", "beside"),
    )


def _away(parser: ArgumentParser) -> None:
    parser.description = (
        "What would fail on days without a visit, by when, and what would save it: a "
        "helper, a cooler place, a sleeve. Both days are days away; it is taken that "
        "all is fed and cleaned on the evening before."
    )
    _book(parser)
    for name, words in (("--from", "first day away"), ("--to", "last day away")):
        parser.add_argument(
            name,
            metavar="DATE",
            type=day_from,
            required=True,
            dest="first" if name == "--from" else "last",
            help=words,
        )
    _on(parser)
    add_answer_as(parser, "failing", "helper")


def _trace(parser: ArgumentParser) -> None:
    parser.description = (
        "Who shared mother, branch, shelf, leaf, tools or handling day with a box. "
        "Without a box: which boxes are kept apart, and to when."
    )
    _book(parser)
    parser.add_argument("box", metavar="BOX", nargs="*", help="its code, as B21-04 S1")
    parser.add_argument(
        "--days", metavar="N", type=int, default=14, help="look back so far (14)"
    )
    _on(parser)
    add_answer_as(parser)


def _calendar(parser: ArgumentParser) -> None:
    parser.description = (
        "What is coming: hatch, moults, wandering, pupation, moths, fresh leaf, tubs "
        "and quarantine. With OUT.ics it is written as a calendar (RFC 5545) that a "
        "calendar program reads; whoever may read that file reads codes and places."
    )
    _book(parser)
    parser.add_argument("out", metavar="OUT.ics", nargs="?", type=_path)
    _on(parser)
    add_answer_as(parser)


def _leaf(parser: ArgumentParser) -> None:
    parser.description = (
        "Leaf to cut a day by host, with bands, against open trees and what lies cut: "
        "the day it runs short; trees, cuts, test larvae. With --carry, --boxes, "
        "--cages or --sleeves, how many can be kept to pupation, and which binds."
    )
    _book(parser)
    parser.add_argument(
        "--days", metavar="N", type=int, default=21, help="so many days ahead (21)"
    )
    parser.add_argument(
        "--carry",
        metavar="KG",
        type=float,
        help="how much of a host can be cut and carried a day: how many can be kept",
    )
    for kind in ("boxes", "cages", "sleeves"):
        parser.add_argument(
            f"--{kind}",
            metavar="N",
            type=int,
            default=0,
            help=f"so many {kind} are there for the last instar, of all hosts",
        )
    parser.add_argument(
        "--host", metavar="NAME", default="", help="all of it for this host alone"
    )
    _on(parser)
    add_answer_as(parser, "days", "hosts", "kept", "cuts", "trees", "tests")


def widths(parser: ArgumentParser) -> None:
    """Say what is typed for the widths of head capsules."""
    parser.description = (
        "Places larvae in instars by the widths of their head capsules: a geometric "
        "series fitted to all of them. The file has a column width [mm], and perhaps "
        "one number, how many had it."
    )
    parser.add_argument("file", metavar="FILE", type=_path)
    parser.add_argument(
        "--brood", metavar="CODE", help="FILE is a book: heads measured in this brood"
    )
    parser.add_argument(
        "--box", metavar="LABEL", help="with --brood: only those of this box"
    )
    parser.add_argument(
        "--first",
        metavar="N",
        type=int,
        help="the smallest are LN (1, or as noted in the book)",
    )
    parser.add_argument(
        "--instars",
        metavar="N",
        type=int,
        help="so many are among them (left out: the widths tell)",
    )
    add_answer_as(parser, "widths", "instars")


QUESTIONS: Mapping[str, Callable[[ArgumentParser], None]] = {
    "numbers": _numbers,
    "away": _away,
    "trace": _trace,
    "calendar": _calendar,
    "leaf": _leaf,
}


def answer(
    asked: Namespace,
    book: Book,
    shelf: SheetShelf,
    days: tuple[dt.date, dt.datetime],
    paper: Paper,
) -> None:
    """Answer what was asked as on a day; `days` has that day and the moment it is.

    Every module is loaded only for its own question.
    """
    on, asked.now = days
    _ANSWERS[asked.command](asked, book, shelf, on, paper)


def _write_numbers(
    asked: Namespace, book: Book, _: SheetShelf, on: dt.date, paper: Paper
) -> None:
    from rearing.commands.numbers import NumbersAsked, write_numbers

    if asked.brood is None and (asked.against or asked.box):
        raise Refusal("--against and --box go with --brood.", field="brood")
    whose = NumbersAsked(asked.brood, asked.against, asked.box, asked.species)
    write_numbers(book, whose, on, paper, as_json=asked.as_json)


def _write_away(
    asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date, paper: Paper
) -> None:
    from rearing.commands.away import write_away

    days = (asked.first, asked.last)
    write_away(book, shelf, on, days, paper, as_json=asked.as_json)


def _write_trace(
    asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date, paper: Paper
) -> None:
    from rearing.commands.trace import write_apart, write_trace

    if not asked.box:
        write_apart(book, shelf, on, paper, as_json=asked.as_json)
        return
    looked = (" ".join(asked.box), on, asked.days)
    write_trace(book, shelf, looked, paper, as_json=asked.as_json)


def _write_calendar(
    asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date, paper: Paper
) -> None:
    from rearing.commands.calendar import write_coming, write_feed

    if asked.out is None:
        write_coming(book, shelf, on, paper, as_json=asked.as_json)
    elif asked.as_json:
        raise Refusal("A file is written as a calendar; leave out --json.", field="out")
    else:
        write_feed(book, shelf, on, (asked.out, asked.now), paper)


def _write_leaf(
    asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date, paper: Paper
) -> None:
    from rearing.commands.leaf import write_leaf

    write_leaf(book, shelf, leaf_asked(asked, on), paper, as_json=asked.as_json)


def leaf_asked(asked: Namespace, on: dt.date) -> LeafAsked:
    """Return what was typed of leaf."""
    from rearing.commands.leaf import LeafAsked

    carried, rooms = _carried_kg(asked), _rooms_named(asked)
    return LeafAsked(on, asked.days, carried, rooms, asked.host)


def _carried_kg(asked: Namespace) -> float | None:
    """Return how much can be carried a day, None where that is not said."""
    carry: float | None = asked.carry
    if carry is not None and not math.isfinite(carry):
        raise Refusal("How much can be carried must be a number.", field="carry")
    return carry


def _rooms_named(asked: Namespace) -> Mapping[BoxKind, int] | None:
    """Return how many boxes, cages and sleeves there are, None where none is named."""
    rooms = {
        BoxKind.BOX: asked.boxes,
        BoxKind.CAGE: asked.cages,
        BoxKind.SLEEVE: asked.sleeves,
    }
    return rooms if any(rooms.values()) else None


_ANSWERS: Mapping[
    str, Callable[[Namespace, Book, SheetShelf, dt.date, Paper], None]
] = {
    "numbers": _write_numbers,
    "away": _write_away,
    "trace": _write_trace,
    "calendar": _write_calendar,
    "leaf": _write_leaf,
}


def _book(parser: ArgumentParser) -> None:
    parser.add_argument("book", metavar="BOOK", type=_path)


def _on(parser: ArgumentParser) -> None:
    parser.add_argument("--on", metavar="DATE", type=day_from, help=_DATE)


def _path(text: str) -> Path:
    if not text or "\0" in text:
        raise argparse.ArgumentTypeError("a name of a file is wanted")
    return Path(text)
