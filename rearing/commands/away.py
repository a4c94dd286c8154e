"""Days away on paper or as JSON: what would fail, by when, and what would save it.

JSON: ``on``, ``first`` and ``last`` (ISO dates; the last two are days away), ``fed_at``
and ``back_at`` (ISO times that are assumed), ``sentence``, ``lasting`` (boxes whose
leaf lasts), ``helper`` (evenings on which leaf must be given: ``day``, ``boxes``) and
``failing``, soonest first: ``why`` ("leaf runs out", "hatch with nobody there",
"hatched and in no box yet", "wander with nowhere to go", "may emerge shut in"),
``code``, ``taxon``, ``place``, ``number`` (animals), ``at_worst`` (ISO time by which
it may fail), ``is_likely`` (false where only the hottest future, or the early end of a
window, makes it fail), ``words`` and ``saves`` (each a ``kind``: "helper", "cooler
place", "sleeve", "box", "litter", "room to climb", and words).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.keeping.away import DAY, away
from rearing.keeping.away_words import (
    alike,
    number_words,
    what_fails,
    what_saves,
    which,
)
from rearing.keeping.moments import counted, day_words

if TYPE_CHECKING:
    import datetime as dt

    from rearing.commands.paper import Paper
    from rearing.keeping.away import Away, Failing
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf


def write_away(
    book: Book,
    shelf: SheetShelf,
    on: dt.date,
    days: tuple[dt.date, dt.date],
    paper: Paper,
    *,
    as_json: bool = False,
) -> None:
    """Write what days away would cost."""
    found = away(book, shelf, on, *days)
    if as_json:
        paper.json(_data(found))
        return
    paper.line(f"Asked on {full_day(found.on)}")
    paper.paragraph(found.sentence)
    eve, back = day_words(found.fed_at.date()), day_words(found.last + DAY)
    paper.paragraph(
        f"Taken that all is fed and cleaned on {eve}, {found.fed_at:%H:%M}, and that "
        f"you are back for the round of {back}."
    )
    for together in alike(found):
        _write_one(together, paper)
    if found.helper:
        paper.line()
        evenings = [
            f"{day_words(day)} ({counted(n, 'box', 'boxes')})"
            for day, n in found.helper
        ]
        paper.paragraph(f"A helper has to give leaf on {', '.join(evenings)}.")
    if found.lasting:
        boxes = counted(found.lasting, "box", "boxes")
        paper.paragraph(f"The leaf of {boxes} lasts until you are back.")


def _write_one(together: list[Failing], paper: Paper) -> None:
    one = together[0]
    paper.line()
    head = f"{which(together)} · {one.place} · {number_words(together)}: {one.why}"
    paper.paragraph(head, later=2)
    paper.paragraph(what_fails(one), indent=2)
    paper.paragraph(what_saves(one), indent=2)


def _data(found: Away) -> dict[str, object]:
    return {
        "on": found.on.isoformat(),
        "first": found.first.isoformat(),
        "last": found.last.isoformat(),
        "fed_at": found.fed_at.isoformat(),
        "back_at": found.back_at.isoformat(),
        "sentence": found.sentence,
        "lasting": found.lasting,
        "helper": [
            {"day": day.isoformat(), "boxes": boxes} for day, boxes in found.helper
        ],
        "failing": [
            {
                "why": one.why.value,
                "code": one.code,
                "taxon": one.taxon,
                "place": one.place,
                "number": one.number,
                "at_worst": one.at_worst.replace(microsecond=0).isoformat(),
                "is_likely": one.is_likely,
                "words": one.words,
                "saves": [{"kind": x.kind.value, "words": x.words} for x in one.saves],
            }
            for one in found.failing
        ],
    }
