"""The night book: sites, nights, checks, arrivals, and calls that change later."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.moments import day_words, refuse_future, refuse_none, zone_of
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import (
    ArrivalRow,
    CheckRow,
    LampNightRow,
    MothRow,
    OutageRow,
    SiteRow,
)
from rearing.terms import CountingMode, Known, MothFate, Quality, Sex, Sure

if TYPE_CHECKING:
    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched


@dataclass(frozen=True, slots=True)
class Weather:
    """The weather of a night as it was noted."""

    start_c: float | None = None
    end_c: float | None = None
    words: str | None = None


@dataclass(frozen=True, slots=True)
class LampTimes:
    """When the lamp was lit and put out; either may be unknown."""

    on: dt.datetime | None = None
    off: dt.datetime | None = None


@dataclass(frozen=True, slots=True)
class Call:
    """What a moth is called, by whom, and how sure."""

    taxon: str
    sex: Sex
    who: str = ""
    sure: Sure = Sure.CERTAIN


def add_site(
    book: Book,
    entry: Entry,
    *,
    name: str,
    latitude: float,
    longitude: float,
    zone: str,
    elevation_m: float | None = None,
    note: str | None = None,
) -> Touched:
    """Add a site where a lamp stands."""
    zone_of(zone)
    name = name.strip()
    if not name:
        raise Refusal("A site needs a name.", field="name")
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        raise Refusal(
            "A latitude lies within ±90 and a longitude within ±180 degrees.",
            field="latitude",
        )
    if book.find(SiteRow, t.Site.name == name):
        raise Refusal(f"There is a site {name} already.", field="name")
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.Site,
            name=name,
            latitude=latitude,
            longitude=longitude,
            elevation_m=elevation_m,
            zone=zone,
            note=note,
        )
        pen.say(f"Added the site {name}")
    return pen.touched


def record_night(
    book: Book,
    entry: Entry,
    *,
    site_id: int,
    evening: dt.date,
    lamp: str,
    station: str = "",
    times: LampTimes = LampTimes(),
    mode: CountingMode = CountingMode.NEW,
    weather: Weather = Weather(),
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Open a lamp night, dated by the evening the lamp was lit."""
    refuse_future(evening, entry.on, sure=sure, field="evening")
    _refuse_odd_times(evening, times)
    site = book.one(SiteRow, site_id)
    if book.find(
        LampNightRow,
        t.LampNight.site_id == site_id,
        t.LampNight.evening == evening,
        t.LampNight.station == station,
    ):
        raise Refusal(
            f"The night of {day_words(evening)} at {site.name} is in the book already; "
            "a second lamp there needs a station name of its own.",
            field="station",
        )
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.LampNight,
            site_id=site_id,
            station=station,
            evening=evening,
            lamp=lamp,
            lamp_on=times.on,
            lamp_off=times.off,
            mode=mode,
            start_c=weather.start_c,
            end_c=weather.end_c,
            weather=weather.words,
            note=note,
        )
        pen.say(f"Opened the night of {day_words(evening)} at {site.name}, {lamp}")
    return pen.touched


def record_outage(
    book: Book,
    entry: Entry,
    *,
    night_id: int,
    from_at: dt.datetime,
    to_at: dt.datetime,
    why: str | None = None,
) -> Touched:
    """Note a time in which the lamp was dark; it is taken off the lamp-hours."""
    night = book.one(LampNightRow, night_id)
    if to_at <= from_at:
        raise Refusal("The lamp came back before it went out.", field="to_at")
    _refuse_outside(night, from_at, to_at)
    for dark in book.all(OutageRow, t.Outage.night_id == night_id):
        if from_at < dark.to_at and dark.from_at < to_at:
            raise Refusal(
                "The lamp is in the book as dark in that time already.", field="from_at"
            )
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.Outage, night_id=night_id, from_at=from_at, to_at=to_at, why=why
        )
        minutes = round((to_at - from_at).total_seconds() / 60)
        pen.say(f"Lamp dark {minutes} min in the night of {day_words(night.evening)}")
    return pen.touched


def record_check(
    book: Book,
    entry: Entry,
    *,
    night_id: int,
    at: dt.datetime | None,
    known: Known = Known.SEEN,
    temperature_c: float | None = None,
    note: str | None = None,
) -> Touched:
    """Add one look at the sheet to a night."""
    night = book.one(LampNightRow, night_id)
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.Check,
            night_id=night_id,
            at=at,
            known=known,
            temperature_c=temperature_c,
            note=note,
        )
        clock = f"{at:%H:%M}" if at else "without a time"
        pen.say(f"Check {clock} in the night of {day_words(night.evening)}")
    return pen.touched


def record_arrival(
    book: Book,
    entry: Entry,
    *,
    check_id: int,
    taxon: str,
    sex: Sex,
    number: int,
    quality: Quality = Quality.EXACT,
    note: str | None = None,
) -> Touched:
    """Count so many of a kind at a check."""
    _refuse_nameless(taxon, number)
    check = book.one(CheckRow, check_id)
    night = book.one(LampNightRow, check.night_id)
    with book.change(entry) as pen:
        add_arrival(
            pen,
            night,
            check_id=check_id,
            taxon=taxon,
            sex=sex,
            number=number,
            quality=quality,
            note=note,
        )
    return pen.touched


