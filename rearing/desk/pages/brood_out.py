"""The broods and a brood's page as the tables that are handed out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.page import Shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from rearing.desk.pages.brood_sheet import BroodSheet
    from rearing.keeping.broods import BroodLine, BroodPage


def shown_broods(lines: Sequence[BroodLine], where: QWidget) -> tuple[Shown, ...]:
    """Return the list of broods as a table."""
    from rearing.exchange.brood_tables import broods_table

    return (Shown(broods_table(lines), where),) if lines else ()


def shown_brood(page: BroodPage, sheet: BroodSheet) -> tuple[Shown, ...]:
    """Return what a brood's page lists, each with the part that shows it."""
    from rearing.exchange import brood_tables as told
    from rearing.exchange.window_tables import windows_table

    code = page.row.code
    notes = [(one.on, one.where, one.text) for one in page.notes]
    found = (
        Shown(told.boxes_table(page), sheet.boxes),
        Shown(told.pots_table(code, page.pots), sheet.boxes),
        Shown(told.course_table(page), sheet.course),
        Shown(told.stages_table(page), sheet.stages),
        Shown(windows_table(code, page.forecasts), sheet.windows),
        Shown(told.losses_table(page), sheet.losses),
        Shown(told.leaf_given_table(page), sheet.leaf),
        Shown(told.exits_table(page)),
        Shown(told.doings_table(code, page.doings), sheet.doings),
        Shown(told.notes_table(code, notes)),
    )
    return tuple(one for one in found if one.table.rows)
