"""How the round is written down: its lines, its head, and the keys a line offers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.typed import day_words
from rearing.desk.widgets.header import Heading
from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, Pencil, State
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

DIGITS = "0123456789"
NEXT = KeyOffer("Enter", "next", quiet=True)
_NOTE = KeyOffer("N", "note", quiet=True)
_MOVE = KeyOffer("M", "move", quiet=True)
_SKIP = KeyOffer("S", "skip")

BOX_KEYS = (
    KeyOffer("F", "fed"),
    KeyOffer("C", "fed, cleaned"),
    KeyOffer("W", "all well"),
    _SKIP,
    KeyOffer("0–9", "count", answers=DIGITS),
    NEXT,
    KeyOffer("G", "stages", quiet=True),
    KeyOffer("X", "loss", quiet=True),
    _MOVE,
    _NOTE,
)
POT_KEYS = (
    KeyOffer("H", "hatched"),
    KeyOffer("L", "put on leaf", quiet=True),
    KeyOffer("W", "looked, nothing new"),
    _SKIP,
    NEXT,
    _MOVE,
    _NOTE,
)
HATCHED_KEYS = (KeyOffer("L", "put on leaf"), POT_KEYS[0], *POT_KEYS[2:])
TUB_KEYS = (
    KeyOffer("W", "looked, all well"),
    _SKIP,
    *(offer for offer in BOX_KEYS[4:] if offer.cap != "G"),
)
REST_KEYS = (NEXT, _NOTE)

KEY_HELP = (
    (
        "At a box",
        "F   fed, with its usual leaf\n"
        "C   fed and cleaned\n"
        "W   all well: a look is a record, no look is a gap\n"
        "S   skip: go on, nothing is written\n"
        "0–9   begin to type a count\n"
        "G   how many in which stage\n"
        "X   a loss and its cause",
    ),
    (
        "At a pot",
        "H   hatched, or another fate\nL   put on leaf\nW   looked, nothing new",
    ),
    (
        "Anywhere on the round",
        "Enter, Space   the next that is due\n"
        "↑ ↓   line by line\n"
        "→, O   open its brood\n"
        "M   carry to another place\n"
        "N   a note\n"
        "A   everything, or only what is due\n"
        "Ctrl+P   the round on paper, with boxes to tick\n"
        "Ctrl+Z   take back, and the hand goes back there",
    ),
)

_MARKS = {
    Task.LEAVE_ALONE: Mark.BARS,
    Task.LOOK: Mark.EYE_RING,
    Task.LOOK_FOR_HATCHING: Mark.EYE_RING,
    Task.EGGS_OVERDUE: Mark.EYE_RING,
    Task.COUNT_DUE: Mark.TALLY,
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
        keys=_keys(line),
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


def _keys(line: RoundLine) -> tuple[KeyOffer, ...]:
    if line.task is Task.LEAVE_ALONE and not line.done:
        return REST_KEYS
    if line.kind == "pot":
        return HATCHED_KEYS if line.task is Task.PUT_ON_LEAF else POT_KEYS
    return TUB_KEYS if line.is_tub else BOX_KEYS


def heading(round_: Round, now: dt.datetime, *, as_on: bool) -> Heading:
    """Return the head of the page: the day and how much there is to do."""
    day = f"{now:%A} {day_words(round_.on)[4:]}"
    counts = [f"{round_.to_do} to do", f"{round_.done} done"]
    if round_.leave_alone:
        counts.append(f"{round_.leave_alone} to leave alone")
    return Heading(
        title="Round",
        words=f"{day}, {part_of_day(now)}",
        verdict=",  ".join(counts),
        under="The book as on this day; Ctrl+D for another" if as_on else "",
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
