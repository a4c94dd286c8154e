"""How a lamp night is written: its index line, head, lamp, counts, checks, kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.typed import day_words, near_words
from rearing.desk.widgets.date_scale import short_day
from rearing.desk.widgets.header import Heading
from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, Pencil
from rearing.keeping.moments import counted
from rearing.terms import Known, Quality, Sex

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from rearing.keeping.night_page import CheckLine, NightLine, NightPage
    from rearing.keeping.nights import Total
    from rearing.records.rows import DeterminationRow

INDEX_COLUMNS = (
    Column("Evening", Ink.CODE),
    Column("Moths", Ink.KNOWN),
    Column("Site and lamp", Ink.TEXT, stretch=True),
)
COUNT_COLUMNS = (
    Column("Species", Ink.SPECIES),
    Column("♂", Ink.NUMBER),
    Column("♀", Ink.NUMBER),
    Column("○", Ink.NUMBER),
    Column("Together", Ink.NUMBER),
    Column("First called", Ink.TEXT, stretch=True),
)
CHECK_COLUMNS = (
    Column("Time", Ink.CODE),
    Column("Temperature", Ink.KNOWN),
    Column("Moths", Ink.NUMBER),
    Column("What came", Ink.TEXT, stretch=True),
)
KEPT_COLUMNS = (
    Column("Code", Ink.CODE),
    Column("Species", Ink.SPECIES),
    Column("State", Ink.TEXT, stretch=True),
)
_KEPT_KEYS = (KeyOffer("Enter", "her page"),)
_MARKS = {Quality.EXACT: "", Quality.ABOUT: "~", Quality.AT_LEAST: "≥ "}
_VAGUER = (Quality.EXACT, Quality.AT_LEAST, Quality.ABOUT)


def index_line(line: NightLine, on: dt.date) -> Line:
    """Return a night's line in the night book."""
    station = f" {line.station}" if line.station else ""
    where = f"{line.site}{station}, {line.lamp}"
    day = day_words(line.evening, year=False)
    if line.evening.year != on.year:
        day = f"{short_day(line.evening)} {line.evening.year}"
    moths = counted(line.moths, "moth") if line.moths else "none"
    if line.kept:
        moths += f", {line.kept} kept"
    return Line(
        key=line.id,
        cells=(day, moths, where),
        sentence=f"Night of {day_words(line.evening)}, {where}: {moths}",
    )


def heading(page: NightPage) -> Heading:
    """Return the head of a night."""
    row, site = page.night.row, page.night.site
    station = f" {row.station}" if row.station else ""
    moths = sum(total.number for total in page.night.totals)
    kinds = len({total.taxon for total in page.night.totals})
    told = f"{counted(moths, 'moth')}, {kinds} species" if moths else "no moths"
    hours = page.night.lamp_hours
    return Heading(
        code=day_words(row.evening),
        words=f"{site.name}{station}, {row.lamp}",
        verdict=told,
        under=f"{hours:.2f} lamp-hours" if hours is not None else "lamp-hours unknown",
    )


def lamp_words(page: NightPage, zone: dt.tzinfo) -> str:
    """Return when the lamp burnt, and when it was dark."""
    row = page.night.row
    lit = _clock(row.lamp_on, zone) or "not noted"
    out = _clock(row.lamp_off, zone) or "not noted"
    said = [f"Lit {lit}, out {out}"]
    if page.night.lamp_hours is not None:
        minutes = round(page.night.lamp_hours * 60)
        said.append(f"{minutes // 60} h {minutes % 60:02d} of lamp time")
    for outage in page.outages:
        why = f", {outage.why}" if outage.why else ""
        dark = f"{_clock(outage.from_at, zone)} to {_clock(outage.to_at, zone)}"
        said.append(f"dark {dark}{why}")
    return f"{'; '.join(said)}. Counted: {row.mode}."


def _clock(moment: dt.datetime | None, zone: dt.tzinfo) -> str:
    return "" if moment is None else f"{moment.astimezone(zone):%H:%M %Z}"


def weather_words(page: NightPage) -> str:
    """Return the weather as it was noted."""
    row = page.night.row
    warmth = [f"{c:.1f}°" for c in (row.start_c, row.end_c) if c is not None]
    said = [" → ".join(warmth), row.weather or "", row.note or ""]
    return "; ".join(part for part in said if part)


