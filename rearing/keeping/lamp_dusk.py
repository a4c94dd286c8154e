"""Dusk: the lamp that is out tonight or was last, and what to put on its keys."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.lamp_counting import MOST_KEYS, keys_of
from rearing.keeping.years import suggested_species
from rearing.records import tables as t
from rearing.records.rows import LampNightRow, SiteRow
from rearing.terms import CountingMode

if TYPE_CHECKING:
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class Dusk:
    """What a night begins with: the last one at that site, and the likely species."""

    site: SiteRow
    station: str
    lamp: str
    mode: CountingMode


def nights_on(book: Book, evening: dt.date) -> tuple[LampNightRow, ...]:
    """Return the lamps of one evening, in the order they were entered."""
    return book.all(LampNightRow, t.LampNight.evening == evening)


def last_at(book: Book, site_id: int | None, before: dt.date) -> LampNightRow | None:
    """Return the latest night before an evening, at a site or anywhere."""
    where = [t.LampNight.evening < before]
    if site_id is not None:
        where.append(t.LampNight.site_id == site_id)
    latest = (t.LampNight.evening.desc(), t.LampNight.id.desc())
    with_it = book.all(
        LampNightRow,
        *where,
        t.LampNight.evening >= before - dt.timedelta(days=800),
        order=latest,
    )
    return with_it[0] if with_it else None


def dusk(book: Book, evening: dt.date, site_id: int | None = None) -> Dusk | None:
    """Return what tonight would begin with; None while no site is entered."""
    last = last_at(book, site_id, evening)
    if site_id is None and last is None:
        sites = book.all(SiteRow)
        if not sites:
            return None
        site = sites[0]
    else:
        chosen = site_id if site_id is not None or last is None else last.site_id
        site = book.one(SiteRow, chosen or 0)
    return Dusk(
        site=site,
        station=last.station if last else "",
        lamp=last.lamp if last else "",
        mode=last.mode if last else CountingMode.NEW,
    )


def likely_keys(
    book: Book, evening: dt.date, stand: str, more: tuple[str, ...] = ()
) -> tuple[str, ...]:
    """Return species for the keys of a night: those there last keep their places.

    Free keys are filled with what came lately, then with what flew at this date in
    earlier years, then with `more`.
    """
    likely = suggested_species(book, evening, most=MOST_KEYS)
    known = {*likely, *more}
    keys = [
        name if name in known or not likely else "" for name in keys_of(book, stand)
    ]
    others = [name for name in dict.fromkeys((*likely, *more)) if name not in keys]
    for place, name in enumerate(keys):
        if not name and others:
            keys[place] = others.pop(0)
    return tuple([*keys, *others][:MOST_KEYS])
