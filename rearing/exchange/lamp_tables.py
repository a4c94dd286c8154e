"""The night book as tables: nights, counts, checks, moths kept, and nights beside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table
from rearing.keeping.moments import zone_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from rearing.exchange.tables import Value
    from rearing.keeping.night_counts import NightCounts
    from rearing.keeping.night_page import CheckLine, NightLine
    from rearing.keeping.nights import Total
    from rearing.records.rows import LampNightRow, MothRow, SiteRow

_NIGHTS = ("evening", "site", "station", "lamp", "moths", "moths kept")
_TOTALS = (
    *("evening", "site", "station", "species", "sex"),
    *("number", "how exact", "as called"),
)
_CHECKS = (
    *("evening", "site", "station", "time", "time known", "temperature [°C]"),
    *("species", "sex", "number", "how exact", "note"),
)
_KEPT = (
    *("code", "evening", "species now", "sex now", "first called", "first sex"),
    *("kept at", "in", "note"),
)


def nights_table(lines: Iterable[NightLine]) -> Table:
    """Return the list of lamp nights."""
    rows = ((x.evening, x.site, x.station, x.lamp, x.moths, x.kept) for x in lines)
    return table("Lamp nights", _NIGHTS, rows)


def _name(row: LampNightRow, site: SiteRow) -> str:
    station = f" {row.station}" if row.station else ""
    return f"{row.evening.isoformat()} {site.name}{station}"


def counts_table(
    row: LampNightRow,
    site: SiteRow,
    now: Iterable[Total],
    first: Iterable[Total],
) -> Table:
    """Return a night's totals as called now, then as they were first called."""
    rows = counts_rows(row, site, now, first)
    return table(f"Counted {_name(row, site)}", _TOTALS, rows)


def counts_rows(
    row: LampNightRow,
    site: SiteRow,
    now: Iterable[Total],
    first: Iterable[Total],
) -> Iterator[tuple[Value, ...]]:
    """Yield a night's totals, as called now and as first called."""
    own = (row.evening, site.name, row.station)
    for called, totals in (("now", now), ("first", first)):
        for x in totals:
            yield (*own, x.taxon, x.sex, x.number, x.quality, called)


def evening_table(nights: Sequence[NightCounts]) -> Table:
    """Return the totals of all lamps of an evening."""
    rows = (
        row
        for one in nights
        for row in counts_rows(one.row, one.site, one.totals, one.first_totals)
    )
    return table("Counted", _TOTALS, rows)


def checks_table(
    row: LampNightRow, site: SiteRow, checks: Iterable[CheckLine]
) -> Table:
    """Return a night's checks as first called; a check of nothing has the number 0."""
    return table(f"Checks {_name(row, site)}", _CHECKS, _checks(row, site, checks))


def _checks(
    row: LampNightRow, site: SiteRow, checks: Iterable[CheckLine]
) -> Iterator[tuple[Value, ...]]:
    zone = zone_of(site.zone)
    for line in checks:
        look = line.row
        at = look.at.astimezone(zone) if look.at else None
        own = (row.evening, site.name, row.station, at, look.known, look.temperature_c)
        for x in line.arrivals:
            yield (*own, x.taxon, x.sex, x.number, x.quality, x.note)
        if not line.arrivals:
            yield (*own, None, None, 0, None, look.note)


def evening_checks_table(nights: Sequence[NightCounts]) -> Table:
    """Return the checks of all lamps of an evening, as their moths are called now."""
    return table("Checks", _CHECKS, (row for x in nights for row in _looks(x)))


def _looks(night: NightCounts) -> Iterator[tuple[Value, ...]]:
    zone = zone_of(night.site.zone)
    own = (night.row.evening, night.site.name, night.row.station)
    for one in night.checks:
        look = one.row
        at = look.at.astimezone(zone) if look.at else None
        seen = (*own, at, look.known, look.temperature_c)
        for x in one.came:
            yield (*seen, x.taxon, x.sex, x.number, x.quality, look.note)
        if not one.came:
            yield (*seen, None, None, 0, None, look.note)


def kept_table(
    row: LampNightRow,
    site: SiteRow,
    kept: Iterable[MothRow],
    signs: Mapping[int, tuple[str, str]],
) -> Table:
    """Return the moths kept; `signs` has what each is called now, by its id."""
    zone = zone_of(site.zone)
    rows = (
        (
            *(x.code, row.evening, *signs[x.id], x.taxon, x.sex),
            *(x.kept_at.astimezone(zone) if x.kept_at else None, x.container, x.note),
        )
        for x in kept
    )
    return table(f"Kept {_name(row, site)}", _KEPT, rows)
