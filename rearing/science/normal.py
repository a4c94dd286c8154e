"""The normal distribution, in NumPy alone: the window opens before SciPy is read."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

_ROOT_HALF = np.sqrt(0.5)
_ROOT_PI = np.sqrt(np.pi)
_SMALL, _MIDDLE = 0.46875, 4.0

# Coefficients of W. J. Cody (1969), highest power last but for the leading one;
# from memory, checked against SciPy in tests/science/test_normal.py.
_A = (
    3.16112374387056560e0,
    1.13864154151050156e2,
    3.77485237685302021e2,
    3.20937758913846947e3,
    1.85777706184603153e-1,
)
_B = (
    2.36012909523441209e1,
    2.44024637934444173e2,
    1.28261652607737228e3,
    2.84423683343917062e3,
)
_C = (
    5.64188496988670089e-1,
    8.88314979438837594e0,
    6.61191906371416295e1,
    2.98635138197400131e2,
    8.81952221241769090e2,
    1.71204761263407058e3,
    2.05107837782607147e3,
    1.23033935479799725e3,
    2.15311535474403846e-8,
)
_D = (
    1.57449261107098347e1,
    1.17693950891312499e2,
    5.37181101862009858e2,
    1.62138957456669019e3,
    3.29079923573345963e3,
    4.36261909014324716e3,
    3.43936767414372164e3,
    1.23033935480374942e3,
)
_P = (
    3.05326634961232344e-1,
    3.60344899949804439e-1,
    1.25781726111229246e-1,
    1.60837851487422766e-2,
    6.58749161529837803e-4,
    1.63153871373020978e-2,
)
_Q = (
    2.56852019228982242e0,
    1.87295284992346725e0,
    5.27905102951428412e-1,
    6.05183413124413191e-2,
    2.33520497626869185e-3,
)

# Coefficients of M. J. Wichura (1988), AS 241, PPND16, constant first; the same ones
# are in CPython's statistics.NormalDist, against which they are checked.
_CENTRE = (
    (
        3.3871328727963666080e0,
        1.3314166789178437745e2,
        1.9715909503065514427e3,
        1.3731693765509461125e4,
        4.5921953931549871457e4,
        6.7265770927008700853e4,
        3.3430575583588128105e4,
        2.5090809287301226727e3,
    ),
    (
        1.0,
        4.2313330701600911252e1,
        6.8718700749205790830e2,
        5.3941960214247511077e3,
        2.1213794301586595867e4,
        3.9307895800092710610e4,
        2.8729085735721942674e4,
        5.2264952788528545610e3,
    ),
)
_TAIL = (
    (
        1.42343711074968357734e0,
        4.63033784615654529590e0,
        5.76949722146069140550e0,
        3.64784832476320460504e0,
        1.27045825245236838258e0,
        2.41780725177450611770e-1,
        2.27238449892691845833e-2,
        7.74545014278341407640e-4,
    ),
    (
        1.0,
        2.05319162663775882187e0,
        1.67638483018380384940e0,
        6.89767334985100004550e-1,
        1.48103976427480074590e-1,
        1.51986665636164571966e-2,
        5.47593808499534494600e-4,
        1.05075007164441684324e-9,
    ),
)
_FAR_TAIL = (
    (
        6.65790464350110377720e0,
        5.46378491116411436990e0,
        1.78482653991729133580e0,
        2.96560571828504891230e-1,
        2.65321895265761230930e-2,
        1.24266094738807843860e-3,
        2.71155556874348757815e-5,
        2.01033439929228813265e-7,
    ),
    (
        1.0,
        5.99832206555887937690e-1,
        1.36929880922735805310e-1,
        1.48753612908506148525e-2,
        7.86869131145613259100e-4,
        1.84631831751005468180e-5,
        1.42151175831644588870e-7,
        2.04426310338993978564e-15,
    ),
)


def ndtr(z: ArrayLike) -> NDArray[np.float64]:
    """Return the share of a standard normal below z.

    Parameters
    ----------
    z : array_like
        Standard scores [1]; NaN stays NaN.

    Returns
    -------
    NDArray, shape of z
        Probability, 0 to 1.

    References
    ----------
    W. J. Cody (1969), Rational Chebyshev approximations for the error function,
    Mathematics of Computation 23, 631-637.
    """
    x = np.asarray(z, dtype=np.float64) * _ROOT_HALF
    far = np.abs(x)
    half = np.empty_like(far)
    small = far <= _SMALL
    middle = (far > _SMALL) & (far <= _MIDDLE)
    large = ~small & ~middle
    near = far[small]
    half[small] = 0.5 - 0.5 * near * _ratio(near * near, _A, _B)
    half[middle] = _half_beyond(far[middle])
    half[large] = _half_far_beyond(far[large])
    return np.asarray(np.where(x > 0, 1.0 - half, half))


def _ratio(
    x: NDArray[np.float64], over: tuple[float, ...], under: tuple[float, ...]
) -> NDArray[np.float64]:
    """Evaluate a Cody ratio: the last coefficient above leads, x^n leads below."""
    top, bottom = over[-1] * x, x
    for a, b in zip(over[:-2], under[:-1], strict=True):
        top, bottom = (top + a) * x, (bottom + b) * x
    return np.asarray((top + over[-2]) / (bottom + under[-1]))


def _gauss(y: NDArray[np.float64]) -> NDArray[np.float64]:
    """exp(-y²) with y² split, since its rounding would be multiplied."""
    whole = np.trunc(y * 16.0) / 16.0
    return np.asarray(np.exp(-whole * whole) * np.exp(-(y - whole) * (y + whole)))


def _half_beyond(y: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(0.5 * _gauss(y) * _ratio(y, _C, _D))


def _half_far_beyond(y: NDArray[np.float64]) -> NDArray[np.float64]:
    with np.errstate(over="ignore", under="ignore", invalid="ignore"):
        inverse = 1.0 / (y * y)
        series = inverse * _ratio(inverse, _P, _Q)
        beyond = _gauss(y) * (1.0 / _ROOT_PI - series) / y
    return np.asarray(np.where(np.isinf(y), 0.0, 0.5 * beyond))


def ndtri(share: ArrayLike) -> NDArray[np.float64]:
    """Return the standard score below which a share of a normal lies.

    Parameters
    ----------
    share : array_like
        Probability, 0 to 1; 0 gives -inf, 1 gives inf, anything else outside NaN.

    Returns
    -------
    NDArray, shape of share
        Standard scores [1].

    References
    ----------
    M. J. Wichura (1988), Algorithm AS 241, Applied Statistics 37, 477-484.
    """
    p = np.asarray(share, dtype=np.float64)
    q = p - 0.5
    central = np.abs(q) <= 0.425
    found = np.empty_like(q)
    inner = q[central]
    found[central] = inner * _rational(0.180625 - inner * inner, _CENTRE)
    outer = np.where(q[~central] < 0, p[~central], 1.0 - p[~central])
    with np.errstate(divide="ignore", invalid="ignore"):
        r = np.sqrt(-np.log(outer))
        away = np.where(
            r <= 5.0, _rational(r - 1.6, _TAIL), _rational(r - 5.0, _FAR_TAIL)
        )
    away = np.where(outer == 0.0, np.inf, away)
    found[~central] = np.where(q[~central] < 0, -away, away)
    return found


def _rational(
    x: NDArray[np.float64], terms: tuple[tuple[float, ...], tuple[float, ...]]
) -> NDArray[np.float64]:
    over, under = (np.full_like(x, side[-1]) for side in terms)
    for a, b in zip(terms[0][-2::-1], terms[1][-2::-1], strict=True):
        over, under = over * x + a, under * x + b
    return np.asarray(over / under)
