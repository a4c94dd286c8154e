"""How a brood's stages were seen to shift: each day's looks, nothing in between."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.terms import Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from rearing.keeping.holding import BoxNow

HALF = 0.5


@dataclass(frozen=True, slots=True)
class LookDay:
    """All that was looked at in a brood on one day, in the order of age."""

    on: dt.date
    numbers: Mapping[Stage, int]
    resting: int
    boxes: tuple[str, ...]

    @property
    def total(self) -> int:
        """How many were looked at."""
        return sum(self.numbers.values())

    def share_from(self, stage: Stage) -> float:
        """Return the share that stood in a stage or beyond it."""
        order = list(Stage)
        beyond = order[order.index(stage) :]
        return sum(self.numbers.get(one, 0) for one in beyond) / self.total


def looks_by_day(boxes: Iterable[BoxNow]) -> tuple[LookDay, ...]:
    """Return a brood's looks by day; of two at one box on a day the later counts."""
    by_day: defaultdict[dt.date, list[BoxNow]] = defaultdict(list)
    for box in boxes:
        for day in dict.fromkeys(look.on for look in box.looks if look.total):
            by_day[day].append(box)
    return tuple(_day(day, by_day[day]) for day in sorted(by_day))


def _day(day: dt.date, boxes: list[BoxNow]) -> LookDay:
    numbers: Counter[Stage] = Counter()
    resting = 0
    for box in boxes:
        look = [one for one in box.looks if one.on == day and one.total][-1]
        numbers.update(look.numbers)
        resting += sum(look.resting.values())
    return LookDay(
        on=day,
        numbers={stage: numbers[stage] for stage in Stage if numbers[stage]},
        resting=resting,
        boxes=tuple(box.row.label for box in boxes),
    )


def half_seen_in(
    looks: Sequence[LookDay], first_on: dt.date | None
) -> dict[Stage, int]:
    """Return, by stage, how many days after the first hatched half were seen so far.

    It is the day of the look, so late by as much as looks are apart.
    """
    reached: dict[Stage, int] = {}
    if first_on is None:
        return reached
    seen = {stage for look in looks for stage in look.numbers}
    ahead = [one for one in Stage if one in seen - {Stage.EGG, Stage.L1}]
    for look in looks:
        for stage in ahead:
            if stage not in reached and look.share_from(stage) >= HALF:
                reached[stage] = (look.on - first_on).days
    return {stage: reached[stage] for stage in Stage if stage in reached}
