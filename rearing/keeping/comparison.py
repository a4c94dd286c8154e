"""Two broods side by side: hatch, survival, losses and pace, noted and not judged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.fates import UNACCOUNTED
from rearing.keeping.life import compared, life_of
from rearing.keeping.life_curve import curve_of
from rearing.keeping.stage_looks import half_seen_in, looks_by_day
from rearing.problems import Refusal
from rearing.records.rows import BroodRow
from rearing.science.proportions import difference

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Mapping

    from rearing.keeping.life import Life
    from rearing.keeping.life_curve import LifeCurve
    from rearing.records.book import Book
    from rearing.science.proportions import Proportion
    from rearing.science.survival import Compared
    from rearing.terms import Stage


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two broods."""

    life: Life
    curve: LifeCurve | None
    pace: Mapping[Stage, int]
    """Days from the first hatched to the look at which half stood in a stage."""

    @property
    def code(self) -> str:
        """As on its label."""
        return self.life.fates.brood.code

    @property
    def decided(self) -> int:
        """Eggs that have a fate."""
        return self.life.fates.eggs - self.life.fates.waiting


@dataclass(frozen=True, slots=True)
class LostBeside:
    """One cause, and how many each lost to it."""

    why: str
    one: int
    other: int


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two broods as on one day; `test` and `hatch` None where they can't be told."""

    one: Side
    other: Side
    hatch: Proportion | None
    """By how much the first one's hatch is above the other's."""
    test: Compared | None
    losses: tuple[LostBeside, ...]

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Stages that half of either were seen in, this one's first."""
        return tuple(dict.fromkeys((*self.one.pace, *self.other.pace)))


def compare(book: Book, one_id: int, other_id: int, on: dt.date) -> Comparison:
    """Lay one brood beside another as on a day."""
    if one_id == other_id:
        raise Refusal("That is the same brood. Which other?", field="which")
    one, other = _side(book, one_id, on), _side(book, other_id, on)
    return beside(one, other)


def side_of(life: Life) -> Side:
    """Return one side from a brood's numbers."""
    looks = looks_by_day(life.fates.boxes)
    return Side(life, curve_of(life), half_seen_in(looks, life.first_on))


def beside(one: Side, other: Side) -> Comparison:
    """Return two sides compared."""
    hatch = None
    if one.decided > 0 and other.decided > 0:
        hatch = difference(
            (one.life.fates.hatched, one.decided),
            (other.life.fates.hatched, other.decided),
        )
    return Comparison(
        one=one,
        other=other,
        hatch=hatch,
        test=compared(one.life, other.life),
        losses=_losses(one.life, other.life),
    )


def beside_rows(
    found: Comparison, told: Callable[[Proportion], str]
) -> tuple[tuple[str, str, str], ...]:
    """Return hatch, survival, losses and pace: what, of one brood, of the other.

    `told` says a share with its interval.
    """
    one, other = found.one, found.other

    def say(share: Proportion | None) -> str:
        return told(share) if share else "none yet"

    shares = (
        ("hatched", one.life.hatch, other.life.hatch),
        ("survived of those kept", one.life.survived, other.life.survived),
    )
    return (
        *((word, say(own), say(others)) for word, own, others in shares),
        *((f"lost: {x.why}", str(x.one), str(x.other)) for x in found.losses),
        *(
            (f"half seen in {stage}", _seen_on(one, stage), _seen_on(other, stage))
            for stage in found.stages
        ),
    )


def _seen_on(side: Side, stage: Stage) -> str:
    day = side.pace.get(stage)
    return "not seen" if day is None else f"day {day}"


def beside_words(found: Comparison) -> str:
    """Return what may be noted of two broods; no verdict is drawn."""
    said = []
    if found.hatch is not None:
        middle = round(found.hatch.share * 100)
        ends = [_more(round(end * 100)) for end in (found.hatch.low, found.hatch.high)]
        said.append(
            f"Of 100 eggs of {found.one.code} {_more(middle)} hatched "
            f"{'than' if middle else 'as'} of {found.other.code} "
            f"({' to '.join(ends)})."
        )
    if found.test is None:
        said.append("Their survival can't be compared: none of both lived at a loss.")
    else:
        said.append(
            f"A difference in survival this large would come "
            f"{chance_words(found.test.p)} (log-rank): {verdict_words(found.test.p)}."
        )
    said.append("Animals of one mother, box and day die alike: a note, no proof.")
    return " ".join(said)


def _more(number: int) -> str:
    if not number:
        return "as many"
    return f"{abs(number)} {'more' if number > 0 else 'fewer'}"


def chance_words(p: float) -> str:
    """Return in plain words how often chance alone would part two such broods so far.

    Whole numbers only: more would pretend to a certainty that animals of one mother,
    box and day don't give.
    """
    if p > _MOSTLY:
        return "by chance in most pairs of broods that are alike"
    least = max(p, _LEAST)
    times = round(1 / least)
    # 1 of 37 says more than is known: tens from twenty on, hundreds from two hundred
    step = 1 if times < 20 else 10 if times < 200 else 100
    about = "fewer than" if p < _LEAST else "about"
    many = max(round(1 / least / step) * step, 2)
    return f"by chance in {about} 1 of {many:,} pairs of broods that are alike"


def verdict_words(p: float) -> str:
    """Return what may be noted of it, short of a conclusion."""
    if p > _OFTEN:
        return "no reason to think that they differ"
    if p > _SELDOM:
        return "worth watching in the next broods"
    return "worth asking what was different for them"


_MOSTLY, _OFTEN, _SELDOM, _LEAST = 0.67, 0.2, 0.01, 0.001


def _side(book: Book, brood_id: int, on: dt.date) -> Side:
    return side_of(life_of(book, book.one(BroodRow, brood_id), on))


def _losses(one: Life, other: Life) -> tuple[LostBeside, ...]:
    """Return every cause of either, most lost first, the unaccounted last."""
    sums: dict[str, list[int]] = {}
    for at, life in enumerate((one, other)):
        for loss in life.losses:
            sums.setdefault(loss.why, [0, 0])[at] += loss.number
    rows = [LostBeside(why, *numbers) for why, numbers in sums.items()]
    return tuple(
        sorted(rows, key=lambda x: (x.why == UNACCOUNTED, -(x.one + x.other), x.why))
    )
