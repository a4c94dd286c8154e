"""Which column is what: told from headings first, from the fields themselves second."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from rearing.exchange.temperature_hours import halves_of, time_of
from rearing.exchange.temperature_numbers import (
    any_number_of,
    split_unit,
    unit_in_heading,
)
from rearing.exchange.temperature_preview import MEASURES, Column, DateForm, Role
from rearing.exchange.temperature_table import Kind

if TYPE_CHECKING:
    from rearing.exchange.temperature_table import Table

_TEMPERATURE = re.compile(
    r"temp|[°º˚]\s*[cf]\b|℃|℉|celsius|fahrenheit|\bdeg[\s_.]*[cf]\b|kelvin"
    r"|(^|[\W_])t([\W_]?(min|max|avg|mean|air|low|high|a|n|x|m|\d))?($|[\W_])"
    r"|\bt(min|max|avg|mean|air)\b|therm",
    re.IGNORECASE,
)
_OTHER = re.compile(
    r"hum|feucht|\brh\b|%|dew|taupunkt|ros[ée]e|lux|light|licht|batt|volt|\bmv\b|press"
    r"|druck|hpa|wind|rain|regen|precip|snow|schnee|cloud|radiat|strahl|sun|alarm|status"
    r"|\blat|\blon|elev|altit|depth|signal|rssi|\bco2|vpd|heat index|feels"
    r"|cool|dewp|\bhours?\b|\bdd\b|deg\w*[\s_-]?days?|count|flag|qual",
    re.IGNORECASE,
)
# "low" and "high" as words of their own: Beech hollow is a place.
_LOW = re.compile(
    r"min|(?<![a-z])low(est)?(?![a-z])|\btn\b|tiefst|mini|lägst|laagst", re.IGNORECASE
)
_HIGH = re.compile(
    r"max|(?<![a-z])high(est)?(?![a-z])|\btx\b|höchst|hoog|högst", re.IGNORECASE
)
_INDEX = re.compile(r"^(#|no\.?|nr\.?|n|id|index|row|record|rec|reading|line)$", re.I)
_LOGGER = re.compile(
    r"logger|sensor|station|device|probe|channel|location|place|site|gerät|^name$|serial",
    re.IGNORECASE,
)
_UTC = re.compile(r"utc|gmt", re.IGNORECASE)
_TIME_WORD = re.compile(r"time|zeit|uhr|heure|hora|čas|cas\b|ora\b|tijd|\bhh", re.I)
_DATE_WORD = re.compile(r"date|time|datum|zeit|stamp|epoch|unix|seconds|fecha", re.I)
_PARTS = (
    (Role.YEAR, re.compile(r"^(year|yyyy|yr|jahr|leto|année|an|year[\s_]utc)$", re.I)),
    (Role.MONTH, re.compile(r"^(month|mm|mo|mon|monat|mesec|mois)$", re.I)),
    (Role.DAY_OF_MONTH, re.compile(r"^(day|dd|dy|tag|dan|jour|dom)$", re.I)),
    (Role.HOUR, re.compile(r"^(hour|hh|hr|h|stunde|ura|heure)$", re.I)),
    (Role.MINUTE, re.compile(r"^(minute|min|mi|mn)$", re.I)),
)


def columns_of(table: Table) -> tuple[tuple[Column, ...], DateForm]:
    """Return the columns with their likely roles, and how instants are written."""
    columns = [
        Column(c, title, Role.UNUSED, samples=tuple(table.texts(c)[:5]))
        for c, title in enumerate(table.titles)
    ]
    form = _give_dates(columns, table)
    _give_loggers(columns, table)
    _give_measures(columns, table, form)
    return tuple(_named(columns)), form


def _set(columns: list[Column], index: int, role: Role) -> None:
    columns[index] = replace(columns[index], role=role)


def _give_dates(columns: list[Column], table: Table) -> DateForm:
    of = {kind: [c for c, k in enumerate(table.kinds) if k is kind] for kind in Kind}
    if instants := of[Kind.INSTANT]:
        utc = [c for c in instants if _UTC.search(columns[c].title)]
        _set(columns, (utc or instants)[0], Role.INSTANT)
        return DateForm.WRITTEN
    if days := of[Kind.DAY]:
        _set(columns, days[0], Role.DAY)
        _give_times(columns, table, near=days[0])
        return DateForm.WRITTEN
    if _give_parts(columns):
        return DateForm.WRITTEN
    return _give_counted(columns, table)


def _give_times(columns: list[Column], table: Table, near: int) -> None:
    times = [c for c, kind in enumerate(table.kinds) if kind is Kind.TIME]
    if not times:
        times = [
            c
            for c, kind in enumerate(table.kinds)
            if kind is Kind.NUMBER
            and _TIME_WORD.search(columns[c].title)
            and not _TEMPERATURE.search(columns[c].title)
        ]
    if not times:
        times = [c for c, one in enumerate(columns) if _PARTS[3][1].match(one.title)]
        if times:
            _set(columns, times[0], Role.HOUR)
        return
    first = min(times, key=lambda c: (c < near, abs(c - near)))
    _set(columns, first, Role.TIME)
    beside = first + 1
    if beside < len(columns) and table.kinds[beside] is Kind.AFTER_TIME:
        _set(columns, beside, Role.AFTER_TIME)


def _give_parts(columns: list[Column]) -> bool:
    found = {
        role: next((c.index for c in columns if words.match(c.title)), None)
        for role, words in _PARTS
    }
    if None in (found[Role.YEAR], found[Role.MONTH], found[Role.DAY_OF_MONTH]):
        return False
    for role, index in found.items():
        if index is not None and (role is not Role.MINUTE or found[Role.HOUR]):
            _set(columns, index, role)
    return True


def _give_counted(columns: list[Column], table: Table) -> DateForm:
    """Look for instants that are plain counts: since 1970, or a spreadsheet's days."""
    forms = (
        (DateForm.EPOCH_S, 3e8, 4.2e9, False),
        (DateForm.EPOCH_MS, 3e11, 4.2e12, False),
        (DateForm.SERIAL, 20_000.0, 80_000.0, True),
    )
    for form, low, high, needs_word in forms:
        for column in columns:
            if needs_word and not _DATE_WORD.search(column.title):
                continue
            figures = [any_number_of(text) for text in table.texts(column.index)]
            if figures and all(f is not None and low <= f <= high for f in figures):
                _set(columns, column.index, Role.INSTANT)
                return form
    return DateForm.WRITTEN


