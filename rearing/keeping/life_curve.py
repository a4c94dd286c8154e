"""How many of a brood still lived, day by day, ready to be drawn or read out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.life import changes_of

if TYPE_CHECKING:
    from rearing.keeping.life import Life, LifeDay


@dataclass(frozen=True, slots=True)
class LifeCurve:
    """Steps of the share alive by days since the first came, and who left alive when.

    `until` is the last day that anybody was under watch.
    """

    came: int
    steps: tuple[LifeDay, ...]
    left: tuple[tuple[int, int], ...]
    until: int

    def share(self, day: int) -> float:
        """Return the share alive at the end of a day."""
        known = [step.l for step in self.steps if step.day <= day]
        return known[-1] if known else 1.0

    def half_gone(self) -> int | None:
        """Return the day by which half were lost; None while more than half live."""
        return next((step.day for step in self.steps if step.l <= _HALF), None)


_HALF = 0.5


def curve_of(life: Life) -> LifeCurve | None:
    """Return a brood's survivorship; None where nothing came yet."""
    changes = changes_of(life.fates)
    if not changes or life.first_on is None:
        return None
    alive = bool(life.fates.all_alive)
    now = (life.fates.on - life.first_on).days
    last = int(max(change.time for change in changes))
    return LifeCurve(
        came=life.came,
        steps=life.days,
        left=tuple((int(x.time), x.left) for x in changes if x.left),
        until=max(now, last) if alive else last,
    )