def count_lines(page: NightPage) -> tuple[Line, ...]:
    """Return a line a species, as it counts now, and how it was first called."""
    now, first = _by_taxon(page.night.totals), _by_taxon(page.night.first_totals)
    return tuple(
        _count_line(taxon, now.get(taxon, {}), first.get(taxon, {}))
        for taxon in sorted({*now, *first})
    )


def _by_taxon(totals: Iterable[Total]) -> dict[str, dict[Sex, Total]]:
    grid: dict[str, dict[Sex, Total]] = {}
    for total in totals:
        grid.setdefault(total.taxon, {})[total.sex] = total
    return grid


def _count_line(taxon: str, now: dict[Sex, Total], first: dict[Sex, Total]) -> Line:
    cells = [_sexed(now, sex) for sex in Sex]
    together = sum(total.number for total in now.values())
    vague = max((x.quality for x in now.values()), key=_VAGUER.index, default=None)
    # of one sex only, the sum would say the same number twice
    shown = f"= {_MARKS[vague]}{together}" if vague and len(now) > 1 else ""
    was = _sexes(first) if _sexes(first) != _sexes(now) else ""
    told = f"first called {was or 'something else'}" if was or not first else ""
    return Line(
        key=taxon,
        cells=(taxon, *cells, shown, Pencil(told) if told else ""),
        sentence=f"{taxon}: {_sexes(now) or 'none'}. {told}",
    )


def _sexed(totals: dict[Sex, Total], sex: Sex) -> str:
    total = totals.get(sex)
    return f"{_MARKS[total.quality]}{total.number} {sex.sign}" if total else ""


def _sexes(totals: dict[Sex, Total]) -> str:
    return " ".join(_sexed(totals, sex) for sex in Sex if sex in totals)


def check_lines(page: NightPage, zone: dt.tzinfo) -> tuple[Line, ...]:
    """Return a line a check, with what came as it was first called."""
    return tuple(_check_line(check, zone) for check in page.checks)


def _check_line(check: CheckLine, zone: dt.tzinfo) -> Line:
    row = check.row
    clock = "no time" if row.at is None else f"{row.at.astimezone(zone):%H:%M}"
    if row.known is Known.ABOUT:
        clock = f"~{clock}"
    warm = "" if row.temperature_c is None else f"{row.temperature_c:.1f}°"
    came = ", ".join(
        f"{_MARKS[one.quality]}{one.number} {one.sex.sign} {one.taxon}"
        for one in check.arrivals
    )
    said = came or "nothing came"
    if row.note:
        said += f" ({row.note})"
    return Line(
        key=row.id,
        cells=(clock, warm, str(check.number), said),
        sentence=f"Check {clock} {warm}: {said}",
    )


def call_words(calls: Sequence[DeterminationRow], page: NightPage, on: dt.date) -> str:
    """Return each second look in a sentence; what was first said stays readable."""
    firsts = {one.id: one for check in page.checks for one in check.arrivals}
    kept = {moth.id: moth for moth in page.night.kept}
    said = []
    for call in calls:
        moth = kept.get(call.moth_id or 0)
        arrival = firsts.get(call.arrival_id or 0)
        if moth is not None:
            whom = f"{moth.code}, first {moth.sex.sign} {moth.taxon},"
        elif arrival is not None:
            whom = (
                f"{call.number} of {arrival.number} {arrival.sex.sign} {arrival.taxon}"
            )
        else:
            continue
        by = f", {call.who}" if call.who else ""
        note = f" ({call.note})" if call.note else ""
        day = near_words(call.on, on)
        said.append(
            f"{day}: {whom} called {call.sex.sign} {call.taxon}, {call.sure}{by}{note}"
        )
    return "\n".join(said)


def kept_lines(page: NightPage, signs: dict[int, tuple[str, str]]) -> tuple[Line, ...]:
    """Return a line for each moth kept; `signs` holds taxon and sign by its id."""
    lines = []
    for moth in page.night.kept:
        taxon, sign = signs[moth.id]
        state = str(moth.fate or "here")
        code = f"{sign} {moth.code}"
        lines.append(
            Line(
                key=moth.id,
                cells=(code, taxon, state),
                sentence=f"{code}, {taxon}: {state}",
                keys=_KEPT_KEYS,
            )
        )
    return tuple(lines)
