"""The bent rate curves as something to fit: free coordinates, starts, quantities.

A curve is fitted in coordinates that cannot leave its sense: animals developed at
every temperature reared at, so the threshold lies below the coldest and the end above
the warmest. Each quantity that is to have an interval names the coordinate it can
stand in for, so that the curve can be fitted with that quantity held.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rearing.science.rate_curves import briere_2_optimum_c

Array = NDArray[np.float64]
Solve = Callable[[Array, float], float]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A figure of a curve: read from its coordinates, or put in place of one.

    Attributes
    ----------
    value : callable
        Coordinates, shape (p,) -> the figure; NaN where the curve has none.
    pivot : int
        Which coordinate `solve` gives back when the figure is held.
    solve : callable
        (coordinates, figure) -> that coordinate; NaN where there is none.
    low, high : float
        Where the search for a bound ends; beyond, the data set none.
    sharp_low, sharp_high : bool
        True where that end is itself a bound that the rearing set.
    by_ratio : bool
        True for a figure above zero, searched by ratio.
    """

    value: Callable[[Array], float]
    pivot: int
    solve: Solve
    low: float = -math.inf
    high: float = math.inf
    sharp_low: bool = False
    sharp_high: bool = False
    by_ratio: bool = False


@dataclass(frozen=True, slots=True)
class Form:
    """A curve to be fitted to rates between a coldest and a warmest temperature.

    Attributes
    ----------
    names : tuple of str
        Its parameters, as its function in `rate_curves` calls them.
    rates : callable
        (temperatures (n,), coordinates (p,)) -> rates (n,), below zero too.
    starts : callable
        (temperatures, rates) -> coordinates worth starting from, shape (k, p), the
        most promising first.
    quantities : mapping
        Parameters and landmarks (``t0_c``, ``optimum_c``, ``end_c``) by name.
    """

    names: tuple[str, ...]
    rates: Callable[[Array, Array], Array]
    starts: Callable[[Array, Array], Array]
    quantities: Mapping[str, Quantity]


_COLD_REACH_C, _WARM_REACH_C = 60.0, 60.0
_FAR_BELOW_C = np.geomspace(0.3, 25.0, 16)
_FAR_ABOVE_C = np.geomspace(0.15, 20.0, 16)
_STEEPNESS = np.array([0.8, 1.3, 2.0, 3.5, 6.0, 12.0])


def briere_form(coldest_c: float, warmest_c: float, *, free_m: bool) -> Form:
    """Return Brière's first curve, or with `free_m` his second, as a form to fit.

    Coordinates: ``ln a``, ``ln(coldest − T0)``, ``ln(TL − warmest)``, and
    ``ln m`` where it is free.
    """

    def steepness(z: Array) -> float:
        return math.exp(z[3]) if free_m else 2.0

    def t0(z: Array) -> float:
        return coldest_c - math.exp(z[1])

    def limit(z: Array) -> float:
        return warmest_c + math.exp(z[2])

    def rates(celsius: Array, z: Array) -> Array:
        room = np.maximum(limit(z) - celsius, 0.0)
        power: Array = room ** (1.0 / steepness(z))
        return np.asarray(math.exp(z[0]) * celsius * (celsius - t0(z)) * power)

    def starts(celsius: Array, rate: Array) -> Array:
        return _briere_starts(celsius, rate, free_m=free_m)

    def optimum(z: Array) -> float:
        return briere_2_optimum_c(t0_c=t0(z), limit_c=limit(z), m=steepness(z))

    def limit_of_optimum(z: Array, best_c: float) -> float:
        # Where the derivative is zero: (TL − T)·(1/T + 1/(T − T0)) = 1/m.
        if best_c <= max(t0(z), 0.0):
            return math.nan
        above = 1 / best_c + 1 / (best_c - t0(z))
        return _ln(best_c + 1 / (steepness(z) * above) - warmest_c)

    quantities = {
        "a": _logarithm(0),
        "t0_c": _below(t0, 1, coldest_c),
        "limit_c": _above(limit, 2, warmest_c),
        "optimum_c": _between(optimum, 2, limit_of_optimum, coldest_c, warmest_c),
    }
    quantities["end_c"] = quantities["limit_c"]
    names: tuple[str, ...] = ("a", "t0_c", "limit_c")
    if free_m:
        quantities["m"] = _logarithm(3)
        names = (*names, "m")
    return Form(names, rates, starts, quantities)


