"""The answers of all commands as tables: the same as on the pages, with raw values.

CSV as RFC 4180 has it, in UTF-8, whatever the terminal's signs; a text that a
spreadsheet would take for a formula has an apostrophe before it. The headings say the
units. Of several tables, ``--table`` says which.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from rearing.commands.answer_as import write_table
from rearing.problems import Refusal

if TYPE_CHECKING:
    import datetime as dt
    from argparse import Namespace
    from collections.abc import Callable, Mapping

    from rearing.commands.paper import Paper
    from rearing.exchange.tables import Table
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

    Tables = Mapping[str, Callable[[], Table]]


def write_csv_of_book(
    asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date, paper: Paper
) -> None:
    """Write one table of the answer to a question about a book, as on a day."""
    write_table(asked, _OF_BOOK[asked.command](asked, book, shelf, on), paper)


def _round(asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date) -> Tables:
    from rearing.exchange.round_table import round_table
    from rearing.keeping.round import round_of
    from rearing.records.rows import BroodRow

    found = round_of(book, shelf, on, everything=asked.everything)
    broods = {brood.id: brood.code for brood in book.all(BroodRow)}
    return {"lines": lambda: round_table(found, broods)}


def _forecast(asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date) -> Tables:
    from rearing.commands.forecast_text import brood_named
    from rearing.exchange.leaf_tables import leaf_weeks_table
    from rearing.exchange.window_tables import windows_table
    from rearing.keeping.season_facts import season_facts
    from rearing.keeping.season_rows import season_view

    only = None if asked.brood is None else brood_named(book, asked.brood, on).id
    view = season_view(season_facts(book, shelf, on), shelf, only=only)
    ribbons = sorted(view.ribbons, key=lambda ribbon: ribbon.code)
    groups = [one for ribbon in ribbons for one in ribbon.groups]
    return {
        "windows": lambda: windows_table(asked.brood or "all", groups),
        "weeks": lambda: leaf_weeks_table(view.weeks),
    }


def _honesty(asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date) -> Tables:
    from rearing.exchange.window_tables import replayed_table, scores_table
    from rearing.keeping.facts import home
    from rearing.keeping.honesty import honesty

    found, zone = honesty(book, shelf, on), home(book).zone
    return {
        "windows": lambda: replayed_table(found.replayed, zone),
        "scores": lambda: scores_table(found),
    }


def _night(asked: Namespace, book: Book, _: SheetShelf, on: dt.date) -> Tables:
    from rearing.commands.night import latest_evening
    from rearing.exchange.lamp_tables import evening_checks_table, evening_table
    from rearing.keeping.night_counts import nights_of

    evening = asked.on or latest_evening(book, on)
    known = max(evening or on, on)
    found = nights_of(book, evening, known) if evening else ()
    return {
        "totals": lambda: evening_table(found),
        "checks": lambda: evening_checks_table(found),
    }


def _numbers(asked: Namespace, book: Book, _: SheetShelf, on: dt.date) -> Tables:
    from rearing.commands.forecast_text import brood_named
    from rearing.exchange import number_tables as told
    from rearing.exchange.tables import stacked
    from rearing.keeping.comparison import compare
    from rearing.keeping.life import life_of, losses_of_species
    from rearing.keeping.numbers_page import numbers_page

    if asked.brood is None:
        rows = losses_of_species(book, asked.species, on)
        return {"losses": lambda: told.species_losses_table(asked.species, rows)}
    codes = [code for code in (asked.brood, asked.against) if code]
    broods = [brood_named(book, code, on) for code in codes]
    lives = [life_of(book, brood, on) for brood in broods]
    pages = {brood.code: numbers_page(book, brood.id, on) for brood in broods}
    tables: dict[str, Callable[[], Table]] = {
        "stages": lambda: stacked([told.life_table_table(x) for x in lives]),
        "days": lambda: stacked([told.survivorship_table(x) for x in lives]),
        "losses": lambda: stacked([told.losses_by_stage_table(x) for x in lives]),
        "ledger": lambda: stacked(
            [told.ledger_table(code, page.ledger) for code, page in pages.items()]
        ),
        "hatch": lambda: stacked(
            [told.hatch_table(code, page.hatch) for code, page in pages.items()]
        ),
        "looks": lambda: stacked(
            [told.looks_table(code, page.looks) for code, page in pages.items()]
        ),
        "measured": lambda: stacked(
            [told.measured_table(code, page.measured) for code, page in pages.items()]
        ),
    }
    if len(broods) > 1:
        one, other = broods
        tables["beside"] = lambda: told.beside_table(
            compare(book, one.id, other.id, on)
        )
    return tables


def _away(asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date) -> Tables:
    from rearing.exchange.trace_tables import failing_table, helper_table
    from rearing.keeping.away import away

    found = away(book, shelf, on, asked.first, asked.last)
    return {
        "failing": lambda: failing_table(found),
        "helper": lambda: helper_table(found),
    }


def _trace(asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date) -> Tables:
    from rearing.exchange.trace_tables import apart_table, ties_table
    from rearing.keeping.tracing import box_named, kept_apart, trace

    if not asked.box:
        apart = kept_apart(book, shelf, on)
        return {"apart": lambda: apart_table(apart)}
    box = box_named(book, " ".join(asked.box), on)
    found = trace(book, shelf, box, on, days=asked.days)
    return {"ties": lambda: ties_table(found)}


def _calendar(asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date) -> Tables:
    from rearing.exchange.window_tables import coming_table
    from rearing.keeping.coming import coming

    if asked.out is not None:
        raise Refusal("A file is written as a calendar; leave out --csv.", field="out")
    return {"events": lambda: coming_table(coming(book, shelf, on))}


def _leaf(asked: Namespace, book: Book, shelf: SheetShelf, on: dt.date) -> Tables:
    from rearing.commands.keeper_questions import leaf_asked
    from rearing.commands.leaf import view_asked
    from rearing.exchange import reach_tables as within
    from rearing.exchange.leaf_tables import leaf_days_table, leaf_hosts_table
    from rearing.keeping.larder import cuts_now
    from rearing.keeping.leaf_tests import leaf_tests
    from rearing.keeping.trees import trees_now

    wanted = leaf_asked(asked, on)

    def days() -> Table:
        plan = view_asked(book, shelf, wanted)[0].plan
        return leaf_days_table(replace(plan, days=plan.days[: asked.days]))

    return {
        "days": days,
        "hosts": lambda: leaf_hosts_table(view_asked(book, shelf, wanted)[0].plan),
        "kept": lambda: within.keep_table(view_asked(book, shelf, wanted)[1]),
        "cuts": lambda: within.cuts_table(cuts_now(book, on)),
        "trees": lambda: within.trees_table(trees_now(book, on)),
        "tests": lambda: within.larvae_table(leaf_tests(book, on)),
    }


_OF_BOOK: Mapping[str, Callable[[Namespace, Book, SheetShelf, dt.date], Tables]] = {
    "round": _round,
    "forecast": _forecast,
    "honesty": _honesty,
    "night": _night,
    "numbers": _numbers,
    "away": _away,
    "trace": _trace,
    "calendar": _calendar,
    "leaf": _leaf,
}


def write_csv_of_file(
    asked: Namespace, paper: Paper, note: Callable[[str], None]
) -> None:
    """Write one table of the answer to a question about a file; `note` hears of it."""
    if asked.command == "heat":
        tables = _heat(asked, note)
    elif asked.command == "fit":
        tables = _fit(asked)
    else:
        tables = _widths(asked)
    write_table(asked, tables, paper)


def _heat(asked: Namespace, note: Callable[[str], None]) -> Tables:
    from rearing.commands.heat import heat_asked
    from rearing.commands.heat_days import heat_of_file
    from rearing.exchange.heat_tables import heat_of_days_table
    from rearing.exchange.temperatures import Unit

    told: list[str] = []
    found = heat_of_file(asked.file, heat_asked(asked), told.append)
    for words in told:
        note(words)
    columns = (found.days, found.low, found.high, found.degree_days)
    days = zip(*(column.tolist() for column in columns), strict=True)
    sign = (asked.unit or Unit.CELSIUS).sign
    return {"days": lambda: heat_of_days_table(asked.file.stem, sign, days)}


def _fit(asked: Namespace) -> Tables:
    from rearing.exchange.durations import durations_in
    from rearing.exchange.fit_tables import fits_table
    from rearing.science.rate_fits import fit_curves
    from rearing.science.rate_ranges import fits_by_range
    from rearing.science.rates import fit_ols, fit_rma

    found = durations_in(asked.file)
    pair = (found.celsius, found.days)
    try:
        lines = (fit_ols(*pair), fit_rma(*pair))
    except ValueError as wrong:
        raise Refusal(f"{asked.file.name}: {wrong}") from wrong
    ranges, curves = fits_by_range(*pair), fit_curves(*pair)
    return {"fits": lambda: fits_table(asked.file.stem, lines, ranges, curves)}


def _widths(asked: Namespace) -> Tables:
    from rearing.commands.widths import placed_in, widths_asked
    from rearing.exchange.width_tables import instars_table, widths_table

    wanted = widths_asked(asked)
    mm, placed = placed_in(wanted)
    name = wanted.name if wanted.brood else asked.file.stem
    return {
        "widths": lambda: widths_table(name, mm, placed),
        "instars": lambda: instars_table(name, placed),
    }


def sky_tables(evening: dt.date, place: tuple[float, float], zone_name: str) -> Tables:
    """Return the table of an evening's sky."""
    from rearing.exchange.years_tables import sky_table
    from rearing.keeping.moments import zone_of
    from rearing.keeping.night_sky import night_sky

    zone = zone_of(zone_name)
    found = night_sky(evening, latitude=place[0], longitude=place[1], zone=zone)
    return {"sky": lambda: sky_table(found)}
