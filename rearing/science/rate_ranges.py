"""How T0 and K move with the temperature range a straight line is fitted to.

A line fits only the straight part of the rate, and where that ends is a matter of
judgement: the same data give another T0 for every range. All of them side by side say
how much of a threshold is data and how much is choice.
"""

from __future__ import annotations

from dataclasses import dataclass

from rearing.science.rates import (
    Array,
    LineFit,
    checked_durations,
    fit_ols,
    fit_rma,
)

LEAST_TEMPERATURES = 3
SAME_C = 0.5
"""Temperatures less than this apart count as one: no logger tells them from each other
in a room, and a line through their scatter would be steep or flat by chance."""


@dataclass(frozen=True, slots=True)
class RangeFit:
    """Both lines through the points of one range of temperatures.

    Attributes
    ----------
    coldest_c, warmest_c : float
        Ends of the range, both used [°C].
    n : int
        Points within it.
    ols, rma : LineFit or None
        None where the points give no line.
    refused : str
        Why a line is missing; empty when both were fitted.
    """

    coldest_c: float
    warmest_c: float
    n: int
    ols: LineFit | None
    rma: LineFit | None
    refused: str = ""


def temperature_steps(celsius: Array) -> tuple[tuple[float, float], ...]:
    """Return the different temperatures among some, each as its lowest and highest.

    Parameters
    ----------
    celsius : NDArray, shape (n,)
        In any order, without holes [°C].

    Returns
    -------
    tuple of (float, float)
        From the coldest step to the warmest; a step holds what lies less than
        `SAME_C` above its lowest temperature.

    Examples
    --------
    >>> import numpy as np
    >>> temperature_steps(np.array([20.3, 18.0, 20.1]))
    ((18.0, 18.0), (20.1, 20.3))
    """
    steps: list[tuple[float, float]] = []
    for one in sorted(celsius.tolist()):
        if steps and one - steps[-1][0] < SAME_C:
            steps[-1] = (steps[-1][0], one)
        else:
            steps.append((one, one))
    return tuple(steps)


def fits_by_range(celsius: Array, days: Array) -> tuple[RangeFit, ...]:
    """Fit both lines to every unbroken run of three or more temperatures.

    Parameters
    ----------
    celsius : NDArray, shape (n,)
        Constant rearing temperatures; the same one may come more than once, and those
        of one step (`temperature_steps`) stay together [°C].
    days : NDArray, shape (n,)
        Duration of the stage at each [d].

    Returns
    -------
    tuple of RangeFit
        The widest run first, of equally many temperatures the coldest first; empty
        with fewer than three different temperatures.

    Raises
    ------
    ValueError
        As `rates.fit_ols`, for what is wrong with the data as a whole: values
        missing, a duration not above zero.

    Notes
    -----
    From data set A (*Spodoptera frugiperda*, Moon et al. 2022, Korean J. Appl.
    Entomol. 61(2):349–356) T0 by OLS is 11.9 °C from all six temperatures, 12.8
    from 18–30 and 13.4 from 18–27 °C (computed).
    """
    temperature, duration = checked_durations(celsius, days)
    steps = temperature_steps(temperature)
    runs = [
        (steps[first][0], steps[first + many - 1][1])
        for many in range(len(steps), LEAST_TEMPERATURES - 1, -1)
        for first in range(len(steps) - many + 1)
    ]
    return tuple(_fit_within(temperature, duration, low, high) for low, high in runs)


def _fit_within(celsius: Array, days: Array, low: float, high: float) -> RangeFit:
    used = (celsius >= low) & (celsius <= high)
    fits: list[LineFit | None] = []
    refused = ""
    for fit in (fit_ols, fit_rma):
        try:
            fits.append(fit(celsius[used], days[used]))
        except ValueError as wrong:
            fits.append(None)
            refused = refused or str(wrong)
    return RangeFit(low, high, int(used.sum()), fits[0], fits[1], refused)
