"""How good the windows have been, on paper or as JSON.

JSON: ``on`` (ISO date), ``broods`` (codes of the finished broods that were replayed),
``all`` (a score, or null), ``by_age``, ``by_event`` and ``by_piece`` (scores by egg,
L1 to L7 or pupation, by hatch to emerge, by first, half, last), and ``windows``, every
replayed one: ``brood``, ``age``, ``event``, ``piece``, ``made``, ``low``, ``middle``,
``high`` (null where the end is open), ``after`` and ``by`` (the checks it came
between; ISO times), ``held`` (true or false), ``error_days`` and
``calendar_error_days`` (days late, early below nought; null without an earlier
brood). A score has ``number``, ``held`` (share of the 80 % windows that held),
``held_low`` and ``held_high`` (its 95 % interval), ``error_days`` (mean without sign),
``bias_days`` (with it), ``calendar_number``, ``calendar_error_days`` (mean error of the
plain mean of the keeper's earlier broods; null without) and ``beside_calendar_days``
(that of the same windows).
"""

from __future__ import annotations

import datetime as dt
import math
from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.keeping.facts import home
from rearing.keeping.honesty import honesty

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rearing.commands.paper import Paper
    from rearing.keeping.honesty import Honesty
    from rearing.records.book import Book
    from rearing.science.honesty import Replayed, Score
    from rearing.sheets.shelf import SheetShelf

_HEADINGS = ["", "windows", "held", "error", "bias", "calendar", "windows there"]
_EVENTS = {
    "hatch": "hatch",
    **{f"L{i}": f"into L{i}" for i in range(2, 9)},
    "wander": "wander",
    "pupate": "pupate",
    "emerge": "moths",
}


def write_honesty(
    book: Book, shelf: SheetShelf, on: dt.date, paper: Paper, *, as_json: bool = False
) -> None:
    """Write how good the windows of all finished broods have been."""
    found = honesty(book, shelf, on)
    zone = home(book).zone
    if as_json:
        paper.json(_data(found, zone))
        return
    paper.line(f"Windows replayed as on their day, as on {full_day(on)}")
    if found.in_all is None:
        paper.line("No brood is finished yet whose windows could be replayed.")
        return
    paper.paragraph(
        f"From {', '.join(found.broods)}. Held: share of the 80% windows in which the "
        "event came, with its 95% interval. Error and bias: of the middle, in days, "
        "without and with its sign (late above nought). Calendar: error of the plain "
        "mean of earlier broods, and that of the windows there were for the same."
    )
    paper.line()
    paper.table([_HEADINGS, *_rows(found)])


def _rows(found: Honesty) -> Iterator[list[str]]:
    if found.in_all is not None:
        yield _row("all", found.in_all)
    for age, score in found.by_age.items():
        yield _row(f"made at {age}", score)
    for event, score in found.by_event.items():
        yield _row(f"of {_EVENTS[event]}", score)
    for piece, score in found.by_piece.items():
        yield _row(f"of the {piece}", score)


def _row(words: str, score: Score) -> list[str]:
    held = score.held
    calendar, beside = score.calendar_error_days, score.beside_calendar_days
    return [
        words,
        str(score.number),
        f"{held.share:.0%} ({held.low:.0%}–{held.high:.0%})",
        f"{score.error_days:.1f} d",
        f"{score.bias_days:+.1f} d",
        "" if calendar is None else f"{calendar:.1f} d",
        "" if beside is None else f"{beside:.1f} d ({score.calendar_number})",
    ]


def _data(found: Honesty, zone: dt.tzinfo) -> dict[str, object]:
    return {
        "on": found.on.isoformat(),
        "broods": list(found.broods),
        "all": None if found.in_all is None else _score_data(found.in_all),
        "by_age": {key: _score_data(one) for key, one in found.by_age.items()},
        "by_event": {key: _score_data(one) for key, one in found.by_event.items()},
        "by_piece": {key: _score_data(one) for key, one in found.by_piece.items()},
        "windows": [_window_data(code, one, zone) for code, one in found.replayed],
    }


def _score_data(score: Score) -> dict[str, object]:
    return {
        "number": score.number,
        "held": score.held.share,
        "held_low": score.held.low,
        "held_high": score.held.high,
        "error_days": score.error_days,
        "bias_days": score.bias_days,
        "calendar_number": score.calendar_number,
        "calendar_error_days": score.calendar_error_days,
        "beside_calendar_days": score.beside_calendar_days,
    }


def _window_data(code: str, one: Replayed, zone: dt.tzinfo) -> dict[str, object]:
    def iso(at_s: float) -> str | None:
        if math.isinf(at_s):
            return None
        return dt.datetime.fromtimestamp(round(at_s), zone).isoformat()

    return {
        "brood": code,
        "age": one.age,
        "event": one.event,
        "piece": one.piece,
        "made": iso(one.made_s),
        "low": iso(one.low_s),
        "middle": iso(one.middle_s),
        "high": iso(one.high_s),
        "after": iso(one.after_s),
        "by": iso(one.by_s),
        "held": one.held,
        "error_days": one.error_days,
        "calendar_error_days": one.calendar_error_days,
    }
