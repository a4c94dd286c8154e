"""How a brood's windows are written: rows for the plot, and the sentence before it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.date_scale import short_day, span_words
from rearing.desk.widgets.windows_plot import Band, WindowRow
from rearing.keeping.outlook import Asked, outlook
from rearing.keeping.past_windows import age_now, such

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator, Sequence

    from rearing.keeping.broods import BroodPage
    from rearing.keeping.past_windows import PastWindows
    from rearing.keeping.reach import Reach
    from rearing.keeping.season import Forecast, Span, Window
    from rearing.sheets.shelf import SheetShelf

_STAIRS = frozenset({"hatch", "wander", "emerge"})


def window_rows(forecasts: Sequence[Forecast]) -> tuple[WindowRow, ...]:
    """Return the rows of every group on one axis, each group under its name."""
    rows: list[WindowRow] = []
    for forecast in forecasts:
        if len(forecasts) > 1:
            rows.append(WindowRow(group_words(forecast), heading=True))
        rows += [
            _row(window, forecast, whole=at == 0 or window.event in _STAIRS)
            for at, window in enumerate(forecast.windows)
        ]
    return tuple(rows)


def group_words(forecast: Forecast) -> str:
    """Return the group's name: Pots 1, 2 · Hall shelf, or A, B · Hall shelf."""
    labels, _, place = forecast.group.rpartition(" · ")
    names = labels.split(", ")
    if len(names) > 1 and all(name.startswith("pot ") for name in names):
        short = ", ".join(name.removeprefix("pot ") for name in names)
        return f"Pots {short} · {place}"
    return f"{forecast.group[:1].upper()}{forecast.group[1:]}"


def _row(window: Window, forecast: Forecast, *, whole: bool) -> WindowRow:
    bands = tuple(stair(window, whole=whole))
    if bands:
        return WindowRow(window.words, bands)
    after_winter = window.event == "emerge" and bool(forecast.winter)
    far = "after the winter’s cold" if after_winter else "further off than is looked"
    return WindowRow(window.words, remark=far)


def stair(window: Window, *, whole: bool = True) -> Iterator[Band]:
    """Return first, half and last of an event (or its half alone) as bands."""
    if window.number == 1:
        wanted: tuple[tuple[str, Span | None], ...] = (("", window.half),)
    elif whole:
        wanted = (
            ("first", window.first),
            ("half", window.half),
            ("last", window.last),
        )
    else:
        wanted = (("half", window.half),)
    for word, span in wanted:
        if span is not None:
            yield Band(word, span.low, span.middle, span.high, span.open_end)


def is_overdue(window: Window | None, on: dt.date) -> bool:
    """Tell whether even the last should be through with it by now."""
    if window is None or window.last is None or window.last.open_end:
        return False
    return window.last.high.date() < on


def forecast_sentence(forecast: Forecast, on: dt.date) -> str:
    """Return what comes next for a group, then when they wander, hatch or emerge."""
    hatch = forecast.window("hatch")
    if hatch is not None and hatch.last is not None and is_overdue(hatch, on):
        by = short_day(hatch.last.high.date())
        return (
            f"{group_words(forecast)}: overdue, the last was expected by {by}. "
            "Look, and H enters what became of them."
        )
    coming = [window for window in forecast.windows if window.half is not None]
    if not coming:
        rows = [_row(window, forecast, whole=True) for window in forecast.windows]
        said = [f"{_lower(row.name)} {row.remark}" for row in rows]
        return f"{group_words(forecast)}: {', '.join(said) or 'nothing to come'}."
    next_one = coming[0]
    said = [_when(next_one)]
    heat = next_one.heat_to_go_dd
    if heat is not None and heat >= 1:
        said[0] += f", {heat:.0f} degree-days to go"
    great = next((w for w in coming if w.event in _STAIRS and w is not next_one), None)
    if great is not None:
        said.append(_when(great))
    return f"{group_words(forecast)}: {'; '.join(said)}."


def beside(
    page: BroodPage, within: Reach, shelf: SheetShelf, past: PastWindows | None
) -> str:
    """Return what stands beside the windows: winter or not, leaf-drop, how good."""
    if not page.forecasts:
        return ""
    hosts = [line.host for line in page.asked.values() if line.host]
    asked = Asked(page.sheet, page.forecasts, hosts, None, within.on)
    told = outlook(asked, within, shelf.defaults, end=within.on)
    said = [f"{sentence}." for sentence in told.sentences]
    if past is not None:
        such_words = such(past, page.taxon, age_now(page.forecasts)).such_words
        said += [f"{such_words}."] if such_words else []
    return " ".join(said)


def _lower(words: str) -> str:
    return words[:1].lower() + words[1:]


def _when(window: Window) -> str:
    name = _lower(window.words)
    if window.number == 1 and window.half is not None:
        return f"the one left {name} {_days(window.half)}"
    parts = []
    if window.first is not None and window.event in _STAIRS:
        parts.append(f"first {_days(window.first)}")
    if window.half is not None:
        parts.append(f"half {_days(window.half)}")
    return f"{name} {', '.join(parts)}"


def _days(span: Span) -> str:
    days = (span.low.date(), span.middle.date(), span.high.date())
    return span_words(*days, weekday=True)


def assumption(forecasts: Sequence[Forecast]) -> str:
    """Return what the windows rest on, told once where groups rest on the same."""
    told = list(
        dict.fromkeys(
            sentence
            for forecast in forecasts
            for sentence in (
                f"{group_words(forecast)}: {forecast.beginning}",
                forecast.temperatures,
                forecast.need_of_heat,
                forecast.winter,
            )
            if sentence
        )
    )
    return " ".join(f"{sentence.rstrip('.')}." for sentence in told)
