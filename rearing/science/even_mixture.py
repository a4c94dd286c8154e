"""Normals of one spread at equal distances, fitted from many starts at once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_CLOSE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """Different logarithms of widths, each as often as it was measured.

    Attributes
    ----------
    log : NDArray[float64], shape (n,)
        Ascending.
    many : NDArray[float64], shape (n,)
    """

    log: Array
    many: Array

    @classmethod
    def of(cls, log: Array) -> Told:
        """Put equal ones together."""
        values, many = np.unique(log, return_counts=True)
        return cls(values, many.astype(np.float64))

    @property
    def number(self) -> float:
        """How many were measured."""
        return float(self.many.sum())


@dataclass(frozen=True, slots=True, eq=False)
class EvenMixtures:
    """Several mixtures, each of normals of one spread at equal distances.

    Attributes
    ----------
    begin, step, spread : NDArray[float64], shape (n_mixtures,)
        First mean, distance of the means and standard deviation of each.
    weight : NDArray[float64], shape (n_mixtures, n_parts)
        Share of each normal; nought beyond a mixture's own `count`.
    count : NDArray[intp], shape (n_mixtures,)
        Normals of each.
    bic : NDArray[float64], shape (n_mixtures,)
        Lower is better; infinite where it is not known or where nothing is left.
    """

    begin: Array
    step: Array
    spread: Array
    weight: Array
    count: NDArray[np.intp]
    bic: Array

    @classmethod
    def about(
        cls, told: Told, starts: Sequence[tuple[int, float]], least_spread: float
    ) -> EvenMixtures:
        """Lay mixtures of (count, step) about the middle of what was measured."""
        count = np.array([many for many, _ in starts], dtype=np.intp)
        step = np.array([step for _, step in starts], dtype=np.float64)
        middle = (told.log[-1] + told.log[0]) / 2
        parts = np.arange(count.max(initial=1))
        return cls(
            begin=middle - step * (count - 1) / 2,
            step=step,
            spread=np.maximum(step / 6, least_spread),
            weight=np.where(parts < count[:, None], 1.0 / count[:, None], 0.0),
            count=count,
            bic=np.full(len(count), np.inf),
        )

    def __len__(self) -> int:
        return len(self.count)

    def take(self, which: NDArray[np.intp] | NDArray[np.bool_]) -> EvenMixtures:
        """Return some of them."""
        return EvenMixtures(
            self.begin[which],
            self.step[which],
            self.spread[which],
            self.weight[which],
            self.count[which],
            self.bic[which],
        )

    def shares(self, log: Array) -> tuple[Array, Array]:
        """Return the share of each normal in each value, and the values' log density.

        Shapes (n_mixtures, n_parts, n) and (n_mixtures, n).
        """
        means = self.begin[:, None] + self.step[:, None] * np.arange(
            self.weight.shape[1]
        )
        with np.errstate(divide="ignore"):  # a normal may be empty
            weight = np.log(self.weight)
        parts = log - means[:, :, None]
        parts *= parts
        parts *= (-0.5 / self.spread**2)[:, None, None]
        parts += weight[:, :, None]
        most = parts.max(axis=1)
        parts -= most[:, None]
        np.exp(parts, out=parts)
        whole = parts.sum(axis=1)
        parts /= whole[:, None]
        level = np.log(self.spread * np.sqrt(2 * np.pi))
        return parts, most + np.log(whole) - level[:, None]

    def climbed(self, told: Told, rounds: int, least_spread: float) -> EvenMixtures:
        """Move each towards the likeliest near it, by expectation and maximisation.

        Parameters
        ----------
        told : Told
        rounds : int
            Of moves at most; a mixture that gains no more stays where it is.
        least_spread : float
            No spread is taken to be less.

        Returns
        -------
        EvenMixtures
            With their BIC.
        """
        now, likely = self, np.full(len(self), -np.inf)
        moving = np.arange(len(self))
        for _ in range(rounds):
            some = now.take(moving)
            share, density = some.shares(told.log)
            found = density @ told.many
            gains = found - likely[moving] >= _CLOSE * np.abs(found)
            likely[moving] = found
            moving = moving[gains]
            if not len(moving):
                break
            moved = some.take(gains)._moved(share[gains], told, least_spread)
            now = now._with(moving, moved)
            moving = moving[np.isfinite(moved.step)]
        free = 3 + now.count - 1
        bic = free * np.log(told.number) - 2 * likely
        return replace(now, bic=np.where(np.isfinite(now.step), bic, np.inf))

    def _moved(self, share: Array, told: Told, least_spread: float) -> EvenMixtures:
        """Return the next ones: means on a line first, then the spread.

        Not a number where all of a mixture's animals are in one normal: no line.
        """
        middle = told.log @ told.many / told.number
        log = told.log - middle
        sums = share @ np.stack((told.many, told.many * log, told.many * log**2), 1)
        summed, of_log, of_squares = sums[..., 0], sums[..., 1], sums[..., 2]
        number = np.arange(self.weight.shape[1], dtype=np.float64)
        centre = (summed @ number) / told.number
        away = number - centre[:, None]
        about = (summed * away**2).sum(axis=1)
        about[about <= 0] = np.nan
        step = (of_log * away).sum(axis=1) / about
        mean = step[:, None] * away
        squares = (of_squares - 2 * mean * of_log + mean**2 * summed).sum(axis=1)
        spread = np.sqrt(np.maximum(squares, 0.0) / told.number)
        return replace(
            self,
            begin=middle - step * centre,
            step=step,
            spread=np.maximum(spread, least_spread),
            weight=summed / told.number,
        )

    def _with(self, which: NDArray[np.intp], other: EvenMixtures) -> EvenMixtures:
        """Put others in the place of some."""
        begin, step, spread = self.begin.copy(), self.step.copy(), self.spread.copy()
        weight = self.weight.copy()
        begin[which], step[which] = other.begin, other.step
        spread[which], weight[which] = other.spread, other.weight
        return replace(self, begin=begin, step=step, spread=spread, weight=weight)
