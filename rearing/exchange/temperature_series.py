"""Temperatures as they leave a file: series, what was set aside, and a stop."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rearing.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np
    from numpy.typing import NDArray


class Cancelled(Problem):
    """The keeper stopped the reading; nothing was kept of it."""

    def __init__(self) -> None:
        super().__init__("The reading was stopped. Nothing was added.")


@dataclass(frozen=True, slots=True, eq=False)
class InstantSeries:
    """Readings of one logger: `at_s` [s since 1970 UTC], rising; `celsius` [°C]."""

    name: str
    at_s: NDArray[np.int64]
    celsius: NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class DailySeries:
    """Lowest and highest of each local day [°C].

    With `mean_only` the file gave one figure a day, and low and high are both it.
    """

    name: str
    day: NDArray[np.datetime64]
    low_c: NDArray[np.float64]
    high_c: NDArray[np.float64]
    mean_only: bool = False


@dataclass(frozen=True, slots=True)
class SetAside:
    """A line that could not be used: its number from 1, its text, and why."""

    line: int
    text: str
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Temperatures:
    """Everything a file gave.

    `set_aside` lists the first cases of each reason, `set_aside_counts` counts all.
    `duplicates` are readings that repeat an instant and its value, `blanks` empty
    cells, `guessed_hour` readings whose place in a repeated hour could not be told
    from the order of the rows.
    """

    series: tuple[InstantSeries, ...] = ()
    daily: tuple[DailySeries, ...] = ()
    set_aside: tuple[SetAside, ...] = ()
    set_aside_counts: Mapping[str, int] = field(default_factory=dict)
    rows_read: int = 0
    duplicates: int = 0
    blanks: int = 0
    guessed_hour: int = 0

    @property
    def kept(self) -> int:
        """How many readings (or days) are in the series."""
        return sum(len(one.at_s) for one in self.series) + sum(
            len(one.day) for one in self.daily
        )

    @property
    def sentence(self) -> str:
        """What became of the rows, in one sentence."""
        noun = "days" if self.daily else "readings"
        parts = [f"{self.kept:,} {noun} from {self.rows_read:,} rows"]
        if self.duplicates:
            parts.append(f"{self.duplicates:,} repeats left out")
        if self.blanks:
            parts.append(f"{self.blanks:,} empty cells")
        if aside := sum(self.set_aside_counts.values()):
            parts.append(f"{aside:,} set aside")
        if self.guessed_hour:
            parts.append(
                f"{self.guessed_hour:,} in the repeated hour taken as its first round"
            )
        return "; ".join(parts) + "."
