"""The hand at the sheet: one entry a key, checks that close, a lamp that goes dark.

What is not yet settled of a lamp (its keys, its open check, since when it is dark) is
kept as facts of its stand, so that a night goes on after the power was cut.
"""

from __future__ import annotations

import datetime as dt
import json
from typing import TYPE_CHECKING

from rearing.keeping.lamp import add_arrival
from rearing.keeping.moments import counted, day_words, refuse_none, zone_of
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import (
    ArrivalRow,
    FactRow,
    LampNightRow,
    SiteRow,
)
from rearing.terms import Known, Quality, Sex

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched

MOST_KEYS = 12
_KEYS, _OPEN, _DARK = "lamp keys", "lamp check", "lamp dark"


def stand_of(night: LampNightRow) -> str:
    """Return what names a lamp's stand from night to night: its site and station."""
    return f"{night.site_id} {night.station}".strip()


def keys_name(stand: str) -> str:
    """Return the name of the fact that holds a stand's keys."""
    return f"{_KEYS} {stand}"


def keys_of(book: Book, stand: str) -> tuple[str, ...]:
    """Return the species on the number keys of a stand; an empty name is a free key."""
    said = book.find(FactRow, t.Fact.name == keys_name(stand))
    return tuple(json.loads(said.value)) if said else ()


def open_check_of(book: Book, night: LampNightRow) -> int | None:
    """Return the check that is being counted at, None where the last was closed."""
    name = f"{_OPEN} {stand_of(night)}"
    return _number_of(book.find(FactRow, t.Fact.name == name), night)


def dark_since(book: Book, night: LampNightRow) -> dt.datetime | None:
    """Return since when the lamp is dark, None while it burns."""
    said = book.find(FactRow, t.Fact.name == f"{_DARK} {stand_of(night)}")
    own, _, since = (said.value if said else "").partition(" ")
    return dt.datetime.fromisoformat(since) if since and own == f"{night.id}" else None


def choose_keys(
    book: Book, entry: Entry, *, night_id: int, keys: Sequence[str]
) -> Touched:
    """Put species on the number keys; they stay there the next night at this stand."""
    night = book.one(LampNightRow, night_id)
    names = [name.strip() for name in keys]
    chosen = [name for name in names if name]
    if len(names) > MOST_KEYS:
        raise Refusal(f"There are {MOST_KEYS} keys.", field="taxon")
    if len(set(chosen)) < len(chosen):
        raise Refusal("That species has a key already.", field="taxon")
    with book.change(entry) as pen:
        _put(pen, keys_name(stand_of(night)), json.dumps(names, ensure_ascii=False))
        pen.say(
            f"Put {len(chosen)} species on the keys, "
            f"night of {day_words(night.evening)}"
        )
    return pen.touched


def count(
    book: Book,
    entry: Entry,
    *,
    night_id: int,
    at: dt.datetime | None,
    taxon: str,
    sex: Sex,
    number: int = 1,
    quality: Quality = Quality.EXACT,
) -> Touched:
    """Count at the open check of a night; where none is open, `at` opens one."""
    if not taxon.strip():
        raise Refusal("Name the species, or write “not known”.", field="taxon")
    refuse_none(number)
    with book.change(entry) as pen:
        night = _night(pen, night_id)
        check_id = _number_of(_fact(pen, _OPEN, night), night)
        if check_id is None:
            check_id = pen.add(t.Check, night_id=night_id, at=at, known=Known.SEEN)
            _put(pen, f"{_OPEN} {stand_of(night)}", f"{night_id} {check_id}")
        add_arrival(
            pen,
            night,
            check_id=check_id,
            taxon=taxon,
            sex=sex,
            number=number,
            quality=quality,
        )
    return pen.touched


