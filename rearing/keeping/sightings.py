"""What was seen of the animals of a forecast since they hatched, were laid, went down.

Evidence is used only where the records hold together; else a forecast begins at the
last look, as if nothing had been seen before it.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.eggs import LAYING_HOUR
from rearing.keeping.moments import counted, short_day, span_words
from rearing.keeping.starts import MORNING, known_stage, lies_over, shared_out
from rearing.keeping.way_back import places_of
from rearing.science.cohort import Passed, StageCount
from rearing.science.stages import Start
from rearing.terms import EggFate, Stage

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from rearing.keeping.holding import BoxNow, Look, PotNow
    from rearing.keeping.way_back import WayBack, WaysBack
    from rearing.records.rows import StayRow
    from rearing.science.seen import Seen
    from rearing.sheets.sheet import SpeciesSheet

LOOKED_AT = 0.9
"""Share of the animals that a look must have covered to speak for all of them."""

SOUND_EGGS = 0.9
"""Share of eggs that are sound, where some of them have hatched (from memory)."""

SOUND_PUPAE = 0.9
"""Share of pupae that give a moth (from memory)."""

EVENING, NOON = dt.time(20), dt.time(12)
DAY_S = 86_400.0


@dataclass(frozen=True, slots=True)
class Sighted:
    """Where animals began, where they stood, and what was seen of them since.

    `number` are those still here; `left_at` names the event by which the others are
    gone, empty where all are here. `is_told_to_the_end` is False where the latest
    looks were at part of them only: how far they are is then not known from `seen`.
    """

    starts: tuple[Start, ...]
    stays: Sequence[StayRow]
    seen: tuple[Seen, ...]
    number: int
    left_at: str
    beginning: str
    words: str
    is_told_to_the_end: bool = True


def sighted_boxes(
    boxes: Sequence[BoxNow], ways: WaysBack, sheet: SpeciesSheet, zone: dt.tzinfo
) -> Sighted | None:
    """Return what was seen of boxes that stand together; None if it does not fit."""
    known = [ways.of(box) for box in boxes]
    told = [way for way in known if way is not None]
    if len(told) < len(boxes) or len({places_of(way.stays) for way in told}) > 1:
        return None
    if any(b.last_look and lies_over(b, b.last_look, sheet) for b in boxes):
        return None
    group = _Group(tuple(boxes), told, ways, sheet, zone)
    return group.tub() if boxes[0].row.kind.is_for_pupae else group.larvae()


@dataclass(frozen=True, slots=True)
class _Group:
    boxes: tuple[BoxNow, ...]
    known: Sequence[WayBack]
    ways: WaysBack
    sheet: SpeciesSheet
    zone: dt.tzinfo

    @property
    def here(self) -> int:
        return sum(box.standing.number for box in self.boxes)

    def _whole(self, box: BoxNow) -> float:
        """How many of them a box stands for, those that left it grown among them."""
        left = sum(number for _, number in box.emerged)
        if not box.row.kind.is_for_pupae:
            left += sum(move.number for move in self.ways.gone_down(box))
        return max(box.standing.number + left, 0.1)

    def larvae(self) -> Sighted | None:
        """Return larvae from hatching on, by looks and by those that went down."""
        all_boxes = {b.row.id: b for way in self.known for b, _ in way.boxes}
        down: dict[dt.date, int] = defaultdict(int)
        for box in self.boxes:
            for move in self.ways.gone_down(box):
                down[move.on] += move.number
        own = {box.row.id for box in self.boxes}
        before = [box for box in all_boxes.values() if box.row.id not in own]
        if any(self.ways.gone_down(box) for box in before):
            return None
        looks = self._looks()
        latest = max((b.last_look.on for b in self.boxes if b.last_look), default=None)
        seen = [
            self._count(ls) for day, ls in looks.items() if not down or day < min(down)
        ]
        passed = self._passed("wander", down, looks, 1.0)
        words = [_looks_words(len(seen))] if seen else []
        if down:
            words.append(f"{sum(down.values())} gone down")
        days = [*looks, *down]
        return self._sighted(
            Stage.L1,
            (*seen, *passed),
            left=sum(down.values()),
            left_at="wander" if down else "",
            words=_words(words, days),
            to_the_end=bool(looks) and latest is not None and latest <= max(days),
        )

    def tub(self) -> Sighted | None:
        """Return what went down to pupate, by looks and by the moths."""
        out: dict[dt.date, int] = defaultdict(int)
        for box in self.boxes:
            for day, number in box.emerged:
                out[day] += number
        looks = self._looks()
        seen = [
            self._count(ls) for day, ls in looks.items() if not out or day < min(out)
        ]
        passed = self._passed("emerge", out, looks, SOUND_PUPAE)
        words = [_looks_words(len(seen))] if seen else []
        if out:
            words.append(counted(sum(out.values()), "moth"))
        return self._sighted(
            Stage.WANDERING,
            (*seen, *passed),
            left=sum(out.values()),
            left_at="emerge" if out else "",
            words=_words(words, [*looks, *out]),
            to_the_end=True,
        )

    def _sighted(
        self,
        stage: Stage,
        seen: tuple[Seen, ...],
        *,
        left: int,
        left_at: str,
        words: str,
        to_the_end: bool,
    ) -> Sighted | None:
        least = min(box.standing.number for box in self.boxes)
        if not seen or self.here + left <= 0 or least < 0:
            return None
        starts = self._starts(stage, self.here + left)
        days = [move.on for way in self.known for move, _ in way.began]
        began = "went down" if stage is Stage.WANDERING else "hatched"
        span = span_words(min(days), max(days))
        main = max(range(len(self.boxes)), key=lambda i: self.boxes[i].standing.number)
        return Sighted(
            starts=starts,
            stays=self.known[main].stays,
            seen=seen,
            number=self.here,
            left_at=left_at,
            beginning=f"{self.here} animals, {began} {span}",
            words=words,
            is_told_to_the_end=to_the_end,
        )

    def _starts(self, stage: Stage, total: int) -> tuple[Start, ...]:
        """Begin each by its date; those of a box in proportion to what it holds."""
        weights: dict[float, float] = defaultdict(float)
        clock = MORNING if stage is Stage.L1 else NOON
        for box, way in zip(self.boxes, self.known, strict=True):
            whole = sum(part for _, part in way.began)
            own = self._whole(box)
            for move, part in way.began:
                at_s = _at_s(move.at, move.on, clock, self.zone)
                weights[at_s] += own * part / whole
        ordered = sorted(weights.items())
        numbers = shared_out(total, [weight for _, weight in ordered])
        return tuple(
            Start(at_s, stage, number)
            for (at_s, _), number in zip(ordered, numbers, strict=True)
            if number
        )

    def _looks(self) -> dict[dt.date, list[Look]]:
        """Return the days on which nearly all of them were looked at, and the looks."""
        covered: dict[dt.date, float] = defaultdict(float)
        looks: dict[dt.date, dict[int, Look]] = defaultdict(dict)
        for box, way in zip(self.boxes, self.known, strict=True):
            days = set()
            for one, until in way.boxes:
                for look in one.looks:
                    if look.total and look.on <= until:
                        looks[look.on][one.row.id] = look
                        days.add(look.on)
            for day in days:
                covered[day] += self._whole(box)
        enough = LOOKED_AT * sum(map(self._whole, self.boxes))
        return {
            day: list(looks[day].values())
            for day in sorted(looks)
            if covered[day] >= enough
        }

    def _count(self, looks: Iterable[Look]) -> StageCount:
        counts: dict[str, int] = defaultdict(int)
        resting: dict[str, int] = defaultdict(int)
        moments = []
        for look in looks:
            moments.append(_at_s(look.at, look.on, EVENING, self.zone))
            for stage, number in look.numbers.items():
                counts[known_stage(stage, self.sheet)] += number
            for stage, number in look.resting.items():
                if stage.is_larva:
                    resting[known_stage(stage, self.sheet)] += number
        return StageCount(
            max(moments),
            dict(counts),
            dict(resting),
            float(self.sheet.moult_rest_hours.middle),
        )

    def _passed(
        self,
        event: str,
        by_day: Mapping[dt.date, int],
        looks: Mapping[dt.date, Sequence[Look]],
        sound: float,
    ) -> tuple[Passed, ...]:
        """Those that left on each day, since the day before at the latest look."""
        if not by_day:
            return ()
        of = self.here + sum(by_day.values())
        first = min(by_day)
        before = [day for day in looks if day < first]
        after = max(before, default=first - dt.timedelta(days=2))
        days = sorted({*by_day, *(day for day in looks if day > first)})
        found = []
        for day in days:
            found.append(
                Passed(
                    event,
                    _at_s(None, after, EVENING, self.zone),
                    _at_s(None, day, EVENING, self.zone),
                    by_day.get(day, 0),
                    of,
                    sound,
                )
            )
            after = day
        return tuple(found)


def sighted_pots(
    pots: Sequence[PotNow], zone: dt.tzinfo, *, finished: bool = False
) -> Sighted | None:
    """Return what was seen of pots that have begun to hatch; None before.

    With `finished` it is told of those that hatched alone, when none waits any more.
    """
    by_day: dict[dt.date, int] = defaultdict(int)
    for pot in pots:
        for outcome in pot.outcomes:
            if outcome.fate is EggFate.HATCHED:
                by_day[outcome.on] += outcome.number
    waiting = sum(pot.waiting for pot in pots)
    hatched = sum(by_day.values())
    if (waiting <= 0) is not finished or min(by_day.values(), default=0) <= 0:
        return None
    nights: dict[dt.date, int] = defaultdict(int)
    for pot in pots:
        alive = max(pot.waiting, 0) + pot.of(EggFate.HATCHED)
        shares = shared_out(alive, [laying.number for laying in pot.layings])
        for laying, number in zip(pot.layings, shares, strict=True):
            nights[laying.evening] += number
    starts = tuple(
        Start(_at_s(None, evening, LAYING_HOUR, zone), Stage.EGG, number)
        for evening, number in sorted(nights.items())
        if number > 0
    )
    seen = []
    after = min(by_day) - dt.timedelta(days=1)
    for day, number in sorted(by_day.items()):
        after_s, by_s = (_at_s(None, d, NOON, zone) for d in (after, day))
        of = hatched + waiting
        sound = 1.0 if finished else SOUND_EGGS
        seen.append(Passed("hatch", after_s, by_s, number, of, sound))
        after = day
    laid = [start for start in sorted(nights) if nights[start] > 0]
    return Sighted(
        starts=starts,
        stays=pots[0].stays,
        seen=tuple(seen),
        number=waiting,
        left_at="hatch",
        beginning=f"{waiting} eggs laid {span_words(min(laid), max(laid))}",
        words=_words([f"{hatched} hatched"], list(by_day)),
    )


def _at_s(
    at: dt.datetime | None, day: dt.date, clock: dt.time, zone: dt.tzinfo
) -> float:
    return (at or dt.datetime.combine(day, clock, zone)).timestamp()


def _looks_words(number: int) -> str:
    return counted(number, "look")


def _words(parts: Sequence[str], days: Sequence[dt.date]) -> str:
    if not parts:
        return ""
    last = f", the last {short_day(max(days))}" if days else ""
    return f"Sharpened by {' and '.join(parts)}{last}"
