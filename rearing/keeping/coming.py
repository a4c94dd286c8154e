"""What is coming, as whole days for a calendar: windows, leaf, tubs, days away."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.apart import apart_now
from rearing.keeping.away_leaf import LeafAhead, box_leaf
from rearing.keeping.holding import holding, standing_only
from rearing.keeping.leaf_tests import leaf_tests
from rearing.keeping.moments import counted, day_words, span_words
from rearing.keeping.ready_warmth import ReadyWarmth
from rearing.keeping.round import box_lines, end_of, place_on
from rearing.keeping.round_lines import EARLY, EVENING, Task
from rearing.keeping.season import Forecaster
from rearing.records import tables as t
from rearing.records.latest import last_visits
from rearing.records.rows import AwayRow, TreeRow
from rearing.terms import Stage, Visit

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rearing.keeping.holding import BoxNow, Holding
    from rearing.keeping.season import Forecast, Span, Window
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

_FEEDING = (Visit.FED, Visit.FED_AND_CLEANED)
DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Coming:
    """Something expected on whole days, from the first to the last inclusive.

    `key` stays the same while it is the same thing, whatever its days become.
    """

    key: str
    first: dt.date
    last: dt.date
    title: str
    words: str


def coming(book: Book, shelf: SheetShelf, on: dt.date) -> tuple[Coming, ...]:
    """Return all that is coming from a day on, soonest first."""
    held = standing_only(holding(book, on, all_ever=True))
    warmth = ReadyWarmth(book, shelf, held)
    found = [
        *_windows(held, shelf, warmth),
        *_leaf(book, held, shelf, warmth),
        *_tubs(held, shelf),
        *_apart(book, shelf, on),
        *_trees(book, on),
        *_away(book, on),
        *_tests(book, shelf, on),
    ]
    return tuple(sorted(found, key=lambda one: (one.first, one.title)))


def _windows(held: Holding, shelf: SheetShelf, warmth: ReadyWarmth) -> Iterator[Coming]:
    for forecast in Forecaster(held, shelf, warmth).everything():
        for window in forecast.windows:
            one = _window(forecast, window, shelf, held.on)
            if one is not None and one.last >= held.on:
                yield one


def _window(
    forecast: Forecast, window: Window, shelf: SheetShelf, on: dt.date
) -> Coming | None:
    if window.first is None:
        return None
    labels, _, _ = forecast.group.rpartition(" · ")
    begin = window.first.middle.date()
    ends = [span.middle.date() for span in (window.half, window.last) if span]
    event = window.words[0].lower() + window.words[1:]
    what = "egg" if window.event == "hatch" else "animal"
    short = shelf.sheet_for(forecast.taxon).short
    told = [
        f"{name} {_span(span)}"
        for name, span in (
            ("First", window.first),
            ("half", window.half),
            ("last", window.last),
        )
        if span is not None
    ]
    beyond = "" if window.last else " The last lie beyond the reckoning."
    return Coming(
        # The labels of a group may grow or shrink; its first keeps its name.
        key=f"{window.event} {forecast.code} {labels.partition(',')[0]}",
        first=begin,
        last=max([begin, *ends]),
        title=f"{forecast.code} {labels}: {event} "
        f"({short}, {counted(window.number, what)})",
        words=f"{', '.join(told)}.{beyond} Expected as on {day_words(on, year=True)}, "
        f"80% intervals in brackets. {forecast.group}. {forecast.assumption}",
    )


def _span(span: Span) -> str:
    low, high = span.low.date(), span.high.date()
    return f"{day_words(span.middle.date())} ({span_words(low, high)})"


def _leaf(
    book: Book, held: Holding, shelf: SheetShelf, warmth: ReadyWarmth
) -> Iterator[Coming]:
    """Yield the next evening on which each place asks for leaf."""
    zone = held.home.zone
    now = end_of(held.on, zone)
    ahead = LeafAhead(warmth, now, now + dt.timedelta(days=3))
    fed = last_visits(book, held.on, _FEEDING)
    due: dict[tuple[dt.date, int], list[str]] = defaultdict(list)
    resting = {
        line.id
        for _, line in box_lines(book, shelf, held, warmth)
        if line.task is Task.LEAVE_ALONE
    }
    for box in held.boxes:
        place_id, visit = place_on(box.stays, now) or 0, fed.get(box.row.id)
        place = held.places.get(place_id)
        if box.standing.number <= 0 or place is None or visit is None:
            continue
        if box.row.id in resting:
            continue
        sheet = shelf.sheet_for(held.taxon(box.brood))
        host = visit.host or box.row.host
        leaf = box_leaf(box, sheet, shelf, place, host, ahead)
        if leaf is None:
            continue
        given = visit.at or dt.datetime.combine(visit.on, EVENING, zone)
        ends = leaf.ends_likely(given).astimezone(zone)
        day = max(_round_before(ends, zone), held.on)
        due[day, place_id].append(f"{box.code}, {host or 'leaf'}")
    for (day, place_id), boxes in due.items():
        number, name = counted(len(boxes), "box", "boxes"), held.places[place_id].name
        yield Coming(
            key=f"leaf {name} {day.isoformat()}",
            first=day,
            last=day,
            title=f"Fresh leaf: {name}, {number}",
            words=f"{'; '.join(sorted(boxes))}. By the last feeding in the book and "
            "the temperature expected there.",
        )


def _round_before(ends: dt.datetime, zone: dt.tzinfo) -> dt.date:
    """Return the first round of which the leaf does not last to the next."""
    too_early = ends + EARLY - DAY
    day = too_early.date()
    if dt.datetime.combine(day, EVENING, zone) <= too_early:
        day += DAY
    return day


def _tubs(held: Holding, shelf: SheetShelf) -> Iterator[Coming]:
    for box in held.boxes:
        opens = _opens(box, held, shelf)
        if opens is not None and opens >= held.on and box.standing.number > 0:
            yield Coming(
                key=f"tub {box.code}",
                first=opens,
                last=opens,
                title=f"{box.code}: the tub may be opened",
                words="So many days after the last wanderer went down as the species "
                "sheet says; another one moves it on.",
            )


def _opens(box: BoxNow, held: Holding, shelf: SheetShelf) -> dt.date | None:
    if not box.row.kind.is_for_pupae:
        return None
    arrivals = [move.on for move in box.moves_in if move.stage is not Stage.PUPA]
    if not arrivals:
        return None
    sheet = shelf.sheet_for(held.taxon(box.brood))
    return max(arrivals) + dt.timedelta(
        days=round(sheet.pupation.undisturbed_days.high)
    )


def _apart(book: Book, shelf: SheetShelf, on: dt.date) -> Iterator[Coming]:
    for one in apart_now(book, shelf, on):
        if one.until is None:
            continue
        died = ""
        if one.died_on is not None:
            died = f"Last {one.died_of} death {day_words(one.died_on)}; "
        yield Coming(
            key=f"apart {one.code}",
            first=one.until,
            last=one.until,
            title=f"{one.code}: quarantine ends",
            words=f"{died}{'another' if died else 'A catching death'} moves it on.",
        )


def _away(book: Book, on: dt.date) -> Iterator[Coming]:
    for row in book.all(AwayRow, t.Away.last_on >= on):
        yield Coming(
            key=f"away {row.id}",
            first=row.first_on,
            last=row.last_on,
            title="Away",
            words=row.note or "Nobody walks the round.",
        )


def _tests(book: Book, shelf: SheetShelf, on: dt.date) -> Iterator[Coming]:
    days = round(shelf.defaults.figures.leaf_test_days.middle)
    for test in leaf_tests(book, on, days=days):
        if test.is_running:
            due = max(test.due_on, on)
            larvae = counted(test.row.number, "larva", "larvae")
            yield Coming(
                key=f"leaf test {test.row.id}",
                first=due,
                last=due,
                title=f"{test.tree.name}: judge the test larvae",
                words=f"{larvae} on its leaf since {day_words(test.row.begun_on)}.",
            )


def _trees(book: Book, on: dt.date) -> Iterator[Coming]:
    for tree in book.all(TreeRow, t.Tree.closed_until >= on):
        if tree.closed_until is not None:
            why = f" ({tree.closed_why})" if tree.closed_why else ""
            yield Coming(
                key=f"tree {tree.name}",
                first=tree.closed_until,
                last=tree.closed_until,
                title=f"{tree.name} may be cut again",
                words=f"Closed until then{why}.",
            )
