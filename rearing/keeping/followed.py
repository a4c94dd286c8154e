"""What became of the animals that were put into one box, wherever they went on to."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.fates import End, alive_in, missing
from rearing.problems import Refusal
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rearing.keeping.fates import Fates
    from rearing.keeping.holding import BoxNow


@dataclass(frozen=True, slots=True)
class Followed:
    """The animals of one box and of those that were filled from it alone."""

    label: str
    onward: tuple[str, ...]
    came: int
    lost: Mapping[str, int]
    left: Mapping[str, int]
    unaccounted: int
    mixed: int
    """Put on into boxes that others came to as well: they can't be followed there."""
    alive: Mapping[Stage, int]

    @property
    def is_balanced(self) -> bool:
        """True when all that came are told; unaccounted is the balancing term."""
        told = (*self.lost.values(), *self.left.values(), *self.alive.values())
        return self.came == sum(told) + self.unaccounted + self.mixed


def followed(found: Fates, label: str) -> Followed:
    """Follow what was put into a box through splits, tubs and sleeves to the end."""
    wanted = label.strip().casefold()
    boxes = {box.row.id: box for box in found.boxes}
    first = next((b for b in boxes.values() if b.row.label.casefold() == wanted), None)
    if first is None:
        known = ", ".join(box.row.label for box in boxes.values())
        has = f"It has {known}." if known else "It has no box yet."
        raise Refusal(f"{found.brood.code} has no box “{label}”. {has}", field="box")
    own = _filled_from(first, boxes)
    lost: Counter[str] = Counter()
    left: Counter[str] = Counter()
    for one in found.ended:
        if one.box_id in own and one.end is not End.UNACCOUNTED:
            (lost if one.end is End.LOST else left)[one.why] += one.number
    alive: Counter[Stage] = Counter()
    for box in own.values():
        alive.update(alive_in(box, found.on))
    return Followed(
        label=first.row.label,
        onward=tuple(box.row.label for box in own.values() if box is not first),
        came=sum(m.number for m in first.moves_in if m.from_box_id not in own)
        + sum(missing(box)[1] for box in own.values()),
        lost=dict(lost.most_common()),
        left=dict(left.most_common()),
        unaccounted=sum(n for box in own.values() for _, n in missing(box)[0]),
        mixed=sum(
            move.number
            for box in boxes.values()
            if box.row.id not in own
            for move in box.moves_in
            if move.from_box_id in own
        ),
        alive={stage: alive[stage] for stage in Stage if alive[stage]},
    )


def _filled_from(first: BoxNow, boxes: Mapping[int, BoxNow]) -> dict[int, BoxNow]:
    own = {first.row.id: first}
    grown = True
    while grown:
        grown = False
        for key, box in boxes.items():
            from_own = box.moves_in and all(m.from_box_id in own for m in box.moves_in)
            if key not in own and from_own:
                own[key] = box
                grown = True
    return own