def lactin_form(coldest_c: float, warmest_c: float) -> Form:
    """Return Lactin's second curve as a form to fit.

    Coordinates: ``ln ρ``, ``Tm``, ``ln(1/Δ − ρ)``, ``λ``. The third keeps the fall
    steeper than the rise, without which the curve has no summit.
    """
    quantities = {
        "rho": _logarithm(0),
        "limit_c": Quantity(
            lambda z: float(z[1]),
            1,
            lambda _, c: c,
            coldest_c - _COLD_REACH_C,
            warmest_c + _WARM_REACH_C,
        ),
        "delta_c": Quantity(
            _lactin_delta, 2, lambda z, c: _ln(1 / c - math.exp(z[0])), by_ratio=True
        ),
        "shift": Quantity(lambda z: float(z[3]), 3, lambda _, c: c, -3.0, 3.0),
        "t0_c": _below(_lactin_t0, 3, coldest_c, _shift_of_zero),
        "end_c": _above(_lactin_end, 3, warmest_c, _shift_of_zero),
        "optimum_c": _between(_lactin_optimum, 1, _tm_of_optimum, coldest_c, warmest_c),
    }
    names = ("rho", "limit_c", "delta_c", "shift")
    return Form(names, _lactin_rates, _lactin_starts, quantities)


def _logarithm(at: int) -> Quantity:
    return Quantity(lambda z: math.exp(z[at]), at, lambda _, c: _ln(c), by_ratio=True)


def _below(
    value: Callable[[Array], float],
    pivot: int,
    coldest_c: float,
    solve: Solve | None = None,
) -> Quantity:
    return Quantity(
        value,
        pivot,
        solve or (lambda _, c: _ln(coldest_c - c)),
        coldest_c - _COLD_REACH_C,
        coldest_c,
        sharp_high=True,
    )


def _above(
    value: Callable[[Array], float],
    pivot: int,
    warmest_c: float,
    solve: Solve | None = None,
) -> Quantity:
    return Quantity(
        value,
        pivot,
        solve or (lambda _, c: _ln(c - warmest_c)),
        warmest_c,
        warmest_c + _WARM_REACH_C,
        sharp_low=True,
    )


def _between(
    value: Callable[[Array], float],
    pivot: int,
    solve: Solve,
    coldest_c: float,
    warmest_c: float,
) -> Quantity:
    return Quantity(
        value, pivot, solve, coldest_c - _COLD_REACH_C, warmest_c + _WARM_REACH_C
    )


def _ln(value: float) -> float:
    return math.log(value) if value > 0 else math.nan


def _briere_starts(celsius: Array, rate: Array, *, free_m: bool) -> Array:
    """Return the best points of a coarse grid, with the scale that suits each best."""
    steepness = _STEEPNESS if free_m else np.array([2.0])
    below, above, m = (
        axis.ravel()
        for axis in np.meshgrid(_FAR_BELOW_C, _FAR_ABOVE_C, steepness, indexing="ij")
    )
    t0 = celsius.min() - below[:, None]
    room = celsius.max() + above[:, None] - celsius
    shape = celsius * (celsius - t0) * room ** (1.0 / m[:, None])
    scale = (shape @ rate) / (shape * shape).sum(axis=1)
    rising = scale > 0
    columns = [scale, below, above, m] if free_m else [scale, below, above]
    points = np.log(np.column_stack(columns)[rising])
    return _best(points, (shape * scale[:, None])[rising], rate)


