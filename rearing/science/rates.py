"""Development rate as a straight line of temperature, and fitting T0 and K to data.

A rate is the part of a stage that passes in a day [1/d]; its reciprocal is the
stage's duration at that temperature [d]. Two lines can be fitted, with intervals.
Only temperatures on the straight part of the rate belong in a fit: near the upper
limit development slows and both lines tilt. The range used is part of the answer,
since T0 moves with it by a degree and more (data set A: 11.9 to 13.4 °C, computed).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from rearing.science.arrays import Numbers, floats, like

Array = NDArray[np.float64]


class Line(StrEnum):
    """Which straight line was laid through the data."""

    OLS = "ols"
    """Ordinary least squares of 1/D on T."""
    RMA = "rma"
    """Reduced major axis of D·T on D (Ikemoto & Takai)."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its 95 % interval; None where the data set no bound."""

    value: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class LineFit:
    """A fitted line and what it rests on.

    Attributes
    ----------
    line : Line
    t0_c : Estimate
        Threshold [°C].
    k_dd : Estimate
        Thermal constant [°C d].
    r2 : float
        Squared correlation of the two quantities the line runs through: 1/D and T
        for OLS, D·T and D for RMA. The two are not to be compared.
    n : int
        Points used.
    coldest_c, warmest_c : float
        Temperature range used [°C]; outside it the line is a guess.
    """

    line: Line
    t0_c: Estimate
    k_dd: Estimate
    r2: float
    n: int
    coldest_c: float
    warmest_c: float


def linear_rate(
    celsius: Numbers, *, t0_c: float, k_dd: float, upper_c: float | None = None
) -> Numbers:
    """Return the rate on a straight line from the threshold up.

    Parameters
    ----------
    celsius : float or NDArray, any shape
        Temperature [°C].
    t0_c : float
        Threshold: no development at or below it [°C].
    k_dd : float
        Thermal constant, above zero [°C d].
    upper_c : float, optional
        Development is no faster above it [°C].

    Returns
    -------
    float or NDArray, shape of `celsius`
        Rate [1/d], never negative; NaN where the temperature is.

    Raises
    ------
    ValueError
        `k_dd` not above zero, or `upper_c` not above `t0_c`.

    Notes
    -----
    ``r = max(0, min(T, upper) − T0) / K``. At a constant temperature a stage thus
    takes ``K / (T − T0)`` days (common practice, the linear degree-day model).

    Examples
    --------
    >>> round(1 / linear_rate(20.0, t0_c=10.0, k_dd=150.0), 6)
    15.0
    """
    if not k_dd > 0:
        raise ValueError(f"K must be above 0 degree-days, not {k_dd:g}.")
    if upper_c is not None and not upper_c > t0_c:
        raise ValueError(
            f"The upper limit ({upper_c:g} °C) must lie above T0 ({t0_c:g} °C)."
        )
    degrees = floats(celsius)
    if upper_c is not None:
        degrees = np.minimum(degrees, upper_c)
    return like(celsius, np.maximum(degrees - t0_c, 0.0) / k_dd)


def fit_ols(celsius: Array, days: Array) -> LineFit:
    """Fit 1/D on T by ordinary least squares.

    Parameters
    ----------
    celsius : NDArray, shape (n,)
        Constant rearing temperatures, three or more points [°C].
    days : NDArray, shape (n,)
        Duration of the stage at each [d].

    Returns
    -------
    LineFit
        With 95 % intervals.

    Raises
    ------
    ValueError
        Fewer than three points, values missing, temperatures all equal, a duration
        not above zero, or development that doesn't speed up with warmth.

    Notes
    -----
    ``1/D = a + b·T``, ``K = 1/b``, ``T0 = −a/b``. T0 is a ratio of two estimates and
    its interval lopsided, so Fieller's theorem is used, not the delta method; that of
    K is the reciprocal of the slope's. Where the slope itself may be zero (its 95 %
    interval reaches it), T0 has no bounds and K no upper one.

    Computed, 1,500 simulated fits each at 3 to 9 temperatures, T0 10, K 400: with
    equal scatter in the rates, 94–96 % of the intervals held T0 and K; with 3 or
    8 % scatter in the durations, 98–100 % held T0 and 92–97 % K.

    References
    ----------
    From memory: Fieller 1954, J. R. Stat. Soc. B 16:175–185.
    """
    temperature, duration = checked_durations(celsius, days)
    rate = 1.0 / duration
    n, middle = len(rate), float(temperature.mean())
    away = temperature - middle
    spread = float(away @ away)
    slope = float(away @ rate) / spread
    if np.ptp(duration) == 0 or not slope > 0:
        raise ValueError(
            "Development does not speed up with warmth in these data "
            f"(slope {slope:.3g} per day and °C), so they give no threshold."
        )
    left = rate - rate.mean() - slope * away
    noise = math.sqrt(float(left @ left) / (n - 2))
    t0_c = middle - float(rate.mean()) / slope
    doubt = student_t95(n - 2) * noise / math.sqrt(spread)
    low, high = _fieller(t0_c - middle, doubt / slope, spread, n)
    k_high = 1.0 / (slope - doubt) if slope > doubt else None
    return LineFit(
        Line.OLS,
        Estimate(
            t0_c,
            None if low is None else middle + low,
            None if high is None else middle + high,
        ),
        Estimate(1.0 / slope, 1.0 / (slope + doubt), k_high),
        _r2(temperature, rate),
        n,
        float(temperature.min()),
        float(temperature.max()),
    )


