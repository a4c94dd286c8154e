"""How the round is written down: its lines, its head, and the keys a line offers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.pages.round_keys import keys_of
from rearing.desk.typed import day_words
from rearing.desk.widgets.header import Heading
from rearing.desk.widgets.lines import Column, Ink, Line, Pencil, State
from rearing.desk.widgets.marks import Mark
from rearing.keeping.round_lines import Round, RoundLine, Task

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator

    from rearing.keeping.round_lines import RoundPlace

Key = tuple[str, int]

COLUMNS = (
    Column("Code", Ink.CODE),
    Column("Species", Ink.SPECIES),
    Column("To do", Ink.VERB),
    Column("Why", Ink.TEXT, stretch=True),
    Column("Number", Ink.NUMBER),
    Column("Known", Ink.KNOWN),
)

_AS_ON = "The book as on this day; Ctrl+D for another"

_MARKS = {
    Task.LEAVE_ALONE: Mark.BARS,
    Task.LOOK: Mark.EYE_RING,
    Task.LOOK_FOR_HATCHING: Mark.EYE_RING,
    Task.EGGS_OVERDUE: Mark.EYE_RING,
    Task.COUNT_DUE: Mark.TALLY,
    Task.JUDGE_LEAF: Mark.EYE_RING,
    Task.NOTHING: Mark.NONE,
}


def key_of(line: RoundLine) -> Key:
    """Return what finds a line again after the book has changed."""
    return (line.kind, line.id)


def written(round_: Round) -> tuple[Line, ...]:
    """Return the ruled lines of a round, place by place."""
    return tuple(line for place in round_.places for line in _of_place(place))


def _of_place(place: RoundPlace) -> Iterator[Line]:
    before: RoundLine | None = None
    for line in place.lines:
        yield _line(line, place, _reason(line, before))
        # "as A" always points at a reason written in full
        if before is None or _reason(line, before) == _words(line):
            before = line


def _reason(line: RoundLine, before: RoundLine | None) -> str:
    """Return the reason, or whose reason it shares, as a keeper would write it."""
    said = _words(line)
    same = (
        before is not None
        and not line.done
        and not before.done
        and line.brood_id == before.brood_id
        and line.kind == before.kind
        and line.task is before.task
        and said == before.reason
        and len(said) > len("as cage 1")
    )
    return f"as {before.code.partition(' ')[2]}" if same and before else said


def _words(line: RoundLine) -> str:
    return line.done or line.reason


def _line(line: RoundLine, place: RoundPlace, reason: str) -> Line:
    state = _state(line)
    verb = "Anything" if line.done and line.task is Task.NOTHING else str(line.task)
    number = "" if line.number is None else str(line.number)
    known = Pencil(line.known) if line.by_book else line.known
    return Line(
        key=key_of(line),
        cells=(line.code, line.short, verb, reason, number, known),
        sentence=line.sentence(),
        group=place.name,
        group_note=place.note,
        mark=Mark.TICK if line.done else _mark(line),
        state=state,
        alarm=line.quarantine,
        until=line.until or "",
        keys=keys_of(line),
    )


def _state(line: RoundLine) -> State:
    if line.done:
        return State.DONE if line.was_done else State.ANSWERED
    if line.task is Task.LEAVE_ALONE:
        return State.REST
    return State.DUE if line.task.is_due else State.QUIET


def _mark(line: RoundLine) -> Mark:
    if line.quarantine:
        return Mark.DIAMOND
    return _MARKS.get(line.task, Mark.SQUARE)


def heading(round_: Round, now: dt.datetime, *, as_on: bool, away: str = "") -> Heading:
    """Return the head of the page: the day, how much there is to do, days away."""
    day = f"{now:%A} {day_words(round_.on)[4:]}"
    counts = [f"{round_.to_do} to do", f"{round_.done} done"]
    if round_.leave_alone:
        counts.append(f"{round_.leave_alone} to leave alone")
    return Heading(
        title="Round",
        words=f"{day}, {part_of_day(now)}",
        verdict=",  ".join(counts),
        under=".  ".join(filter(None, (away, _AS_ON if as_on else ""))),
    )


def part_of_day(now: dt.datetime) -> str:
    """Return how a keeper calls the time: morning, midday, afternoon, evening."""
    for until, name in (
        (5, "night"),
        (11, "morning"),
        (14, "midday"),
        (18, "afternoon"),
    ):
        if now.hour < until:
            return name
    return "evening"
