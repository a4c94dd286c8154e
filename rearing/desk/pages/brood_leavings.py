"""How those that left a brood are written: a line for each kind, span and receiver."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import TYPE_CHECKING

from rearing.desk.typed import day_words
from rearing.keeping.moments import counted, span_words
from rearing.terms import EggFate, ExitKind, Sex

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from rearing.keeping.broods import BroodPage
    from rearing.records.rows import ExitRow, MothRow

APART = dt.timedelta(days=60)
"""Leavings further apart than this are told apart, as two springs' moths are."""


def leavings(page: BroodPage) -> tuple[str, ...]:
    """Return a sentence for each group of leavings, eggs given away first."""
    return (*_eggs_given(page), *(_told(group, page) for group in _groups(page.exits)))


def _eggs_given(page: BroodPage) -> Iterator[str]:
    for pot in page.pots:
        for outcome in pot.outcomes:
            if outcome.fate is EggFate.GIVEN:
                eggs = counted(outcome.number, "egg")
                label = f"pot {pot.row.label}"
                yield f"{eggs} given from {label}, {day_words(outcome.on)}"


def _groups(exits: Iterable[ExitRow]) -> list[list[ExitRow]]:
    """Gather what left alike, and not long apart, in the order of its first day."""
    groups: list[list[ExitRow]] = []
    latest: dict[tuple[ExitKind, str], list[ExitRow]] = {}
    for leaving in sorted(exits, key=lambda one: one.on):
        alike = (leaving.kind, _receiver(leaving))
        group = latest.get(alike)
        if group is None or leaving.on - group[-1].on > APART:
            group = latest[alike] = []
            groups.append(group)
        group.append(leaving)
    return groups


def _receiver(leaving: ExitRow) -> str:
    return leaving.to_whom or leaving.where or ""


def _told(group: Sequence[ExitRow], page: BroodPage) -> str:
    first, last = group[0], group[-1]
    number = sum(leaving.number for leaving in group)
    days = _days(first.on, last.on)
    boxes = _boxes(group, page)
    if first.kind is ExitKind.EMERGED:
        came = [moth for moth in page.moths if first.on <= moth.since <= last.on]
        sexes = _sexes(came, number)
        return f"{number} emerged {days}{f': {sexes}' if sexes else ''}, {boxes}"
    to = f", {_receiver(first)}" if _receiver(first) else ""
    return f"{number} {_kind(first.kind)}{to}, {boxes}, {days}"


def _days(first: dt.date, last: dt.date) -> str:
    if first == last:
        return day_words(first)
    year = f" {first.year}" if first.year != last.year else ""
    if year:
        return f"{first.day} {first:%B}{year} to {last.day} {last:%B %Y}"
    return f"{span_words(first, last)} {last.year}"


def _boxes(group: Sequence[ExitRow], page: BroodPage) -> str:
    labels = {box.row.id: box.row.label for box in page.boxes}
    by_box: Counter[str] = Counter()
    for leaving in group:
        by_box[labels.get(leaving.box_id, "a box")] += leaving.number
    if len(by_box) == 1:
        return f"from {next(iter(by_box))}"
    return "from " + ", ".join(f"{box} ({by_box[box]})" for box in sorted(by_box))


def _sexes(moths: Iterable[MothRow], number: int) -> str:
    """Return 14 ♂ 13 ♀, and how many were not sexed; empty when none was."""
    by_sex = Counter(moth.sex for moth in moths)
    known = [sex for sex in (Sex.MALE, Sex.FEMALE) if by_sex[sex]]
    if not known:
        return ""
    told = " ".join(f"{by_sex[sex]} {sex.sign}" for sex in known)
    left = number - sum(by_sex[sex] for sex in known)
    return f"{told}, {left} not sexed" if left > 0 else told


def _kind(kind: ExitKind) -> str:
    return "to the cabinet" if kind is ExitKind.SPECIMEN else str(kind)
