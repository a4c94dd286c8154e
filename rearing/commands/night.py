"""The lamp nights of an evening, on paper or as JSON.

JSON: ``on`` (ISO date of the evening, null in a book without a night), ``known_on``
(the day whose knowledge is told: later calls are not looked at) and ``nights``, each
with ``site``, ``station``, ``lamp``, ``mode`` ("new since last check": counts add;
"present now": the largest check counts), ``lamp_on`` and ``lamp_off`` (ISO times of the
site's clock, or null), ``outages`` (``from``, ``to``, ``why``), ``lamp_hours`` (elapsed
less outages, or null), ``weather`` (``start_c``, ``end_c``, ``words``), ``sky``
(``sunset``, ``astronomical_dusk``, ``sunrise``, ``moon_fraction``, ``moon_waxing``,
``moon_hours``: how long the moon was up while the lamp burnt, null where that is
unknown), ``moths`` and ``species`` (numbers), ``totals`` as called now and
``first_totals`` as first called, ``sexes`` (``males``, ``females``, ``not_looked``),
``calls``, ``note`` (or null), ``checks`` and ``kept``. A call is a later look at some
of them: ``on``, ``number``, ``taxon``, ``sex``, ``who`` (or null), ``sure``
("certain", "probable", "guess") and ``note``. A total has ``taxon``, ``sex`` ("male",
"female", "not looked"), ``number`` and ``quality`` ("exact", "about", "at least"). A
check has ``at`` (or null), ``known``, ``lamp_hour`` (or null), ``temperature_c`` (or
null) and ``came``, totals of that check. A kept moth has ``code``, ``taxon`` and
``sex`` as called now, ``first_sex``, ``container``, ``at``, ``fate`` and ``fate_on``
(null while there is none).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.keeping.moments import counted, short_day, zone_of
from rearing.keeping.night_counts import by_sex, nights_of
from rearing.keeping.night_sky import site_sky
from rearing.keeping.nights import current_call
from rearing.records import tables as t
from rearing.records.rows import LampNightRow
from rearing.terms import Quality

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from rearing.commands.paper import Paper
    from rearing.keeping.night_counts import CheckCounts, NightCounts
    from rearing.keeping.night_sky import NightSky
    from rearing.keeping.nights import Total
    from rearing.records.book import Book
    from rearing.records.rows import DeterminationRow, MothRow
    from rearing.terms import Sex

_MARKS = {Quality.EXACT: "", Quality.ABOUT: "c. ", Quality.AT_LEAST: "≥ "}


def write_night(
    book: Book,
    evening: dt.date | None,
    known_on: dt.date,
    paper: Paper,
    *,
    as_json: bool = False,
) -> None:
    """Write the nights of an evening; without one, of the latest night there is."""
    evening = evening or latest_evening(book, known_on)
    # A night behind the day the book is shown on is told as it was known that evening.
    day = max(evening or known_on, known_on)
    found = nights_of(book, evening, day) if evening else ()
    if as_json:
        paper.json(
            {
                "on": evening.isoformat() if evening else None,
                "known_on": day.isoformat(),
                "nights": [_data(night, day) for night in found],
            }
        )
    elif not found:
        when = f" of {full_day(evening)}" if evening else ""
        paper.line(f"There is no lamp night{when} in the book.")
    for i, night in enumerate(() if as_json else found):
        if i:
            paper.line()
        _write(night, day, paper)


def latest_evening(book: Book, on: dt.date) -> dt.date | None:
    """Return the evening of the latest lamp night up to a day."""
    rows = book.all(LampNightRow, t.LampNight.evening <= on)
    return max((row.evening for row in rows), default=None)


def _data(night: NightCounts, day: dt.date) -> dict[str, object]:
    row, zone = night.row, zone_of(night.site.zone)
    sexes = by_sex(night.totals)
    return {
        "site": night.site.name,
        "station": row.station,
        "lamp": row.lamp,
        "mode": row.mode.value,
        "lamp_on": _iso(row.lamp_on, zone),
        "lamp_off": _iso(row.lamp_off, zone),
        "outages": [
            {
                "from": _iso(dark.from_at, zone),
                "to": _iso(dark.to_at, zone),
                "why": dark.why,
            }
            for dark in night.outages
        ],
        "lamp_hours": _rounded(night.lamp_hours),
        "weather": {"start_c": row.start_c, "end_c": row.end_c, "words": row.weather},
        "sky": _sky_data(night),
        "moths": night.moths,
        "species": night.species,
        "sexes": {
            "males": sexes.males,
            "females": sexes.females,
            "not_looked": sexes.not_looked,
        },
        "totals": _totals_data(night.totals),
        "first_totals": _totals_data(night.first_totals),
        "calls": [_call_data(call) for call in night.calls],
        "note": row.note,
        "checks": [_check_data(check, zone) for check in night.checks],
        "kept": [_kept_data(night, moth, zone, day) for moth in night.kept],
    }


def _sky_data(night: NightCounts) -> dict[str, object]:
    sky = site_sky(night.site, night.row.evening)
    return {
        "sunset": sky.sunset.isoformat() if sky.sunset else None,
        "astronomical_dusk": (
            sky.astronomical_dusk.isoformat() if sky.astronomical_dusk else None
        ),
        "sunrise": sky.sunrise.isoformat() if sky.sunrise else None,
        "moon_fraction": round(sky.moon_fraction, 4),
        "moon_waxing": sky.moon_waxing,
        "moon_hours": _rounded(_moon_hours(night, sky)),
    }


def _moon_hours(night: NightCounts, sky: NightSky) -> float | None:
    if night.row.lamp_on is None or night.row.lamp_off is None:
        return None
    return sky.moon_hours(night.row.lamp_on, night.row.lamp_off)


def _totals_data(totals: Iterable[Total]) -> list[dict[str, object]]:
    return [
        {
            "taxon": one.taxon,
            "sex": one.sex.value,
            "number": one.number,
            "quality": one.quality.value,
        }
        for one in totals
    ]


def _call_data(call: DeterminationRow) -> dict[str, object]:
    return {
        "on": call.on.isoformat(),
        "number": call.number,
        "taxon": call.taxon,
        "sex": call.sex.value,
        "who": call.who,
        "sure": call.sure.value,
        "note": call.note,
    }


def _check_data(check: CheckCounts, zone: dt.tzinfo) -> dict[str, object]:
    return {
        "at": _iso(check.row.at, zone),
        "known": check.row.known.value,
        "lamp_hour": _rounded(check.lamp_hour),
        "temperature_c": check.row.temperature_c,
        "came": _totals_data(check.came),
    }


def _kept_data(
    night: NightCounts, moth: MothRow, zone: dt.tzinfo, day: dt.date
) -> dict[str, object]:
    (taxon, sex), known = _called(night, moth), _is_known(moth, day)
    return {
        "code": moth.code,
        "taxon": taxon,
        "sex": sex.value,
        "first_sex": moth.sex.value,
        "container": moth.container,
        "at": _iso(moth.kept_at, zone),
        "fate": moth.fate.value if moth.fate and known else None,
        "fate_on": moth.fate_on.isoformat() if moth.fate_on and known else None,
    }


def _is_known(moth: MothRow, day: dt.date) -> bool:
    return moth.fate_on is None or moth.fate_on <= day


def _called(night: NightCounts, moth: MothRow) -> tuple[str, Sex]:
    own = [call for call in night.calls if call.moth_id == moth.id]
    latest = max((call.on for call in own), default=night.row.evening)
    return current_call((moth.taxon, moth.sex), own, latest)


def _iso(moment: dt.datetime | None, zone: dt.tzinfo) -> str | None:
    return None if moment is None else moment.astimezone(zone).isoformat()


def _rounded(hours: float | None) -> float | None:
    return None if hours is None else round(hours, 4)


def _write(night: NightCounts, day: dt.date, paper: Paper) -> None:
    row, sky = night.row, site_sky(night.site, night.row.evening)
    where = " · ".join(filter(None, (night.site.name, row.station, row.lamp)))
    paper.line(f"Night of {full_day(row.evening)} · {where}")
    paper.paragraph(f"{_lamp_words(night)}. {_sky_words(night, sky)}.")
    weather = _weather_words(row)
    if weather:
        paper.paragraph(weather)
    paper.line()
    if night.totals:
        paper.table(_count_rows(night), right="lrrrr")
        paper.line(f"Counted as {row.mode}")
    elif night.was_looked_at:
        paper.line("Nothing came.")
    else:
        paper.line("No check was made.")
    if night.totals != night.first_totals:
        paper.paragraph("At first called: " + _totals_words(night.first_totals))
    for call in night.calls:
        paper.paragraph(_call_words(call), later=2)
    if night.kept:
        paper.line()
    for moth in night.kept:
        paper.paragraph(_kept_words(night, moth, day), later=2)


def _count_rows(night: NightCounts) -> list[list[str]]:
    rows = [["", "♂", "♀", "not looked", "all"]]
    for taxon in sorted({total.taxon for total in night.totals}):
        own = [total for total in night.totals if total.taxon == taxon]
        sexes = by_sex(own)
        mark = max((one.quality for one in own), key=list(_MARKS).index)
        rows.append([taxon, *_cells(sexes.males, sexes.females, sexes.not_looked)])
        rows[-1].append(f"{_MARKS[mark]}{sexes.number}")
    whole = by_sex(night.totals)
    numbers = (whole.males, whole.females, whole.not_looked)
    rows.append([counted(night.species, "species", "species"), *_cells(*numbers)])
    rows[-1].append(str(whole.number))
    return rows


def _cells(*numbers: int) -> list[str]:
    return [str(number) if number else "" for number in numbers]


def _lamp_words(night: NightCounts) -> str:
    row, zone = night.row, zone_of(night.site.zone)
    if row.lamp_on is None or night.lamp_hours is None or row.lamp_off is None:
        return "Lamp hours not known"
    since, to = row.lamp_on.astimezone(zone), row.lamp_off.astimezone(zone)
    dark = f", {counted(len(night.outages), 'outage')}" if night.outages else ""
    # On the night of a clock change both ends say which clock they mean.
    clock = "%H:%M" if since.utcoffset() == to.utcoffset() else "%H:%M %Z"
    hours = f"{night.lamp_hours:.2f} lamp-hours"
    return f"Lamp {since:{clock}} to {to:{clock}}{dark}: {hours}"


def _sky_words(night: NightCounts, sky: NightSky) -> str:
    words = [f"Sunset {sky.sunset:%H:%M}" if sky.sunset else "No sunset"]
    words.append(sky.moon_words)
    up = _moon_hours(night, sky)
    if up is not None:
        words.append(f"up for {up:.1f} h of the lamp" if up else "not up meanwhile")
    return ", ".join(words)


def _weather_words(row: LampNightRow) -> str:
    warmth = [f"{c:g}°" for c in (row.start_c, row.end_c) if c is not None]
    return ", ".join(filter(None, (" to ".join(warmth), row.weather)))


def _totals_words(totals: Iterable[Total]) -> str:
    return ", ".join(
        f"{_MARKS[one.quality]}{one.number} {one.sex.sign} {one.taxon}"
        for one in totals
    )


def _call_words(call: DeterminationRow) -> str:
    who = ", ".join(filter(None, (call.who, call.sure)))
    what = f"{call.number} {call.sex.sign} {call.taxon}"
    return f"Second look {short_day(call.on)}: {what} ({who})"


def _kept_words(night: NightCounts, moth: MothRow, day: dt.date) -> str:
    taxon, sex = _called(night, moth)
    said = f"Kept {moth.code}, {sex.sign} {taxon}"
    if sex is not moth.sex:
        said += f" (first called {moth.sex.sign})"
    if moth.container:
        said += f", {moth.container}"
    if moth.fate and _is_known(moth, day):
        said += f"; {moth.fate}"
    return said
