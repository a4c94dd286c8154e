"""How today's visits answer what was asked for at a box, and what they left undone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.round_lines import Task
from rearing.terms import Visit

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.keeping.holding import BoxNow
    from rearing.records.rows import BoxVisitRow

_LEAF = frozenset({Task.FRESH_LEAF, Task.CLEAN_AND_LEAF})
_CLEANING = frozenset({Task.CLEAN, Task.CLEAN_AND_LEAF})
_NOT_YET = {
    Task.FRESH_LEAF: "No fresh leaf yet",
    Task.CLEAN_AND_LEAF: "No fresh leaf yet",
    Task.CLEAN: "Not cleaned yet",
    Task.COUNT_DUE: "The count is still due",
    Task.WANDERERS: "The wanderers are still in it",
}


@dataclass(frozen=True, slots=True)
class Answer:
    """What is still asked for after today's visits, why, and what was done."""

    task: Task
    reason: str
    done: str | None = None
    was_done: bool = True


def answered(
    box: BoxNow,
    today: Sequence[BoxVisitRow],
    asked: tuple[Task, str],
    on: dt.date,
    zone: dt.tzinfo,
) -> Answer:
    """Return how today's visits answer a task and its reason.

    A box that was fed still waits for its count, one that was only cleaned for its
    leaf. Of cleaning and leaf, leaf is enough for tonight: what was left out is said.
    A look at all well puts an end to the asking, but does nothing that was asked for;
    so does any visit to a box that is too full: it can be split tomorrow.
    """
    task, reason = asked
    counts = [count for count in box.standing.counts if count.on == on]
    counted = f"{counts[-1].number} counted" if counts else ""
    if not today:
        # A count answers only the asking for a count: leaf is still to be given.
        return Answer(task, reason, counted if task is Task.COUNT_DUE else None)
    visit = visit_words(today[-1], zone)
    said = "; ".join(part for part in (visit, counted) if part)
    visits = {visit.what for visit in today}
    left = _left(task, visits, counted=bool(counts))
    if left is None:
        return Answer(task, reason, said)
    if visits & {Visit.ALL_WELL, Visit.LOOKED}:
        return Answer(task, reason, said, was_done=False)
    if left is Task.MORE_ROOM:
        return Answer(task, reason, f"{said}; not split", was_done=False)
    if left is Task.CLEAN and task is Task.CLEAN_AND_LEAF:
        return Answer(Task.FRESH_LEAF, reason, f"{said}; not cleaned")
    kept = f" {reason}" if task is Task.WANDERERS else ""
    return Answer(left, f"{said}. {_NOT_YET[left]}.{kept}")


def _left(task: Task, visits: set[Visit], *, counted: bool) -> Task | None:
    """Return what today's visits left undone of a task, None when nothing."""
    fed = any(what.feeds for what in visits)
    cleaned = any(what.cleans for what in visits)
    if task in {Task.WANDERERS, Task.MORE_ROOM}:
        return task
    if task is Task.COUNT_DUE:
        return None if counted else task
    if task in _LEAF and not fed:
        return Task.FRESH_LEAF if cleaned else task
    if task in _CLEANING and not cleaned:
        return Task.CLEAN
    return None


def visit_words(visit: BoxVisitRow, zone: dt.tzinfo) -> str:
    """Return what was done at a visit: Fed 19:36: aspen, 60 g."""
    clock = f" {visit.at.astimezone(zone):%H:%M}" if visit.at else ""
    leaf = f": {visit.host}" if visit.host else ""
    grams = f", {visit.grams:g} g" if visit.grams else ""
    return f"{str(visit.what).capitalize()}{clock}{leaf}{grams}"
