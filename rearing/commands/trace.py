"""Who shared something with a box, or who is kept apart, on paper or as JSON.

JSON of a box: ``on`` and ``since`` (ISO dates, both among the days), ``box``, ``apart``
(null, or its quarantine: ``code``, ``cause``, ``died_on``, ``until``) and
``neighbours``, the gravest first: code, ``taxon``, ``is_open`` and ``ties``, each with
``shared`` ("animals", "branch", "tree", "mother", "shelf", "leaf", "hands and tools",
"day"), ``words`` and ``last`` (ISO date). Without a box: on and apart, a list.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.keeping.moments import counted, short_day, span_words
from rearing.keeping.tracing import box_named, kept_apart, trace

if TYPE_CHECKING:
    import datetime as dt

    from rearing.commands.paper import Paper
    from rearing.keeping.tracing import Apart, Neighbour, Trace
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf


def write_trace(
    book: Book,
    shelf: SheetShelf,
    looked: tuple[str, dt.date, int],
    paper: Paper,
    *,
    as_json: bool = False,
) -> None:
    """Write who shared something with a box up to a day, so many days back."""
    name, on, days = looked
    found = trace(book, shelf, box_named(book, name, on), on, days=days)
    if as_json:
        paper.json(_data(found))
        return
    paper.line(f"{found.code}, as on {full_day(on)}")
    paper.paragraph(
        f"{counted(len(found.neighbours), 'box', 'boxes')} shared something with it, "
        f"{span_words(found.since, on)}."
    )
    if found.apart is not None:
        paper.paragraph(_apart_words(found.apart))
    for _, alike in groupby(found.neighbours, key=_tied):
        _write_alike(list(alike), paper)


def _tied(one: Neighbour) -> tuple[object, ...]:
    """Return what boxes told of together have in common."""
    brood = one.code.partition(" ")[0]
    return brood, one.is_open, tuple((tie.shared, tie.words) for tie in one.ties)


def _write_alike(alike: list[Neighbour], paper: Paper) -> None:
    one = alike[0]
    codes = [one.code, *(other.code.partition(" ")[2] for other in alike[1:])]
    closed = "" if one.is_open else " (closed)"
    paper.line()
    paper.paragraph(f"{', '.join(codes)}{closed}  {one.taxon}", later=2)
    for tie in one.ties:
        paper.paragraph(f"{tie.shared.words}: {tie.words}", indent=2, later=2)


def write_apart(
    book: Book, shelf: SheetShelf, on: dt.date, paper: Paper, *, as_json: bool = False
) -> None:
    """Write which boxes are kept apart on a day."""
    found = kept_apart(book, shelf, on)
    if as_json:
        paper.json({"on": on.isoformat(), "apart": [_apart_data(x) for x in found]})
        return
    paper.line(f"Kept apart on {full_day(on)}")
    if not found:
        paper.line("None.")
    for one in found:
        paper.paragraph(_apart_words(one), indent=2, later=2)


def _apart_words(one: Apart) -> str:
    return (
        f"{one.code}: last {one.cause} death {short_day(one.died_on)}; apart until "
        f"{short_day(one.until)}, longer if another dies."
    )


def _data(found: Trace) -> dict[str, object]:
    return {
        "on": found.on.isoformat(),
        "since": found.since.isoformat(),
        "box": found.code,
        "apart": None if found.apart is None else _apart_data(found.apart),
        "neighbours": [_neighbour_data(one) for one in found.neighbours],
    }


def _neighbour_data(one: Neighbour) -> dict[str, object]:
    ties = [
        {"shared": x.shared.words, "words": x.words, "last": x.last.isoformat()}
        for x in one.ties
    ]
    told = {"code": one.code, "taxon": one.taxon, "is_open": one.is_open}
    return {**told, "ties": ties}


def _apart_data(one: Apart) -> dict[str, object]:
    return {
        "code": one.code,
        "cause": one.cause,
        "died_on": one.died_on.isoformat(),
        "until": one.until.isoformat(),
    }
