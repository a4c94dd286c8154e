"""Larvae placed in instars by the heads that were measured, whatever is usual."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from rearing.problems import Refusal
from rearing.terms import INSTARS, Measured

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.records.rows import MeasurementRow
    from rearing.science.instars import Group, Placed

SURE = 0.9
"""Less of a width in one instar, and it lies between two (our own choice)."""


@dataclass(frozen=True, slots=True)
class Heads:
    """Widths placed; `told` is True where a noted stage says which the first is."""

    widths: tuple[float, ...]
    placed: Placed
    first: int
    told: bool
    against: int
    """How many were noted as another instar than the series has them in."""

    @property
    def groups(self) -> tuple[Group, ...]:
        """The instars there are, the smallest first."""
        return self.placed.groups

    @property
    def unsure(self) -> int:
        """How many lie between two instars."""
        return int((self.placed.surely < SURE).sum())

    @property
    def boundaries(self) -> tuple[float, ...]:
        """Widths half-way, by ratio, between two neighbouring instars [mm]."""
        series = self.placed.series
        return tuple(
            series.width(one.instar - self.first + 1) / series.ratio**0.5
            for one in self.groups[1:]
        )


def heads_of(
    rows: Iterable[MeasurementRow],
    *,
    first: int | None = None,
    instars: int | None = None,
) -> Heads:
    """Place the head widths among figures; refuse, in words, where there is no series.

    Without `first` the instars that were noted say what the smallest is; where none
    was, it is taken to be L1.
    """
    heads = [row for row in rows if row.what is Measured.HEAD_WIDTH]
    widths = tuple(row.value for row in heads)
    noted = tuple(
        INSTARS.index(row.stage) + 1 if row.stage in INSTARS else 0 for row in heads
    )
    return _placed(widths, noted, first, instars)


@lru_cache(maxsize=32)
def _placed(
    widths: tuple[float, ...],
    noted: tuple[int, ...],
    first: int | None,
    instars: int | None,
) -> Heads:
    # Imported here: NumPy's share is needed only where heads were measured.
    from rearing.science.instars import place

    try:
        placed = place(widths, instars=instars)
    except ValueError as wrong:
        raise Refusal(str(wrong), field="widths") from wrong
    own = [int(one) for one in placed.instar]
    told = any(noted)
    begin = first or (_first_by(own, noted) if told else 1)
    shift = begin - 1
    against = sum(
        bool(said) and said != one + shift for said, one in zip(noted, own, strict=True)
    )
    moved = replace(
        placed,
        groups=tuple(replace(one, instar=one.instar + shift) for one in placed.groups),
        instar=placed.instar + shift,
    )
    return Heads(widths, moved, begin, told and first is None, against)


def _first_by(own: list[int], noted: tuple[int, ...]) -> int:
    """Return the first instar that agrees with most that were noted."""

    def agree(first: int) -> int:
        pairs = zip(own, noted, strict=True)
        return sum(bool(said) and said == one + first - 1 for one, said in pairs)

    most = max(len(INSTARS) - max(own) + 1, 1)
    return max(range(1, most + 1), key=lambda first: (agree(first), -first))
