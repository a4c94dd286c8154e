"""Bounds of a curve's figures: how far each can be pushed before the fit suffers.

A bent curve's parameters hang together and their errors are lopsided, so no interval
is read off the curvature at the best fit. Each figure is held at other values instead
and everything else fitted again: the 95 % interval is where the sum of squares rises
by no more than Student's t allows (a likelihood profile).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rearing.science.rates import Estimate

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from rearing.science.rate_forms import Form, Quantity

Array = NDArray[np.float64]

_WORST = 1e6
_FARTHEST = 150.0
_MOST_STEPS = 24
_NUDGE = 1e-5
_FARTHEST_RATIO = 1e3


class BetterFit(Exception):  # noqa: N818 - news, not an error
    """Holding a figure led to a better fit than the best one so far."""

    def __init__(self, coordinates: Array) -> None:
        super().__init__("a better fit was found")
        self.coordinates = coordinates


@dataclass(frozen=True, slots=True)
class Task:
    """A form and the rates it is fitted to.

    Attributes
    ----------
    form : Form
    celsius, rate : NDArray, shape (n,)
        Temperatures [°C] and rates [1/d].
    mean : float
        Mean rate [1/d], in which what a curve leaves is counted.
    """

    form: Form
    celsius: Array
    rate: Array
    mean: float

    def left(self, z: Array) -> Array:
        """Return what the curve leaves, over the mean rate, shape (n,)."""
        # Of two numbers an ordinary comparison is faster than numpy's; NaN fails it.
        if not all(-_FARTHEST < part < _FARTHEST for part in z.tolist()):
            return np.full(len(self.rate), _WORST)
        left: Array = (self.form.rates(self.celsius, z) - self.rate) / self.mean
        return left

    def sum_left(self, z: Array) -> float:
        """Return the sum of squares of what the curve leaves."""
        with np.errstate(over="ignore", invalid="ignore"):
            left = self.left(z)
            return float(left @ left)


def descend(task: Task, start: Array) -> tuple[Array, float]:
    """Return the coordinates that leave least from a start on, and what they leave."""
    return _least(task.left, start, 1e-12)


def _least(
    left: Callable[[Array], Array], start: Array, close: float
) -> tuple[Array, float]:
    # `leastsq` is the bare search; what stands around it in `least_squares` takes
    # three times as long as the search itself on so few points.
    from scipy.optimize import leastsq

    with np.errstate(over="ignore", invalid="ignore"):
        found, *_ = leastsq(left, start, full_output=True, xtol=close, ftol=close)
        rest = left(found)
        total = float(rest @ rest)
    return np.asarray(found), total if math.isfinite(total) else math.inf


@dataclass(frozen=True, slots=True)
class Profile:
    """One figure of a fitted curve, and how the rest fits when it is held.

    Attributes
    ----------
    task : Task
    quantity : Quantity
    best : NDArray, shape (p,)
        Coordinates of the best fit.
    least : float
        What it leaves.
    most : float
        What a fit may leave within the interval.
    others : tuple of NDArray, shape (p,) each
        Other valleys of the sum of squares that leave no more than `most`; the
        interval spans them all.
    """

    task: Task
    quantity: Quantity
    best: Array
    least: float
    most: float
    others: tuple[Array, ...] = ()

    def estimate(self) -> Estimate:
        """Return the figure with its 95 % interval."""
        value = self.quantity.value(self.best)
        # Data without scatter leave no doubt, only the last digits of the search.
        if self.least < 1e-16 * len(self.task.rate):
            return Estimate(value, value, value)
        valleys = (self.best, *self.others)
        lows = [self._bound(valley, -1) for valley in valleys]
        highs = [self._bound(valley, 1) for valley in valleys]
        return Estimate(value, _outermost(lows, min), _outermost(highs, max))

    def _bound(self, valley: Array, way: int) -> float | None:
        q = self.quantity
        value = q.value(valley)
        if math.isnan(value):
            return None
        end, is_sharp = (q.low, q.sharp_low) if way < 0 else (q.high, q.sharp_high)
        if q.by_ratio:
            end = value * _FARTHEST_RATIO**way
        inside, z, step = value, valley, self._first_step(value)
        for _ in range(_MOST_STEPS):
            tried = self._moved(inside, way * step)
            if way * (tried - end) >= 0:
                # The end itself can't be held; a hair before it can.
                tried = end - way * 1e-6 * max(abs(end - inside), 1e-3)
            left, reached = self._held(tried, z)
            if left > self.most:
                return self._crossing(inside, tried, z, left - self.most)
            if way * (tried - end) >= -1e-3 * abs(tried - inside):
                return end if is_sharp else None
            inside, z, step = tried, reached, step * 1.7
        return None

    def _moved(self, value: float, step: float) -> float:
        return value * math.exp(step) if self.quantity.by_ratio else value + step

    def _first_step(self, value: float) -> float:
        """Return a step about half as wide as the interval would be on a plane."""
        doubt = self._plane_doubt() / (abs(value) if self.quantity.by_ratio else 1.0)
        least, most = (1e-6, 1.0) if self.quantity.by_ratio else (1e-5, 8.0)
        return min(max(0.6 * doubt, least), most) if math.isfinite(doubt) else least

    def _plane_doubt(self) -> float:
        figure, left = self.quantity.value, self.task.left(self.best)
        slopes, gradient = [], []
        for at in range(len(self.best)):
            moved = self.best.copy()
            moved[at] += _NUDGE
            slopes.append((self.task.left(moved) - left) / _NUDGE)
            gradient.append((figure(moved) - figure(self.best)) / _NUDGE)
        if not np.isfinite(slopes).all() or not np.isfinite(gradient).all():
            return math.inf
        reach = np.array(gradient) @ np.linalg.pinv(np.column_stack(slopes))
        return math.sqrt(float(reach @ reach) * (self.most - self.least))

    def _held(self, value: float, start: Array) -> tuple[float, Array]:
        """Fit everything else with the figure held; return what is left, and where."""
        pivot, solve = self.quantity.pivot, self.quantity.solve
        free = np.arange(len(start)) != pivot

        def whole(part: Array) -> Array:
            z = np.zeros(len(start))
            z[free] = part
            near = all(-_FARTHEST < one < _FARTHEST for one in part.tolist())
            z[pivot] = solve(z, value) if near else math.nan
            return z

        def left_of(part: Array) -> Array:
            return self.task.left(whole(part))

        part, left = _least(left_of, start[free], 1e-7)
        reached = whole(part)
        if left < self.least * (1 - 1e-6) - 1e-15:
            raise BetterFit(reached)
        return left, reached

    def _crossing(self, inside: float, outside: float, z: Array, over: float) -> float:
        """Close in on where the fit is just bad enough, by weighted false position."""
        under = -self.most
        last = 0
        for _ in range(_MOST_STEPS):
            share = min(max(under / (under - over), 0.05), 0.95)
            tried = inside + share * (outside - inside)
            left, reached = self._held(tried, z)
            if left <= self.most:
                over = over / 2 if last < 0 else over
                inside, z, under, last = tried, reached, left - self.most, -1
            else:
                under = under / 2 if last > 0 else under
                outside, over, last = tried, left - self.most, 1
            if abs(outside - inside) <= 1e-6 * max(abs(inside), 1e-3):
                break
            if abs(left - self.most) <= 1e-5 * (self.most - self.least):
                return tried
        return inside


def _outermost(
    bounds: Sequence[float | None], choose: Callable[[Iterable[float]], float]
) -> float | None:
    known = [bound for bound in bounds if bound is not None]
    return choose(known) if len(known) == len(bounds) else None
