"""How good the windows have been: each replayed as on its day, against what came."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.came import begun_s, turning_days, what_came
from rearing.keeping.holding import holding
from rearing.keeping.lessons import finished_broods
from rearing.keeping.season import season
from rearing.science.honesty import (
    DAY_S,
    Replayed,
    by_age,
    by_event,
    by_piece,
    calendar_average,
    score,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from rearing.keeping.came import Came
    from rearing.keeping.holding import Holding
    from rearing.keeping.season import Forecast, Span, Window
    from rearing.records.book import Book
    from rearing.science.honesty import Piece, Score
    from rearing.sheets.shelf import SheetShelf

TOGETHER = 0.8
"""Share of a brood that must stand together for one window to speak for it."""


@dataclass(frozen=True, slots=True)
class Honesty:
    """Scores of every window that was replayed, in all and by what."""

    on: dt.date
    broods: tuple[str, ...]
    in_all: Score | None
    by_age: Mapping[str, Score]
    by_event: Mapping[str, Score]
    by_piece: Mapping[str, Score]
    replayed: tuple[tuple[str, Replayed], ...]
    """With the code of the brood."""


@dataclass(frozen=True, slots=True)
class _Past:
    """A finished brood: what came, and when it began."""

    ever: Holding
    code: str
    taxon: str
    came: tuple[Came, ...]
    begun_s: float | None


def _never() -> bool:
    return False


def honesty(
    book: Book, shelf: SheetShelf, on: dt.date, stop: Callable[[], bool] = _never
) -> Honesty:
    """Replay the windows of every finished brood and score them.

    The book is looked at as it stood on each of those days: what was entered for a
    later day is not known yet. `stop` is asked between one brood and the next.
    """
    past = [_past(book, brood_id, on) for brood_id in finished_broods(book, on)]
    replayed: list[tuple[str, Replayed]] = []
    for one in past:
        if stop():
            break
        replayed += [(one.code, r) for r in _replayed(book, shelf, one, past)]
    windows = [r for _, r in replayed]
    return Honesty(
        on=on,
        broods=tuple(dict.fromkeys(code for code, _ in replayed)),
        in_all=score(windows),
        by_age=by_age(windows),
        by_event=by_event(windows),
        by_piece=by_piece(windows),
        replayed=tuple(replayed),
    )


def _past(book: Book, brood_id: int, on: dt.date) -> _Past:
    ever = holding(book, on, brood_id=brood_id, all_ever=True)
    row = ever.broods[brood_id]
    return _Past(ever, row.code, ever.taxon(row), what_came(ever), begun_s(ever))


def _replayed(
    book: Book, shelf: SheetShelf, one: _Past, past: list[_Past]
) -> Iterator[Replayed]:
    brood_id = next(iter(one.ever.broods))
    for age, day in turning_days(one.ever, one.came):
        if day >= one.ever.on:
            continue
        told = season(book, shelf, day, brood_id=brood_id)
        made_s = _end_of(day, one.ever)
        for came in one.came:
            window = _for_all(told, came.event)
            span = None if window is None else getattr(window, came.piece)
            # What a check of this very day may have shown is no forecast, and a window
            # that lies beyond sight says nothing.
            if span is not None and came.after_s >= made_s - DAY_S / 2:
                calendar_s = _calendar(one, came, made_s, past)
                yield _against(came, span, age, made_s, calendar_s)


def _for_all(told: tuple[Forecast, ...], event: str) -> Window | None:
    """Return the window of those that stand together, if they are nearly all."""
    whole = sum(forecast.number for forecast in told)
    for forecast in told:
        if forecast.number >= TOGETHER * whole:
            return forecast.window(event)
    return None


def _against(
    came: Came, span: Span, age: str, made_s: float, calendar_s: float | None
) -> Replayed:
    return Replayed(
        event=came.event,
        piece=came.piece,
        age=age,
        made_s=made_s,
        low_s=span.low.timestamp(),
        middle_s=span.middle.timestamp(),
        high_s=float("inf") if span.open_end else span.high.timestamp(),
        after_s=came.after_s,
        by_s=came.by_s,
        calendar_s=calendar_s,
    )


def _calendar(one: _Past, came: Came, made_s: float, past: list[_Past]) -> float | None:
    """Forecast by the mean of the keeper's broods that had it before that day."""
    took: dict[tuple[str, Piece], list[float]] = defaultdict(list)
    for other in past:
        if other.taxon == one.taxon and other.begun_s is not None:
            for known in other.came:
                if known.by_s < made_s and other is not one:
                    middle_s = 0.5 * (known.after_s + known.by_s)
                    days = (middle_s - other.begun_s) / DAY_S
                    took[known.event, known.piece].append(days)
    if one.begun_s is None:
        return None
    return calendar_average(one.begun_s, took[came.event, came.piece])


def _end_of(day: dt.date, ever: Holding) -> float:
    midnight = dt.datetime.combine(
        day + dt.timedelta(days=1), dt.time(), ever.home.zone
    )
    return midnight.timestamp()
