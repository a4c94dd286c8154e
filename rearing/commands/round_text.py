"""The round on paper, or as JSON.

JSON: ``on`` (ISO date), ``home``, ``to_do``, ``done``, ``leave_alone`` (numbers of
lines), ``leaf``, ``room`` and ``hatch`` (sentences, which may be empty), ``away_from``
and ``away_to`` (the next days away, ISO dates, or null), ``apart`` (boxes kept apart:
``code``, ``words``, ``until`` as ISO date or null) and ``places`` in walking order,
each with ``name``, ``note`` (its temperature, or "last") and ``lines``. A line has
``kind`` ("box", "pot" or "test", larvae that test a tree's leaf), ``code``, ``brood``
(null for a test), ``taxon``, ``task``, ``done`` (what was done today, or null),
``was_done`` (false where that left undone what was asked for), ``reason``, ``number``
(or null), ``known`` (how the number is known, in words), ``by_book`` (true where it was
not counted since it changed), ``until`` (words, or null), ``quarantine``, ``watched``
(a neighbour has just died of a virus), ``host`` (the leaf it eats, or null) and
``density``: null where there is room, else ``instar``, ``number``, ``low`` and ``high``
(what its kind takes of that instar; nought where it is no container for it), ``now``
(false: at the next moult), ``near`` (that moult is at hand) and ``words``.

``too_full`` has the same of every box, those that are not due among them: ``code`` and
``density``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.commands.paper import GAP, widths
from rearing.keeping.away_days import away_words, next_away
from rearing.keeping.facts import home
from rearing.keeping.round import round_of
from rearing.keeping.round_lines import Task
from rearing.records.rows import BroodRow

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from rearing.commands.paper import Paper
    from rearing.keeping.round_lines import Round, RoundLine
    from rearing.records.book import Book
    from rearing.records.rows import AwayRow
    from rearing.sheets.shelf import SheetShelf

_LEGEND = "[ ] to do   [x] done   -  leave alone"


def write_round(
    book: Book,
    shelf: SheetShelf,
    on: dt.date,
    paper: Paper,
    *,
    everything: bool = False,
    as_json: bool = False,
) -> None:
    """Write the round of a day; with `everything`, what is not due as well."""
    found = round_of(book, shelf, on, everything=everything)
    name = home(book).name
    away = next_away(book, on)
    if as_json:
        broods = {brood.id: brood.code for brood in book.all(BroodRow)}
        paper.json(round_data(found, name, broods, away))
    else:
        write_found(found, name, paper, away)


def round_data(
    found: Round,
    home_name: str,
    broods: Mapping[int, str],
    away: AwayRow | None = None,
) -> dict[str, object]:
    """Return a round as JSON holds it."""
    return {
        "on": found.on.isoformat(),
        "home": home_name,
        "to_do": found.to_do,
        "done": found.done,
        "leave_alone": found.leave_alone,
        "leaf": found.leaf_sentence,
        "room": found.room_sentence,
        "hatch": found.hatch_sentence,
        "away_from": None if away is None else away.first_on.isoformat(),
        "away_to": None if away is None else away.last_on.isoformat(),
        "apart": [
            {
                "code": one.code,
                "words": one.words,
                "until": one.until.isoformat() if one.until else None,
            }
            for one in found.apart
        ],
        "too_full": [
            {"code": line.code, "density": _density(line)} for line in found.crowded
        ],
        "places": [
            {
                "name": place.name,
                "note": place.note,
                "lines": [_line_data(line, broods) for line in place.lines],
            }
            for place in found.places
        ],
    }


def _density(line: RoundLine) -> dict[str, object] | None:
    room = line.room
    if room is None:
        return None
    return {
        "instar": room.instar.value,
        "number": room.number,
        "low": room.low,
        "high": room.high,
        "now": room.is_now,
        "near": room.is_near,
        "words": room.words,
    }


def _line_data(line: RoundLine, broods: Mapping[int, str]) -> dict[str, object]:
    return {
        "kind": line.kind,
        "code": line.code,
        "brood": broods.get(line.brood_id),
        "taxon": line.taxon,
        "task": line.task.value,
        "done": line.done,
        "was_done": line.was_done,
        "reason": line.reason,
        "number": line.number,
        "known": line.known,
        "by_book": line.by_book,
        "until": line.until,
        "quarantine": line.quarantine,
        "watched": line.watched,
        "host": line.host,
        "density": _density(line),
    }


def write_found(
    found: Round, home_name: str, paper: Paper, away: AwayRow | None = None
) -> None:
    """Write a round by place, as it would stand on a clipboard."""
    where = f" · {home_name}" if home_name else ""
    paper.line(f"Round of {full_day(found.on)}{where}")
    if not found.lines:
        paper.line("Nothing is due.")
        return
    paper.line(
        f"{found.to_do} to do · {found.done} done · {found.leave_alone} to leave alone"
    )
    shown = {id(line): _cells(line, paper) for line in found.lines}
    wide = widths(list(shown.values()))
    # A row too wide for the paper has its number in the lines below instead.
    narrow = sum(wide) + len(GAP) * 3 > paper.width
    for place in found.places:
        paper.line()
        paper.line(f"{place.name} · {place.note}" if place.note else place.name)
        for line in place.lines:
            *cells, number = shown[id(line)]
            row = [cell.ljust(size) for cell, size in zip(cells, wide, strict=False)]
            _write_row(row if narrow else [*row, number], paper)
            # Why it was due no longer matters once it is done.
            reason = "" if line.done else line.reason.rstrip(".")
            below = [reason, number if narrow else ""]
            paper.paragraph(". ".join(filter(None, below)), indent=6)
    paper.line()
    paper.paragraph(f"{found.leaf_sentence}.")
    if found.room_sentence:
        paper.paragraph(found.room_sentence)
    if away is not None:
        days = away_words(away.first_on, away.last_on)
        paper.paragraph(f"Away {days}: rearing away says what would fail.")
    paper.line(_LEGEND)
    if any(line.by_book and line.number is not None for line in found.lines):
        paper.line("~ by the book, not counted since it last changed")


def _write_row(row: Sequence[str], paper: Paper) -> None:
    line = GAP.join(row).rstrip()
    if len(line) <= paper.width:
        paper.line(line)
    else:
        *first, what = row
        paper.line(GAP.join(first))
        paper.paragraph(what, indent=4)


def _cells(line: RoundLine, paper: Paper) -> list[str]:
    until = f" {line.until}" if line.until else ""
    what = line.done or f"{line.task}{until}"
    return [
        paper.fit(cell)
        for cell in (f"{_mark(line)} {line.code}", line.short, what, _number(line))
    ]


def _mark(line: RoundLine) -> str:
    if line.done:
        return "[x]"
    if line.task.is_due:
        return "[ ]"
    return " - " if line.task is Task.LEAVE_ALONE else "   "


def _number(line: RoundLine) -> str:
    if line.number is None:
        return ""
    return f"{'~' if line.by_book else ''}{line.number} {line.known}"