def fit_rma(celsius: Array, days: Array) -> LineFit:
    """Fit D·T on D by reduced major axis, the form of Ikemoto & Takai.

    Parameters, returns, errors: see `fit_ols`; also refused when the line gives no
    positive K.

    Notes
    -----
    ``D·T = K + T0·D``, ``T0 = sign(r)·sd(D·T)/sd(D)``, ``K = mean(D·T) − T0·mean(D)``.
    It gives long, cold durations less sway over T0 than the reciprocals do.

    Intervals are analytic: ``T0·(√(B + 1) ± √B)`` with ``B = t²(1 − r²)/(n − 2)`` for
    the slope, and a normal one for K from the scatter about the line and the slope's
    standard error. They believe that scatter grows with duration. Computed, same
    simulations as in `fit_ols`: with 3 or 8 % scatter in the durations 93–96 % of
    them held T0 and 94–96 % K (a jackknife 94–98 and 96–98 %, at four points and
    more and up to nearly twice as wide); with *equal scatter in the rates* only
    58–86 % held T0 and 83–94 % K: the cold points then carry more doubt than this
    line believes, and the interval of `fit_ols` is the one to read.

    References
    ----------
    From memory: Ikemoto & Takai 2000, Environ. Entomol. 29:671–682; the slope's
    interval as in Warton et al. 2006, Biol. Rev. 81:259–291.
    """
    temperature, duration = checked_durations(celsius, days)
    product = duration * temperature
    n = len(duration)
    if np.ptp(duration) == 0:
        raise ValueError(
            "All durations are equal, so the data give no threshold; "
            "development should be faster where it is warmer."
        )
    if not _correlation(temperature, 1.0 / duration) > 0:
        raise ValueError(
            "Development does not speed up with warmth in these data, "
            "so they give no threshold."
        )
    r = _correlation(duration, product)
    t0_c = math.copysign(float(product.std() / duration.std()), r)
    k_dd = float(product.mean()) - t0_c * float(duration.mean())
    if not k_dd > 0:
        raise ValueError(
            f"The line gives K = {k_dd:.3g} degree-days at T0 = {t0_c:.3g} °C; "
            "K must be above 0."
        )
    return LineFit(
        Line.RMA,
        _slope_interval(t0_c, r, n),
        _k_interval(k_dd, t0_c, duration, product),
        r * r,
        n,
        float(temperature.min()),
        float(temperature.max()),
    )


def checked_durations(celsius: Array, days: Array) -> tuple[Array, Array]:
    """Return temperatures [°C] and durations [d] as arrays a fit can be made to.

    Raises
    ------
    ValueError
        Different numbers of either, fewer than three, values missing, durations not
        above zero, or one temperature alone.
    """
    temperature = np.asarray(celsius, dtype=np.float64)
    duration = np.asarray(days, dtype=np.float64)
    if temperature.ndim != 1 or temperature.shape != duration.shape:
        raise ValueError(
            f"{temperature.size} temperatures don't match {duration.size} durations."
        )
    if len(temperature) < 3:
        raise ValueError(
            f"A line with intervals needs at least 3 points, not {len(temperature)}."
        )
    for name, values in (("temperature", temperature), ("duration", duration)):
        if not np.isfinite(values).all():
            at = int(np.argmin(np.isfinite(values)))
            raise ValueError(f"The {name} of point {at + 1} is missing or no number.")
    if (duration <= 0).any():
        at = int(np.argmax(duration <= 0))
        raise ValueError(
            f"The duration of point {at + 1} is {duration[at]:g} days; "
            "it must be above 0."
        )
    if np.ptp(temperature) == 0:
        raise ValueError(
            f"All temperatures are {temperature[0]:g} °C; "
            "a threshold needs at least two different ones."
        )
    return temperature, duration


def student_t95(freedom: int) -> float:
    """Return Student's t that 97.5 % lie below, at so many degrees of freedom."""
    # Imported here: scipy.special is not needed to open a window.
    from scipy.special import stdtrit

    return float(stdtrit(freedom, 0.975))


def _correlation(one: Array, other: Array) -> float:
    a, b = one - one.mean(), other - other.mean()
    norm = math.sqrt(float(a @ a) * float(b @ b))
    return float(a @ b) / norm if norm > 0 else 0.0


def _r2(one: Array, other: Array) -> float:
    return _correlation(one, other) ** 2


def _fieller(
    from_middle: float, doubt: float, spread: float, n: int
) -> tuple[float | None, float | None]:
    """Return the bounds of T0 as distances from the mean temperature.

    `doubt` is the half width of the slope's 95 % interval over the slope: at 1 and
    above the slope may be zero, and T0 anywhere.
    """
    g = doubt * doubt
    if g >= 1:
        return None, None
    half = doubt * math.sqrt((1 - g) * spread / n + from_middle**2)
    return (from_middle - half) / (1 - g), (from_middle + half) / (1 - g)


def _slope_interval(t0_c: float, r: float, n: int) -> Estimate:
    b = student_t95(n - 2) ** 2 * max(1 - r * r, 0.0) / (n - 2)
    wide, narrow = math.sqrt(b + 1) + math.sqrt(b), math.sqrt(b + 1) - math.sqrt(b)
    low, high = sorted((t0_c * narrow, t0_c * wide))
    return Estimate(t0_c, low, high)


def _k_interval(k_dd: float, t0_c: float, duration: Array, product: Array) -> Estimate:
    n = len(duration)
    left = product - k_dd - t0_c * duration
    r = _correlation(duration, product)
    slope_variance = t0_c**2 * max(1 - r * r, 0.0) / (n - 2)
    variance = float(left @ left) / (n - 2) / n
    doubt = student_t95(n - 2) * math.sqrt(
        variance + duration.mean() ** 2 * slope_variance
    )
    # K is above zero by its nature; the normal interval may not know that.
    return Estimate(k_dd, max(k_dd - doubt, 0.0), k_dd + doubt)
