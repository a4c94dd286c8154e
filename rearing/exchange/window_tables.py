"""Windows foretold, and windows looked back on, as tables."""

from __future__ import annotations

import datetime as dt
import math
from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from rearing.exchange.tables import Value
    from rearing.keeping.coming import Coming
    from rearing.keeping.honesty import Honesty
    from rearing.keeping.season import Forecast, Window
    from rearing.science.honesty import Replayed

_WINDOWS = (
    *("brood", "species", "group", "animals", "event", "of", "which"),
    *("early, 80 %", "middle", "late, 80 %", "late end open"),
    *("heat to go [°C d]", "heat to go, least [°C d]", "heat to go, most [°C d]"),
    "share beyond sight",
)
_REPLAYED = (
    *(
        "brood",
        "made at",
        "event",
        "which",
        "made",
        "early, 80 %",
        "middle",
        "late, 80 %",
    ),
    *("not before", "by", "held", "error [d]", "error of the calendar [d]"),
)
_SCORES = (
    *("of", "windows", "held", "held, low", "held, high", "error [d]", "bias [d]"),
    *("windows beside the calendar", "error of the calendar [d]"),
    "error beside the calendar [d]",
)


def windows_table(name: str, forecasts: Iterable[Forecast]) -> Table:
    """Return every window of forecasts: early and late are its 80 % interval."""
    return table(f"Windows of {name}", _WINDOWS, _windows(forecasts))


def _windows(forecasts: Iterable[Forecast]) -> Iterator[tuple[Value, ...]]:
    for one in forecasts:
        own = (one.code, one.taxon, one.group, one.number)
        for window in one.windows:
            for row in _of_window(window):
                yield (*own, *row)


def _of_window(window: Window) -> Iterator[tuple[Value, ...]]:
    go = window.heat_to_go
    heat = (
        *(window.heat_to_go_dd, go.low_dd if go else None, go.high_dd if go else None),
        window.beyond,
    )
    spans = (("first", window.first), ("half", window.half), ("last", window.last))
    for which, span in spans:
        own = (window.event, window.number, which)
        if span is None:
            yield (*own, None, None, None, None, *heat)
        else:
            late = None if span.open_end else span.high
            yield (*own, span.low, span.middle, late, bool(span.open_end), *heat)


def replayed_table(replayed: Iterable[tuple[str, Replayed]], zone: dt.tzinfo) -> Table:
    """Return windows replayed, each with its brood's code, and whether it held."""
    rows = (
        (
            *(code, x.age, x.event, x.piece, _at(x.made_s, zone), _at(x.low_s, zone)),
            *(_at(x.middle_s, zone), _at(x.high_s, zone), _at(x.after_s, zone)),
            *(_at(x.by_s, zone), x.held, x.error_days, x.calendar_error_days),
        )
        for code, x in replayed
    )
    return table("Windows replayed", _REPLAYED, rows)


def scores_table(found: Honesty) -> Table:
    """Return how good the windows have been, in all and by what they were of."""
    scores = [] if found.in_all is None else [("all", found.in_all)]
    for kind in (found.by_age, found.by_event, found.by_piece):
        scores += kind.items()
    rows = (
        (
            *(key, x.number, x.held.share, x.held.low, x.held.high, x.error_days),
            *(x.bias_days, x.calendar_number, x.calendar_error_days),
            x.beside_calendar_days,
        )
        for key, x in scores
    )
    return table("How good they were", _SCORES, rows)


def coming_table(events: Iterable[Coming]) -> Table:
    """Return what is coming, soonest first."""
    rows = ((x.first, x.last, x.title, x.words) for x in events)
    return table("Coming", ("first day", "last day", "what", "words"), rows)


def _at(at_s: float, zone: dt.tzinfo) -> dt.datetime | None:
    if not math.isfinite(at_s):
        return None
    return dt.datetime.fromtimestamp(round(at_s), zone)