def _best(points: Array, predicted: Array, rate: Array, most: int = 6) -> Array:
    """Return the points whose rates lie nearest, and that are not close neighbours."""
    left = ((predicted - rate) ** 2).sum(axis=1)
    left[~np.isfinite(left)] = np.inf
    chosen: list[Array] = []
    for at in np.argsort(left)[:400]:
        if np.isinf(left[at]):
            break
        if all(np.abs(points[at] - other).max() > 0.7 for other in chosen):
            chosen.append(points[at])
        if len(chosen) == most:
            break
    return np.array(chosen)


def _lactin_rates(celsius: Array, z: Array) -> Array:
    rho, steeper = math.exp(z[0]), math.exp(z[2])
    # exp(ρT) − exp(ρTm − (Tm − T)/Δ) + λ, with 1/Δ = ρ + steeper, in a form that
    # keeps its digits where the two exponentials nearly cancel.
    away = np.minimum(steeper * (celsius - z[1]), 60.0)
    return np.asarray(-np.exp(np.minimum(rho * celsius, 60.0)) * np.expm1(away) + z[3])


def _lactin_starts(celsius: Array, rate: Array) -> Array:
    slope = float(np.polyfit(celsius, rate, 1)[0])
    rising = np.geomspace(max(abs(slope), 1e-4) / 8, 0.35, 20)
    limits = celsius.max() + np.array([-1.0, 0.5, 1.5, 3.0, 5.0, 8.0, 13.0, 20.0])
    steeper = np.geomspace(5e-4, 6.0, 20)
    rho, tm, steep = (
        axis.ravel() for axis in np.meshgrid(rising, limits, steeper, indexing="ij")
    )
    away = np.minimum(steep[:, None] * (celsius - tm[:, None]), 60.0)
    shape = -np.exp(rho[:, None] * celsius) * np.expm1(away)
    shift = (rate - shape).mean(axis=1)
    points = np.column_stack([np.log(rho), tm, np.log(steep), shift])
    predicted = shape + shift[:, None]
    # Two families of curves: a nearly straight rise with a sudden fall, and two
    # exponentials that nearly cancel. The data may suit both.
    sudden = steep > 0.06
    return np.concatenate(
        [_best(points[of], predicted[of], rate, most=4) for of in (sudden, ~sudden)]
    )


def _lactin_delta(z: Array) -> float:
    return 1.0 / (math.exp(z[0]) + math.exp(z[2]))


def _lactin_optimum(z: Array) -> float:
    # Tm + Δ·ln(ρΔ)/(1 − ρΔ), in a form that keeps its digits where ρΔ nears 1.
    steeper = math.exp(z[2])
    return float(z[1]) - math.log1p(steeper / math.exp(z[0])) / steeper


def _tm_of_optimum(z: Array, best_c: float) -> float:
    return best_c - (_lactin_optimum(z) - float(z[1]))


def _shift_of_zero(z: Array, zero_c: float) -> float:
    bare = np.array([z[0], z[1], z[2], 0.0])
    return -float(_lactin_rates(np.array([zero_c]), bare)[0])


def _lactin_t0(z: Array) -> float:
    """Return where the curve rises through zero; NaN where it never does."""
    best = _lactin_optimum(z)
    return _zero(z, best, best - 4 * _COLD_REACH_C)


def _lactin_end(z: Array) -> float:
    best = _lactin_optimum(z)
    return _zero(z, best, best + 4 * _WARM_REACH_C)


def _zero(z: Array, best_c: float, far_c: float) -> float:
    from scipy.optimize import brentq

    def rate(celsius: float) -> float:
        return float(_lactin_rates(np.array([celsius]), z)[0])

    if not rate(far_c) < 0 < rate(best_c):
        return math.nan
    return float(brentq(rate, best_c, far_c, xtol=1e-10))
