"""Brière's and Lactin's curves fitted to durations by non-linear least squares.

Beside the straight lines of `rates` these take the slowing in great heat into account,
so that every temperature at which animals developed may be used; they need more
points, some of them near or above the optimum.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.rate_curves import briere_1, briere_2, lactin_2
from rearing.science.rate_forms import briere_form, lactin_form
from rearing.science.rate_profile import BetterFit, Profile, Task, descend
from rearing.science.rate_ranges import temperature_steps
from rearing.science.rates import Array, Estimate, checked_durations, student_t95

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from rearing.science.arrays import Numbers
    from rearing.science.rate_forms import Form


class Curve(StrEnum):
    """Which bent curve was laid through the data."""

    BRIERE_1 = "briere_1"
    """Brière's first: three parameters."""
    BRIERE_2 = "briere_2"
    """Brière's second: the fall has its own steepness, four parameters."""
    LACTIN_2 = "lactin_2"
    """Lactin's second: four parameters."""


PARAMETERS = {Curve.BRIERE_1: 3, Curve.BRIERE_2: 4, Curve.LACTIN_2: 4}


@dataclass(frozen=True, slots=True)
class CurveFit:
    """A fitted curve and what it rests on.

    Attributes
    ----------
    curve : Curve
    parameters : mapping of str to Estimate
        By the names of the curve's function in `rate_curves`, each with its 95 %
        interval.
    t0_c : Estimate or None
        Temperature below which the curve has no development [°C]; None for a Lactin
        curve that never comes down to zero in the cold.
    optimum_c : Estimate
        Temperature of the highest rate [°C].
    end_c : Estimate
        Temperature above which it has none [°C].
    noise : float
        Standard deviation of the rates about the curve [1/d]; curves fitted to the
        same points may be compared by it.
    r2 : float
        Share of the rates' variance the curve explains.
    n : int
        Points used.
    coldest_c, warmest_c : float
        Temperature range used [°C]; outside it the curve is a guess.
    """

    curve: Curve
    parameters: Mapping[str, Estimate]
    t0_c: Estimate | None
    optimum_c: Estimate
    end_c: Estimate
    noise: float
    r2: float
    n: int
    coldest_c: float
    warmest_c: float

    def rate(self, celsius: Numbers) -> Numbers:
        """Return the fitted rate [1/d] at temperatures [°C] of any shape."""
        values = {name: one.value for name, one in self.parameters.items()}
        if self.curve is Curve.LACTIN_2:
            return lactin_2(celsius, **values)
        if self.curve is Curve.BRIERE_2:
            return briere_2(celsius, **values)
        return briere_1(celsius, **values)


def fit_curve(curve: Curve, celsius: Array, days: Array) -> CurveFit:
    """Fit a bent curve to durations at constant temperatures.

    Parameters
    ----------
    curve : Curve
    celsius : NDArray, shape (n,)
        Constant rearing temperatures [°C]; more points than the curve has parameters
        (`PARAMETERS`), at as many different temperatures as it has; those less than
        half a degree apart count as one.
    days : NDArray, shape (n,)
        Duration of the stage at each [d].

    Returns
    -------
    CurveFit
        With 95 % intervals.

    Raises
    ------
    ValueError
        Too few points or temperatures; a duration not above zero; for Brière's
        curves a temperature not above 0 °C; data that do not speed up with warmth;
        or data on which the curve finds no hold: no slowing in the heat, no
        threshold below the coldest temperature, no end above the warmest.

    Notes
    -----
    Ordinary least squares of the rates 1/D, as for the line (common practice). The
    search starts from several points of a coarse grid and keeps the best. Animals
    developed at every temperature given, so T0 is sought below the coldest and the
    end above the warmest.

    The intervals are likelihood profiles: a figure is held at other values, all else
    fitted again, and the bound is where the sum of squares S exceeds
    ``S_best·(1 + t²/(n − p))``, t Student's at 97.5 % with n − p degrees of freedom.
    Such bounds are lopsided, and None where the data set none (the search reaches
    60 °C beyond the temperatures used, or a factor of a thousand).

    Computed, simulated fits at eight (Brière 1) or ten temperatures from the cold to
    past the optimum. With 3 % of the mean rate as equal scatter in all rates (400
    each) 97 % of Brière 1's intervals held the truth, 95–96 % of Brière 2's, and
    91–95 % of Lactin's, whose two families of shapes leave more freedom than its four
    parameters seem to. With 4 % scatter in the durations (250 each) 96–100, 91–100
    and 83–99 %: read Lactin's as somewhat too narrow.

    References
    ----------
    From memory: Bates & Watts 1988, Nonlinear Regression Analysis, ch. 6 (profiles);
    for the curves see `rate_curves`.

    Examples
    --------
    >>> celsius = np.array([14.0, 18.0, 22.0, 26.0, 30.0, 33.0])
    >>> days = 1 / briere_1(celsius, a=1e-4, t0_c=10.0, limit_c=35.0)
    >>> round(fit_curve(Curve.BRIERE_1, celsius, days).optimum_c.value, 3)
    29.207
    """
    temperature, duration = checked_durations(celsius, days)
    _check_enough(curve, temperature)
    rate = 1.0 / duration
    # Of equal durations rounding alone would make a slope.
    if np.ptp(rate) == 0 or not float(np.polyfit(temperature, rate, 1)[0]) > 0:
        raise ValueError(
            "Development does not speed up with warmth in these data, "
            "so a curve finds no hold in them."
        )
    task = Task(_form(curve, temperature), temperature, rate, float(rate.mean()))
    valleys = _valleys(task, task.form.starts(temperature, rate))
    for _ in range(_MOST_TRIES):
        _check_hold(task, valleys[0])
        try:
            return _told(curve, task, valleys)
        except BetterFit as found:
            valleys = _valleys(task, [found.coordinates, *valleys])
    raise ValueError(f"{_NAMES[curve]} does not settle on these data.")