def close_check(
    book: Book,
    entry: Entry,
    *,
    night_id: int,
    at: dt.datetime | None,
    known: Known = Known.SEEN,
    temperature_c: float | None = None,
) -> Touched:
    """Close the open check with its time; where nothing was counted it is a zero."""
    with book.change(entry) as pen:
        night = _night(pen, night_id)
        _refuse_unlit(night, at)
        check_id = _number_of(_fact(pen, _OPEN, night), night)
        if check_id is None:
            check_id = pen.add(t.Check, night_id=night_id, at=at, known=known)
        else:
            _put(pen, f"{_OPEN} {stand_of(night)}", "")
        pen.change(t.Check, check_id, at=at, known=known, temperature_c=temperature_c)
        came = pen.all(ArrivalRow, t.Arrival.check_id == check_id)
        moths = sum(one.number for one in came)
        zone = zone_of(pen.all(SiteRow, t.Site.id == night.site_id)[0].zone)
        clock = f"of {at.astimezone(zone):%H:%M}" if at else "without a time"
        pen.new_id = check_id
        pen.say(
            f"Check {clock} closed: {counted(moths, 'moth') if moths else 'nothing'}, "
            f"night of {day_words(night.evening)}"
        )
    return pen.touched


def go_dark(book: Book, entry: Entry, *, night_id: int, at: dt.datetime) -> Touched:
    """Note that the lamp went dark; it may come back."""
    with book.change(entry) as pen:
        night = _night(pen, night_id)
        _refuse_unlit(night, at)
        _put(pen, f"{_DARK} {stand_of(night)}", f"{night_id} {at.isoformat()}")
        pen.say(f"The lamp went dark, night of {day_words(night.evening)}")
    return pen.touched


def light_again(
    book: Book,
    entry: Entry,
    *,
    night_id: int,
    at: dt.datetime,
    why: str | None = None,
) -> Touched:
    """Note that the lamp burns again; the time between is off the lamp-hours."""
    night = book.one(LampNightRow, night_id)
    since = dark_since(book, night)
    if since is None:
        raise Refusal("The lamp burns, as the book has it.", field="at")
    if at <= since:
        raise Refusal("The lamp came back before it went out.", field="at")
    with book.change(entry) as pen:
        _put(pen, f"{_DARK} {stand_of(night)}", "")
        pen.new_id = pen.add(
            t.Outage, night_id=night_id, from_at=since, to_at=at, why=why
        )
        minutes = round((at - since).total_seconds() / 60)
        pen.say(f"Lamp dark {minutes} min in the night of {day_words(night.evening)}")
    return pen.touched


def put_out(
    book: Book,
    entry: Entry,
    *,
    night_id: int,
    at: dt.datetime,
    end_c: float | None = None,
    weather: str | None = None,
) -> Touched:
    """Put the lamp out for the night; a lamp that was dark stayed dark."""
    night = book.one(LampNightRow, night_id)
    since = dark_since(book, night)
    out = since if since is not None and since < at else at
    _refuse_unlit(night, out)
    if night.lamp_on and out - night.lamp_on > dt.timedelta(hours=18):
        raise Refusal("That lamp burnt longer than any night.", field="at")
    words = "; ".join(part for part in (night.weather, weather) if part) or None
    with book.change(entry) as pen:
        if since is not None:
            _put(pen, f"{_DARK} {stand_of(night)}", "")
        if _number_of(_fact(pen, _OPEN, night), night) is not None:
            _put(pen, f"{_OPEN} {stand_of(night)}", "")
        pen.change(
            t.LampNight,
            night_id,
            lamp_off=out,
            end_c=night.end_c if end_c is None else end_c,
            weather=words,
        )
        pen.say(f"Lamp out, night of {day_words(night.evening)}")
    return pen.touched


def _night(pen: Writing, night_id: int) -> LampNightRow:
    found = pen.all(LampNightRow, t.LampNight.id == night_id)
    if not found:
        raise Refusal("That night is no longer in the book.")
    return found[0]


def _fact(pen: Writing, kind: str, night: LampNightRow) -> FactRow | None:
    found = pen.all(FactRow, t.Fact.name == f"{kind} {stand_of(night)}")
    return found[0] if found else None


def _number_of(said: FactRow | None, night: LampNightRow) -> int | None:
    """Return the check a stand's fact names, if it is one of this night."""
    own, _, number = (said.value if said else "").partition(" ")
    return int(number) if number and own == f"{night.id}" else None


def _put(pen: Writing, name: str, value: str) -> None:
    standing = pen.all(FactRow, t.Fact.name == name)
    if standing:
        pen.change(t.Fact, standing[0].id, value=value)
    else:
        pen.add(t.Fact, name=name, value=value)


def _refuse_unlit(night: LampNightRow, at: dt.datetime | None) -> None:
    if at is not None and night.lamp_on is not None and at < night.lamp_on:
        raise Refusal("The lamp was not lit yet.", field="at")