def _give_loggers(columns: list[Column], table: Table) -> None:
    for column in columns:
        if column.role is not Role.UNUSED or not _LOGGER.search(column.title):
            continue
        texts = table.texts(column.index)
        few = 0 < len(set(texts)) <= max(1, min(50, len(texts) // 2))
        if few and not _is_measured(column, table):
            _set(columns, column.index, Role.LOGGER)
            return


def _is_measured(column: Column, table: Table) -> bool:
    """Say whether a column titled like a logger holds that logger's figures."""
    if table.kinds[column.index] is not Kind.NUMBER:
        return False
    texts = table.texts(column.index)
    return any(not text.isdigit() for text in texts) or bool(
        _TEMPERATURE.search(column.title)
    )


def _give_measures(columns: list[Column], table: Table, form: DateForm) -> None:
    free = [
        c
        for c in columns
        if c.role is Role.UNUSED and table.kinds[c.index] is Kind.NUMBER
    ]
    likely = [c for c in free if says_temperature(c) and not _OTHER.search(c.title)]
    if not likely:
        likely = [c for c in free if _could_be(c, table)]
        if likely and not any(c.title for c in likely):
            likely = ([c for c in likely if not _counts_up(c, table)] or likely)[:1]
    lows = [c for c in likely if _LOW.search(c.title)]
    highs = [c for c in likely if _HIGH.search(c.title)]
    if lows and highs and is_by_day(columns, table, form):
        # With the day's range given, its mean adds nothing.
        for c in lows:
            _set(columns, c.index, Role.LOW)
        for c in highs:
            _set(columns, c.index, Role.HIGH)
        return
    # Within the day a logger's lowest and highest only frame its reading.
    plain = [c for c in likely if c not in lows and c not in highs]
    for c in plain or likely:
        _set(columns, c.index, Role.TEMPERATURE)


def says_temperature(column: Column) -> bool:
    """Say whether a heading or the fields below it name a temperature."""
    return bool(_TEMPERATURE.search(column.title)) or any(
        split_unit(text)[1] for text in column.samples
    )


def _could_be(column: Column, table: Table) -> bool:
    if _OTHER.search(column.title) or _INDEX.match(column.title):
        return False
    figures = [any_number_of(text) for text in table.texts(column.index)]
    known = [figure for figure in figures if figure is not None]
    within = sum(-60 <= figure <= 310 for figure in known)
    return within * 5 >= len(known) * 4


def _counts_up(column: Column, table: Table) -> bool:
    """Say whether a column merely numbers the rows."""
    texts = table.texts(column.index)
    return all(text.isdecimal() for text in texts) and all(
        int(b) - int(a) == 1 for a, b in pairwise(texts)
    )


def is_by_day(columns: list[Column], table: Table, form: DateForm) -> bool:
    """Say whether there is one row a day: no times, or one time in every row."""
    times = _times_of_day(columns, table, form)
    return not times or (len(times) == 1 < len(table.rows))


def has_hour(columns: list[Column], table: Table, form: DateForm) -> bool:
    """Say whether rows bear a time of day other than midnight."""
    return bool(_times_of_day(columns, table, form) - {0})


def _times_of_day(
    columns: list[Column], table: Table, form: DateForm
) -> set[float | None]:
    """Return the distinct times of day in the first rows; none if no row has one."""
    for column in columns:
        texts = table.texts(column.index)
        if column.role in {Role.TIME, Role.HOUR}:
            return {_seconds(text) for text in texts}
        if column.role is not Role.INSTANT:
            continue
        if form is DateForm.WRITTEN:
            return {_seconds(halves_of(text)[1]) for text in texts}
        if form is DateForm.SERIAL:
            return {(any_number_of(text) or 0.0) % 1 for text in texts}
        # A count from 1970 is always an instant, never a day of the calendar.
        return {0.0, 1.0}
    return set()


def _seconds(text: str) -> float | None:
    time = time_of(text)
    return None if time is None else float(time[0])


def _named(columns: list[Column]) -> list[Column]:
    """Give each temperature its unit and a name that no other of its role has."""
    taken: set[tuple[Role, str]] = set()
    named = []
    for column in columns:
        if column.role not in MEASURES:
            named.append(column)
            continue
        name = series_name(column)
        if (column.role, name) in taken:
            name = f"{name} ({column.index + 1})"
        taken.add((column.role, name))
        named.append(replace(column, name=name, unit=unit_in_heading(column.title)))
    return named


def series_name(column: Column) -> str:
    """Return a heading without its unit and without lowest or highest."""
    name = re.sub(r"[(\[]?\s*([°º˚]\s*[cfCF]|℃|℉)\s*[)\]]?", " ", column.title)
    name = re.sub(r"[(\[]\s*(deg\w*\s*)?[cfkCFK]\s*[)\]]", " ", name)
    if column.role in {Role.LOW, Role.HIGH}:
        words = r"(minimum|maximum|min|max|lowest|highest|low|high)"
        name = re.sub(rf"(^|(?<=[\W_tT])){words}($|(?=[\W_]))", " ", name, flags=re.I)
    name = re.sub(r"\s+", " ", name).strip(" _-,;:/")
    return name or "temperature"