def fit_curves(
    celsius: Array, days: Array
) -> tuple[tuple[CurveFit, ...], dict[Curve, str]]:
    """Fit every curve; return those that found hold, and why the others did not.

    Parameters as of `fit_curve`; what it would raise stands in the second part.
    """
    found, refused = [], {}
    for curve in Curve:
        try:
            found.append(fit_curve(curve, celsius, days))
        except ValueError as wrong:
            refused[curve] = str(wrong)
    return tuple(found), refused


_NAMES = {
    Curve.BRIERE_1: "Brière's first curve",
    Curve.BRIERE_2: "Brière's second curve",
    Curve.LACTIN_2: "Lactin's curve",
}
_LEAST_ROOM_C = 0.05
_MOST_ROOM_C = 40.0
_MOST_STEEP = 100.0
_MOST_TRIES = 5


def _form(curve: Curve, celsius: Array) -> Form:
    coldest, warmest = float(celsius.min()), float(celsius.max())
    if curve is Curve.LACTIN_2:
        return lactin_form(coldest, warmest)
    return briere_form(coldest, warmest, free_m=curve is Curve.BRIERE_2)


def _check_enough(curve: Curve, celsius: Array) -> None:
    wanted, many = PARAMETERS[curve], len(temperature_steps(celsius))
    if len(celsius) <= wanted:
        raise ValueError(
            f"{_NAMES[curve]} has {wanted} parameters and needs at least "
            f"{wanted + 1} points, not {len(celsius)}."
        )
    if many < wanted:
        raise ValueError(
            f"{_NAMES[curve]} needs at least {wanted} different temperatures, "
            f"not {many}."
        )
    if curve is not Curve.LACTIN_2 and not celsius.min() > 0:
        raise ValueError(
            f"{_NAMES[curve]} knows no development at 0 °C and below; "
            f"the coldest temperature is {celsius.min():g} °C."
        )


def _valleys(task: Task, starts: Iterable[Array]) -> list[Array]:
    """Return the distinct lowest points the starts lead to, the lowest first."""
    found = sorted((descend(task, start) for start in starts), key=lambda pair: pair[1])
    lowest: list[Array] = []
    for z, left in found:
        if math.isfinite(left) and not any(
            np.allclose(z, o, atol=0.05) for o in lowest
        ):
            lowest.append(z)
    if not lowest:
        raise ValueError("No curve of this kind comes near these data.")
    return lowest


def _check_hold(task: Task, best: Array) -> None:
    """Refuse a best fit that ran to where the curve means nothing."""
    coldest, warmest = float(task.celsius.min()), float(task.celsius.max())
    value = {name: one.value(best) for name, one in task.form.quantities.items()}
    t0, end, optimum = value["t0_c"], value["end_c"], value["optimum_c"]
    if t0 > coldest - _LEAST_ROOM_C:
        raise ValueError(
            f"The curve would start at {coldest:.3g} °C, the coldest temperature, "
            "though animals developed there; it does not suit these data."
        )
    if end < warmest + _LEAST_ROOM_C or value.get("m", 1.0) > _MOST_STEEP:
        raise ValueError(
            f"The curve would break off at {warmest:.3g} °C, the warmest temperature, "
            "though animals developed there; it does not suit these data."
        )
    if not end < warmest + _MOST_ROOM_C or optimum > warmest + _MOST_ROOM_C / 2:
        raise ValueError(
            f"Up to {warmest:.3g} °C the data show no slowing in the heat for a curve "
            "to hold on to; use the straight line, or add warmer temperatures."
        )
    if t0 < coldest - _MOST_ROOM_C or not coldest < optimum:
        raise ValueError(
            f"Down to {coldest:.3g} °C the data show no threshold for a curve to hold "
            "on to; use colder temperatures too."
        )


def _told(curve: Curve, task: Task, valleys: Sequence[Array]) -> CurveFit:
    n, form, best = len(task.rate), task.form, valleys[0]
    freedom, least = n - len(best), task.sum_left(best)
    most = least * (1 + student_t95(freedom) ** 2 / freedom)
    others = tuple(z for z in valleys[1:] if task.sum_left(z) <= most)
    found = {
        name: Profile(task, one, best, least, most, others).estimate()
        for name, one in form.quantities.items()
        if not math.isnan(one.value(best))
    }
    spread = float(((task.rate / task.mean - 1) ** 2).sum())
    return CurveFit(
        curve=curve,
        parameters={name: found[name] for name in form.names},
        t0_c=found.get("t0_c"),
        optimum_c=found["optimum_c"],
        end_c=found["end_c"],
        noise=task.mean * math.sqrt(least / freedom),
        r2=1 - least / spread,
        n=n,
        coldest_c=float(task.celsius.min()),
        warmest_c=float(task.celsius.max()),
    )