def count_at_sheet(
    book: Book,
    entry: Entry,
    *,
    night_id: int,
    at: dt.datetime | None,
    taxon: str,
    sex: Sex,
    number: int,
    quality: Quality = Quality.EXACT,
    note: str | None = None,
) -> Touched:
    """Count so many of a kind at a moment of a night, in one entry.

    The night's check of that moment is taken, or opened where there is none.
    """
    _refuse_nameless(taxon, number)
    night = book.one(LampNightRow, night_id)
    with book.change(entry) as pen:
        checks = pen.all(CheckRow, t.Check.night_id == night_id)
        same = [check.id for check in checks if check.at == at]
        check_id = (
            same[-1]
            if same
            else pen.add(t.Check, night_id=night_id, at=at, known=Known.SEEN)
        )
        add_arrival(
            pen,
            night,
            check_id=check_id,
            taxon=taxon,
            sex=sex,
            number=number,
            quality=quality,
            note=note,
        )
    return pen.touched


def redetermine(
    book: Book,
    entry: Entry,
    *,
    arrival_id: int,
    call: Call,
    number: int = 1,
    on: dt.date | None = None,
    note: str | None = None,
) -> Touched:
    """Call some of an arrival something else; the first call stays readable."""
    arrival = book.one(ArrivalRow, arrival_id)
    if not 1 <= number <= arrival.number:
        raise Refusal(
            f"That line counts {arrival.number}; of how many is it now said?",
            field="number",
        )
    with book.change(entry) as pen:
        determine(pen, call, on or entry.on, number, arrival_id=arrival_id, note=note)
        pen.say(
            f"Second look: {number} {arrival.sex.sign} {arrival.taxon} is "
            f"{call.sex.sign} {call.taxon}"
        )
    return pen.touched


def redetermine_moth(
    book: Book,
    entry: Entry,
    *,
    moth_id: int,
    call: Call,
    on: dt.date | None = None,
    note: str | None = None,
) -> Touched:
    """Call one kept moth something else; its night's count follows.

    A kept “female” that proves male closes as *not female*; nothing is deleted.
    """
    moth = book.one(MothRow, moth_id)
    day = on or entry.on
    with book.change(entry) as pen:
        determine(pen, call, day, 1, arrival_id=moth.arrival_id, note=note, moth=moth)
        said = f"Second look: {moth.code} is {call.sex.sign} {call.taxon}"
        if moth.sex is Sex.FEMALE and call.sex is Sex.MALE and moth.fate is None:
            pen.change(
                t.Moth, moth_id, fate=MothFate.NOT_FEMALE, fate_on=day, fate_note=note
            )
            said += "; its bag closes: not female"
        pen.say(said)
    return pen.touched


def _refuse_nameless(taxon: str, number: int) -> None:
    if not taxon.strip():
        raise Refusal("Name the species, or write “not known”.", field="taxon")
    refuse_none(number)


def add_arrival(
    pen: Writing,
    night: LampNightRow,
    *,
    check_id: int,
    taxon: str,
    sex: Sex,
    number: int,
    quality: Quality,
    note: str | None = None,
) -> None:
    """Write one line of a check, and say it."""
    pen.new_id = pen.add(
        t.Arrival,
        check_id=check_id,
        taxon=taxon.strip(),
        sex=sex,
        number=number,
        quality=quality,
        note=note,
    )
    mark = {Quality.EXACT: "", Quality.ABOUT: "about ", Quality.AT_LEAST: "≥ "}
    pen.say(
        f"{mark[quality]}{number} {sex.sign} {taxon.strip()}, "
        f"night of {day_words(night.evening)}"
    )


def determine(
    pen: Writing,
    call: Call,
    on: dt.date,
    number: int,
    *,
    arrival_id: int | None,
    note: str | None,
    moth: MothRow | None = None,
) -> None:
    """Write a later call on some of an arrival, or on one moth."""
    pen.new_id = pen.add(
        t.Determination,
        arrival_id=arrival_id,
        moth_id=moth.id if moth else None,
        number=number,
        taxon=call.taxon,
        sex=call.sex,
        who=call.who or None,
        on=on,
        sure=call.sure,
        note=note,
    )


def _refuse_outside(
    night: LampNightRow, from_at: dt.datetime, to_at: dt.datetime
) -> None:
    if night.lamp_on is not None and from_at < night.lamp_on:
        raise Refusal("The lamp was not lit yet.", field="from_at")
    if night.lamp_off is not None and to_at > night.lamp_off:
        raise Refusal("The lamp was out for the night by then.", field="to_at")


def _refuse_odd_times(evening: dt.date, times: LampTimes) -> None:
    on, off = times.on, times.off
    if on and off and off <= on:
        raise Refusal("The lamp went out before it was lit.", field="off")
    if on and off and off - on > dt.timedelta(hours=18):
        raise Refusal("That lamp burnt longer than any night.", field="off")
    if on and abs((on.date() - evening).days) > 1:
        raise Refusal(
            f"The lamp was lit on {day_words(on.date())}, not on the evening of "
            f"{day_words(evening)}.",
            field="on",
        )
