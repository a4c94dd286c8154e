"""The lines of the nights read back, and their sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.lines import Line
from rearing.keeping.moments import counted, day_words, short_day, zone_of
from rearing.terms import CountingMode

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.keeping.arrivals import Arrived, NightPace
    from rearing.keeping.night_counts import NightCounts, SexCounts
    from rearing.keeping.years import CalendarNight, FlightYear, SexRatio

NOTES = {
    "Through the night": "check by check",
    "Beside earlier nights": "same site, by lamp-hour",
    "First and last": "by the evening",
    "Sexes at the lamp": "95 % interval",
    "Nights of the year": "a gap is no zero",
}
_MOST = 12


def night_sentence(night: NightCounts, evening: str) -> str:
    """Return the night in one sentence, with its way of counting."""
    sums = "new ones summed"
    if night.row.mode is CountingMode.PRESENT:
        sums = "those present, the largest check of each"
    hours = night.lamp_hours
    burnt = f"{hours:.2f} lamp-hours" if hours is not None else "lamp-hours not known"
    corrected = "; corrected by a second look" * (night.totals != night.first_totals)
    if not night.was_looked_at:
        return f"Night of {evening}: {burnt}; no check was made, so this is no zero."
    moths = counted(night.moths, "moth")
    return (
        f"Night of {evening}: {moths} of {night.species} species "
        f"({sums}{corrected}) in {burnt}. Never corrected for moon, wind or warmth."
    )


def hour_lines(checks: Iterable[Arrived], night: NightCounts) -> list[Line]:
    """Return a line a check: what came by sex, and by then."""
    zone = zone_of(night.site.zone)
    lines = []
    for number, one in enumerate(checks):
        clock = f"{one.at.astimezone(zone):%H:%M}" if one.at else "no time"
        lit = f"{one.lamp_hour:.1f} lamp-hours" if one.lamp_hour is not None else ""
        so_far = f"{one.so_far.number} by then"
        told = ", ".join(part for part in (lit, so_far) if part)
        lines.append(
            Line(
                key=number,
                cells=(clock, *_cells(one.at_check), told),
                sentence=f"{clock}: {_said(one.at_check)}, {told}",
            )
        )
    return lines


def _cells(counts: SexCounts) -> tuple[str, str, str]:
    males = f"{counts.males} ♂" if counts.males else ""
    females = f"{counts.females} ♀" if counts.females else ""
    rest = f"{counts.not_looked} ○" if counts.not_looked else ""
    if not counts.number:
        males = "0"
    return males, females, rest


def _said(counts: SexCounts) -> str:
    return (
        f"{counts.males} males, {counts.females} females, "
        f"{counts.not_looked} not looked at"
    )


def night_lines(nights: Iterable[NightPace]) -> list[Line]:
    """Return a line a night at the same site, the latest first."""
    lines = []
    for one in list(nights)[:_MOST]:
        day = day_words(one.evening, year=True)
        hours = " · ".join(str(number) for number in one.by_hour)
        each = f"hour by hour {hours}" if hours else "no check"
        untimed = f"  ({one.untimed} without a time)" if one.untimed else ""
        moths = counted(one.moths, "moth")
        rate = "" if one.per_lamp_hour is None else f"{one.per_lamp_hour:.1f} an hour"
        lines.append(
            Line(
                key=one.night_id,
                cells=(day, moths, rate, f"{each}{untimed}"),
                sentence=f"{day}: {moths}, {rate}; {each}{untimed}",
            )
        )
    return lines


def year_lines(years: Iterable[FlightYear], year: int) -> list[Line]:
    """Return a line a species and year, for the species of one year."""
    told = tuple(years)
    own = {one.taxon for one in told if one.year == year}
    lines = []
    for one in told:
        if one.taxon not in own:
            continue
        span = f"{short_day(one.first)} to {short_day(one.last)}"
        if one.first == one.last:
            span = short_day(one.first)
        sexes = [
            f"{sign} from {short_day(day)}"
            for sign, day in (("♂", one.first_male), ("♀", one.first_female))
            if day is not None
        ]
        words = ", ".join((span, *sexes))
        lines.append(
            Line(
                key=(one.taxon, one.year),
                cells=(
                    one.taxon,
                    str(one.year),
                    words,
                    counted(one.nights, "night"),
                    counted(one.moths, "moth"),
                ),
                sentence=f"{one.taxon} {one.year}: {words}, {one.moths} moths",
            )
        )
    return lines


def sex_lines(ratios: Iterable[SexRatio]) -> list[Line]:
    """Return a line a species: the counts at the lamp, and the share of females."""
    lines = []
    for one in ratios:
        share = "sex not looked at"
        if one.females is not None:
            part = one.females
            share = f"{part.share:.0%} females, {part.low:.0%} to {part.high:.0%}"
        cells = (
            one.taxon,
            f"{one.counts.males} ♂",
            f"{one.counts.females} ♀",
            share,
        )
        said = f"{one.taxon}: {_said(one.counts)}; {share}"
        lines.append(Line(key=one.taxon, cells=cells, sentence=said))
    return lines


def calendar_lines(nights: Iterable[CalendarNight]) -> list[Line]:
    """Return a line a night of the year; a zero night is a night too."""
    lines = []
    for one in nights:
        day = day_words(one.evening)
        number = counted(one.moths, "moth") if one.was_looked_at else "no check"
        where = f"{one.site} {one.station}".strip()
        kept = f", {one.kept} kept" if one.kept else ""
        species = f", {one.species} species" if one.species else ""
        lines.append(
            Line(
                key=one.night_id,
                cells=(day, number, f"{where}{species}{kept}"),
                sentence=f"{day}: {number}, {where}{species}{kept}",
                group=f"{one.evening:%B}",
            )
        )
    return lines
