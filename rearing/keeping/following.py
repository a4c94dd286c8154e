"""Which place follows which: the keeper's word, and the rule the readings give."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.heat_page import place_line, series
from rearing.keeping.leads import choices_on
from rearing.keeping.places import places
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import PlaceRow
from rearing.science.place_rule import PlaceRule, fit_rule
from rearing.science.rule_interval import RuleIntervals, rule_intervals
from rearing.science.weather import How

if TYPE_CHECKING:
    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched

FITTED_DAYS = 120
"""Days before the last on which both were read; older ones tell of other weather."""


@dataclass(frozen=True, slots=True)
class Following:
    """A place and the one it follows: the rule, and whether the keeper said so."""

    place: PlaceRow
    other: PlaceRow
    rule: PlaceRule
    intervals: RuleIntervals
    first: dt.date
    last: dt.date
    is_chosen: bool = False


def follow_place(
    book: Book, entry: Entry, *, place_id: int, other_id: int | None
) -> Touched:
    """Settle which place another follows after its last reading; None for none."""
    place = book.one(PlaceRow, place_id)
    other = None if other_id is None else book.one(PlaceRow, other_id)
    if other is not None:
        _refuse_follower(place, other)
        _refuse_ring(choices_on(book, entry.on), place, other)
        if rule_between(book, place, other, entry.on) is None:
            raise Refusal(
                f"{place.name} and {other.name} were not both read on a week of days, "
                "so there is no rule between them yet.",
                field="other_id",
            )
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.PlaceFollow, place_id=place.id, other_id=other_id, chosen_on=entry.on
        )
        pen.subjects.add(("place", place.id))
        whom = "no other place" if other is None else other.name
        pen.say(f"{place.name} follows {whom}")
    return pen.touched


def _refuse_follower(place: PlaceRow, other: PlaceRow) -> None:
    if place.id == other.id:
        raise Refusal("A place can't follow itself.", field="other_id")
    for one in (place, other):
        if one.set_point_c is not None:
            raise Refusal(
                f"{one.name} has a set point, and its windows count with that.",
                field="other_id",
            )


def _refuse_ring(
    choices: dict[int, int | None], place: PlaceRow, other: PlaceRow
) -> None:
    seen, at = {place.id}, other.id
    while at not in seen:
        seen.add(at)
        following = choices.get(at)
        if following is None:
            return
        at = following
    raise Refusal(
        f"{other.name} follows {place.name} already, so it can't be the other way "
        "about as well.",
        field="other_id",
    )


def rule_between(
    book: Book, place: PlaceRow, other: PlaceRow, on: dt.date
) -> Following | None:
    """Fit how one place follows another, as on a day; None where too little was read.

    Over the last `FITTED_DAYS` days up to the last one on which both were read.
    """
    last = _last_day(book, place, other, on)
    if last is None:
        return None
    first = last - dt.timedelta(days=FITTED_DAYS - 1)
    own, its = (series(book, one, first, last) for one in (place, other))
    known = np.flatnonzero(np.isfinite(its.celsius))
    if not len(known) or not np.isfinite(its.celsius[known[0] :]).all():
        return None
    begin = int(known[0])
    seen = np.where(own.how == How.SEEN, own.celsius, np.nan)[begin:]
    try:
        rule = fit_rule(its.celsius[begin:], seen)
    except ValueError:
        return None  # too few days on which both were read
    intervals = rule_intervals(its.celsius[begin:], seen, rule)
    day = its.moment(begin + int(np.flatnonzero(np.isfinite(seen))[0])).date()
    return Following(place, other, rule, intervals, day, last)


def _last_day(
    book: Book, place: PlaceRow, other: PlaceRow, on: dt.date
) -> dt.date | None:
    ends = [place_line(book, one, on).last for one in (place, other)]
    known = [end for end in ends if end is not None]
    return min(known) if len(known) == 2 else None


def following_of(book: Book, place: PlaceRow, on: dt.date) -> Following | None:
    """Return whom a place follows by the keeper's word, else whom it could follow.

    Of several that it could, the outdoor place that leaves the least unexplained.
    """
    if place.set_point_c is not None:
        return None
    choices = choices_on(book, on)
    if place.id in choices:
        other_id = choices[place.id]
        if other_id is None:
            return None
        found = rule_between(book, place, book.one(PlaceRow, other_id), on)
        return None if found is None else _chosen(found)
    fitted = [
        rule_between(book, place, other, on)
        for other in places(book)
        if other.outdoors and other.set_point_c is None and other.id != place.id
    ]
    known = [found for found in fitted if found is not None]
    return min(known, key=_unexplained) if known else None


def _unexplained(found: Following) -> float:
    return found.rule.spread_c


def _chosen(found: Following) -> Following:
    return replace(found, is_chosen=True)
