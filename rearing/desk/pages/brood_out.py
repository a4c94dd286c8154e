"""The broods and a brood's page as the tables that are handed out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.page import Shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from rearing.desk.pages.brood_numbers import NumbersSheet
    from rearing.desk.pages.brood_sheet import BroodSheet
    from rearing.desk.pages.broods_page import BroodsPage
    from rearing.keeping.broods import BroodLine, BroodPage


def shown_broods(lines: Sequence[BroodLine], where: QWidget) -> tuple[Shown, ...]:
    """Return the list of broods as a table."""
    from rearing.exchange.brood_tables import broods_table

    return (Shown(broods_table(lines), where),) if lines else ()


def shown_of_open(page: BroodPage, broods: BroodsPage) -> tuple[Shown, ...]:
    """Return the tables of the open brood: of its page, or of its numbers."""
    if broods.numbers.is_shown:
        own = shown_numbers(broods.numbers.sheet)
    else:
        own = shown_brood(page, broods.sheet)
    return (*own, *broods.photos.tables())


def shown_numbers(sheet: NumbersSheet) -> tuple[Shown, ...]:
    """Return what a brood's numbers list, each with the part that shows it."""
    from rearing.desk.pages import brood_numbers as parts
    from rearing.exchange import number_tables as told

    if sheet.told is None:
        return ()
    page, beside = sheet.told
    code, life = page.side.code, page.life
    found = [
        Shown(told.ledger_table(code, page.ledger), sheet.list(parts.LEDGER)),
        Shown(told.hatch_table(code, page.hatch), sheet.list(parts.HATCH)),
        Shown(told.survivorship_table(life), sheet.survival),
        Shown(told.survivorship_table(life), sheet.list(parts.BY_DAY)),
        Shown(told.looks_table(code, page.looks), sheet.looks),
        Shown(told.measured_table(code, page.measured), sheet.list(parts.HEADS)),
        Shown(told.measured_table(code, page.heads), sheet.widths),
        Shown(told.life_table_table(life), sheet.list(parts.BY_STAGE)),
        Shown(told.losses_by_stage_table(life), sheet.list(parts.LOSSES)),
    ]
    if beside is not None:
        found.append(Shown(told.beside_table(beside), sheet.list(parts.BESIDE)))
    return tuple(one for one in found if one.table.rows)


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
