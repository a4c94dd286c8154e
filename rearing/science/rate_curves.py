"""Development rates that bend: curves that slow down and stop in great heat.

No curve has a published set of parameters for a moth that we could see, so none is
given here as a default.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rearing.science.arrays import Numbers, floats, like

Array = NDArray[np.float64]


def briere_1(celsius: Numbers, *, a: float, t0_c: float, limit_c: float) -> Numbers:
    """Return the rate on Brière's first curve.

    Parameters
    ----------
    celsius : float or NDArray, any shape
        Temperature [°C].
    a : float
        Scale, above zero [°C^-2.5 / d].
    t0_c, limit_c : float
        Temperatures below and above which nothing develops [°C].

    Returns
    -------
    float or NDArray, shape of `celsius`
        Rate [1/d], 0 outside ``t0_c .. limit_c``; NaN where the temperature is.

    Raises
    ------
    ValueError
        `a` not above zero, or `limit_c` not above `t0_c`.

    Notes
    -----
    ``r = a·T·(T − T0)·√(TL − T)``. Below 0 °C the first factor would turn the sign,
    so the curve starts at the warmer of T0 and 0 °C.

    References
    ----------
    From memory: Brière et al. 1999, Environ. Entomol. 28:22–29.
    """
    return briere_2(celsius, a=a, t0_c=t0_c, limit_c=limit_c, m=2.0)


def briere_2(
    celsius: Numbers, *, a: float, t0_c: float, limit_c: float, m: float
) -> Numbers:
    """Return the rate on Brière's second curve, whose fall has its own steepness.

    Parameters, returns, errors: see `briere_1`; `m` [1] above zero, 2 gives
    `briere_1`; the larger, the steeper the fall at the limit.

    Notes
    -----
    ``r = a·T·(T − T0)·(TL − T)^(1/m)``.

    References
    ----------
    From memory: Brière et al. 1999, Environ. Entomol. 28:22–29.
    """
    _check_briere(t0_c, limit_c, m)
    if not a > 0:
        raise ValueError(f"The scale a must be above 0, not {a:g}.")
    # Held at the ends, where one factor is zero: nothing develops beyond them.
    held = np.clip(floats(celsius), max(t0_c, 0.0), limit_c)
    rate = a * held * (held - t0_c) * (limit_c - held) ** (1.0 / m)
    return like(celsius, rate)


def briere_1_optimum_c(*, t0_c: float, limit_c: float) -> float:
    """Return the temperature of the highest rate on Brière's first curve [°C].

    Notes
    -----
    ``[4·TL + 3·T0 + √(16·TL² + 9·T0² − 16·T0·TL)] / 10``, where the derivative of
    `briere_1` is zero.
    """
    return briere_2_optimum_c(t0_c=t0_c, limit_c=limit_c, m=2.0)


def briere_2_optimum_c(*, t0_c: float, limit_c: float, m: float) -> float:
    """Return the temperature of the highest rate on Brière's second curve [°C].

    Notes
    -----
    ``[2m·TL + (m+1)·T0 + √(4m²·TL² + (m+1)²·T0² − 4m²·T0·TL)] / (4m + 2)``, where the
    derivative of `briere_2` is zero.
    """
    _check_briere(t0_c, limit_c, m)
    root = math.sqrt(
        4 * m**2 * limit_c**2 + (m + 1) ** 2 * t0_c**2 - 4 * m**2 * t0_c * limit_c
    )
    return (2 * m * limit_c + (m + 1) * t0_c + root) / (4 * m + 2)


def _check_briere(t0_c: float, limit_c: float, m: float) -> None:
    if not limit_c > t0_c:
        raise ValueError(
            f"The upper limit ({limit_c:g} °C) must lie above T0 ({t0_c:g} °C)."
        )
    if not limit_c > 0:
        raise ValueError(f"The upper limit must lie above 0 °C, not at {limit_c:g}.")
    if not m > 0:
        raise ValueError(f"The steepness m must be above 0, not {m:g}.")


def lactin_2(
    celsius: Numbers, *, rho: float, limit_c: float, delta_c: float, shift: float
) -> Numbers:
    """Return the rate on Lactin's second curve, which crosses zero at both ends.

    Parameters
    ----------
    celsius : float or NDArray, any shape
        Temperature [°C].
    rho : float
        Growth of the rate with temperature, above zero [1/°C].
    limit_c : float
        Temperature scale at which the fall is complete (Tm) [°C].
    delta_c : float
        Width of the fall below it, above zero [°C].
    shift : float
        λ, which lets the curve meet zero in the cold; usually negative [1/d].

    Returns
    -------
    float or NDArray, shape of `celsius`
        Rate [1/d], 0 where the curve lies below zero; NaN where the temperature is.

    Raises
    ------
    ValueError
        `rho` or `delta_c` not above zero.

    Notes
    -----
    ``r = exp(ρT) − exp(ρTm − (Tm − T)/Δ) + λ``.

    References
    ----------
    From memory: Lactin et al. 1995, Environ. Entomol. 24:68–75.
    """
    _check_lactin(rho, delta_c)
    # Far above the limit the fall overflows; it is below zero long before that.
    degrees = np.minimum(floats(celsius), limit_c + 20 * delta_c)
    fall = np.exp(rho * limit_c - (limit_c - degrees) / delta_c)
    return like(celsius, np.maximum(np.exp(rho * degrees) - fall + shift, 0.0))


def lactin_2_optimum_c(*, rho: float, limit_c: float, delta_c: float) -> float:
    """Return the temperature of the highest rate on Lactin's second curve [°C].

    Raises
    ------
    ValueError
        ``rho·delta_c`` is 1 or more: the curve then has no summit.

    Notes
    -----
    ``Tm + Δ·ln(ρΔ) / (1 − ρΔ)``, where the derivative of `lactin_2` is zero.
    """
    _check_lactin(rho, delta_c)
    product = rho * delta_c
    if product >= 1:
        raise ValueError(
            f"rho × delta must be below 1 for a summit, not {product:g} "
            f"({rho:g} per °C × {delta_c:g} °C)."
        )
    return limit_c + delta_c * math.log(product) / (1 - product)


def _check_lactin(rho: float, delta_c: float) -> None:
    if not rho > 0:
        raise ValueError(f"rho must be above 0 per °C, not {rho:g}.")
    if not delta_c > 0:
        raise ValueError(f"delta must be above 0 °C, not {delta_c:g}.")
