"""The windows of everything alive and what they come to, on paper or as JSON.

JSON: ``on`` (ISO date), ``home``, and ``forecasts``, one for a brood's pots or boxes
that stand together: ``brood``, ``taxon``, ``group`` (which ones, and where),
``number`` (animals), ``windows``, ``assumption`` (sentences), and its parts
``beginning``, ``sharpened_by`` (what was counted that sharpened it; empty for none),
``temperatures``, ``futures`` (what the temperatures to come rest on: "past years", "set
point", "rule" of another place, or "last days"), ``need_of_heat``, ``learnt_from``
(number of the keeper's finished broods that taught its pace) and ``winter``. A window
has ``event`` (a key: hatch, L2 to L8, wander, pupate, emerge), ``words`` (how it is
spoken of), ``number``, ``first``, ``half`` and ``last`` (null where it lies beyond the
reckoning, else an 80 % interval: ``low``, ``middle``, ``high`` as ISO times with their
offset, and ``open_end``, true where the end is not in sight), ``heat_to_go_dd``
(degree-days in °C, or null; ``heat_to_go_low_dd`` and ``heat_to_go_high_dd`` are the
80 % interval) and ``beyond`` (share of the reckoning that never arrives). ``overdue``
lists events whose window closed before the day and that were not seen: ``event``,
``by`` (the day by which the last was expected), ``reached`` and ``number`` (how many
had, of how many, at the last look; 0 and 0 where nobody looked).

``broods`` holds what the windows of a brood come to, null for what does not apply:
``both_sexes`` (ISO 8601 intervals of evenings on which both are likely there) and
``both_sexes_most`` (the greatest chance of any night), ``held_back_days`` and
``held_back_nights`` (the best hold of the males in the cold, and the nights it makes),
``direct`` (chance that pupae go on without a winter by day length, with twilight, on
about the day ``direct_about``; half do at ``direct_half_at_h`` hours, from memory),
``leaf`` (the host) and ``leaf_bare_on`` (its usual bare day, null until it is entered),
``down_before_bare_half`` and ``down_before_bare_all`` (chances), and ``such_windows``,
the past windows most like its own. ``honesty`` holds those of all finished broods:
``windows_looked_back_on`` (how many), ``held`` (share that held, with ``held_low`` and
``held_high``, its 95 % interval), ``error_days`` (mean, without sign) and
``calendar_error_days`` (of the plain mean of earlier broods, null without one).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.commands.outlook_text import (
    account_data,
    brood_data,
    outlook_lines,
    past_of,
)
from rearing.commands.paper import GAP, widths
from rearing.keeping.facts import home
from rearing.keeping.season_facts import season_facts
from rearing.keeping.season_rows import season_view
from rearing.problems import Refusal
from rearing.records.rows import BroodRow

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.commands.paper import Paper
    from rearing.keeping.season import Forecast, Span, Window
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

_HEADINGS = ["", "first", "half", "last", "to go"]
_MOST_CODES = 12
_INDENT = 2


def write_forecast(
    book: Book,
    shelf: SheetShelf,
    on: dt.date,
    paper: Paper,
    *,
    brood: str | None = None,
    as_json: bool = False,
) -> None:
    """Write the windows of a day, of one brood where its code is given."""
    row = None if brood is None else brood_named(book, brood, on)
    only = None if row is None else row.id
    view = season_view(season_facts(book, shelf, on), shelf, only=only)
    alive = sorted((x for x in view.ribbons if x.groups), key=lambda x: x.code)
    found = [group for ribbon in alive for group in ribbon.groups]
    past = past_of(book, shelf, on)
    name = home(book).name
    if as_json:
        paper.json(
            {
                "on": on.isoformat(),
                "home": name,
                "forecasts": [_forecast_data(one) for one in found],
                "broods": [brood_data(ribbon, past) for ribbon in alive],
                "honesty": account_data(past.of()),
            }
        )
        return
    where = f" · {name}" if name else ""
    paper.line(f"Forecast as on {full_day(on)}{where}")
    if not found:
        whose = "Nothing" if row is None else f"{row.code} has nothing"
        paper.line(f"{whose} alive with an event to come.")
        return
    paper.paragraph(
        "Expected, not seen: each day is the middle of the 80% interval in brackets."
    )
    for ribbon in alive:
        for one in ribbon.groups:
            _write_one(one, on, paper)
        for line in outlook_lines(ribbon, past):
            paper.paragraph(line, indent=2)
    paper.line()
    paper.paragraph(past.of().words)


def brood_named(book: Book, code: str, on: dt.date) -> BroodRow:
    """Return the brood of a code; refuse one unknown, or not begun by that day."""
    broods = book.all(BroodRow)
    wanted = code.strip().casefold()
    found = [row for row in broods if row.code.casefold() == wanted]
    if not found:
        codes = sorted(row.code for row in broods)
        some = ", ".join(codes[:_MOST_CODES]) + (
            " and more" if len(codes) > _MOST_CODES else ""
        )
        has = f"It has {some}." if codes else "It has no brood yet."
        raise Refusal(
            f"There is no brood “{code}” in {book.path.name}. {has}", field="brood"
        )
    if found[0].opened_on > on:
        raise Refusal(
            f"{found[0].code} begins on {full_day(found[0].opened_on)}, after "
            f"{full_day(on)}.",
            field="on",
        )
    return found[0]


def _forecast_data(one: Forecast) -> dict[str, object]:
    return {
        "brood": one.code,
        "taxon": one.taxon,
        "group": one.group,
        "number": one.number,
        "windows": [_window_data(window) for window in one.windows],
        "assumption": one.assumption,
        "beginning": one.beginning,
        "sharpened_by": one.sharpened_by,
        "temperatures": one.temperatures,
        "futures": one.futures,
        "need_of_heat": one.need_of_heat,
        "learnt_from": one.learnt_from,
        "winter": one.winter,
        "overdue": [
            {
                "event": late.event,
                "by": late.by.isoformat(),
                "reached": late.reached,
                "number": late.number,
            }
            for late in one.overdue
        ],
    }


def _window_data(window: Window) -> dict[str, object]:
    go = window.heat_to_go
    return {
        "event": window.event,
        "words": window.words,
        "number": window.number,
        "first": _span_data(window.first),
        "half": _span_data(window.half),
        "last": _span_data(window.last),
        "heat_to_go_dd": window.heat_to_go_dd,
        "heat_to_go_low_dd": None if go is None else go.low_dd,
        "heat_to_go_high_dd": None if go is None else go.high_dd,
        "beyond": window.beyond,
    }


def _span_data(span: Span | None) -> dict[str, object] | None:
    if span is None:
        return None
    return {
        "low": span.low.isoformat(),
        "middle": span.middle.isoformat(),
        "high": span.high.isoformat(),
        "open_end": bool(span.open_end),
    }


def _write_one(one: Forecast, on: dt.date, paper: Paper) -> None:
    paper.line()
    paper.line(f"{one.code}  {one.taxon}")
    paper.paragraph(one.group, indent=2, later=2)
    rows = [[paper.fit(x) for x in _row(window, on)] for window in one.windows]
    across = [_HEADINGS, *rows]
    wide = widths(across)
    if _INDENT + sum(wide) + len(GAP) * (len(wide) - 1) <= paper.width:
        paper.table(across, indent=_INDENT)
    elif rows:
        paper.table(_downwards(rows), indent=_INDENT)
    paper.paragraph(one.assumption, indent=2)


def _downwards(rows: Sequence[Sequence[str]]) -> list[tuple[str, str, str, str]]:
    """Return rows too wide for the paper with their three days one below another."""
    found = []
    for words, *days, go in rows:
        beside = [(words, f"{go} to go" if go else ""), ("", ""), ("", "")]
        for heading, day, (event, heat) in zip(
            _HEADINGS[1:4], days, beside, strict=True
        ):
            found.append((event, heading, day, heat))
    return found


def _row(window: Window, on: dt.date) -> list[str]:
    go = window.heat_to_go_dd
    return [
        window.words,
        _span_words(window.first, on),
        _span_words(window.half, on),
        _span_words(window.last, on),
        "" if go is None else f"{go:.0f} dd",
    ]


def _span_words(span: Span | None, on: dt.date) -> str:
    if span is None:
        return "beyond sight"
    low, middle, high = (x.date() for x in (span.low, span.middle, span.high))
    told = _day(middle, on)
    if span.open_end:
        return f"{told} ({_day(low, on)} or later)"
    if low == high:
        return f"{told} (that day)"
    if (low.year, low.month) == (high.year, high.month):
        return f"{told} ({low.day}–{_day(high, on)})"
    return f"{told} ({_day(low, on)}–{_day(high, on)})"


def _day(day: dt.date, on: dt.date) -> str:
    year = f" {day.year}" if day.year != on.year else ""
    return f"{day.day} {day:%b}{year}"
