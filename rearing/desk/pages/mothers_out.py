"""The females and the night book as the tables that are handed out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.page import Shown

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from PySide6.QtWidgets import QWidget

    from rearing.desk.pages.female_sheet import FemaleSheet
    from rearing.desk.pages.night_sheet import NightSheet
    from rearing.keeping.females import Mother, MotherLine
    from rearing.keeping.night_page import NightLine, NightPage


def shown_females(
    lines: Sequence[MotherLine],
    index: QWidget,
    mother: Mother | None,
    sheet: FemaleSheet,
) -> tuple[Shown, ...]:
    """Return the females, and the eggs, pots and windows of the chosen one."""
    from rearing.exchange import female_tables as told
    from rearing.exchange.brood_tables import pots_table
    from rearing.exchange.window_tables import windows_table

    found = [Shown(told.females_table(lines), index)]
    if mother is not None:
        code = mother.row.code
        pots = [line.pot for line in mother.pots]
        windows = [line.forecast for line in mother.pots if line.forecast is not None]
        found += [
            Shown(told.layings_table(mother), sheet.layings),
            Shown(told.layings_table(mother), sheet.bars),
            Shown(pots_table(code, pots), sheet.pots),
            Shown(windows_table(code, windows), sheet.windows),
        ]
    return _filled(found)


def shown_nights(
    lines: Sequence[NightLine],
    index: QWidget,
    page: NightPage | None,
    sheet: NightSheet,
    signs: Mapping[int, tuple[str, str]],
) -> tuple[Shown, ...]:
    """Return the nights, and the counts, checks and moths of the chosen one."""
    from rearing.exchange import lamp_tables as told

    found = [Shown(told.nights_table(lines), index)]
    if page is not None:
        night = page.night
        row, site = night.row, night.site
        counts = told.counts_table(row, site, night.totals, night.first_totals)
        found += [
            Shown(counts, sheet.counts),
            Shown(told.checks_table(row, site, page.checks), sheet.checks),
            Shown(told.kept_table(row, site, night.kept, signs), sheet.kept),
        ]
    return _filled(found)


def _filled(found: Iterable[Shown]) -> tuple[Shown, ...]:
    return tuple(one for one in found if one.table.rows)
