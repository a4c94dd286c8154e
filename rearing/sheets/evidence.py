"""From recorded thermal values or durations to a threshold and constant with spread."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log, sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.sheets.broad import BroadPrior
    from rearing.sheets.sheet import Duration, Evidence, Figure, StageSheet, Thermal

WARM_C = 25.0
"""Where data sets of one species are compared for their days [°C]."""

EIGHTY = 2 * 1.2816
"""Standard deviations between the ends of an 80 % range of a normal distribution."""

_PRIOR_ROWS = 2
"""Weight, in data sets, of the usual spread within a species beside the spread seen."""

_CLEAR_C = 2.0
"""A threshold lies at least this far below any temperature at which a stage was seen
to be completed."""

_NODES = 61


@dataclass(frozen=True, slots=True)
class Need:
    """A stage's need of heat: ln K is normal about a line in the threshold T0."""

    t0_c: float
    t0_sd_c: float
    ln_k: float
    ln_k_per_c: float
    ln_k_sd: float
    upper_c: float | None = None


@dataclass(frozen=True, slots=True)
class Witness:
    """Rows that speak of a stage, or of a whole of which it is a share."""

    rows: StageSheet
    share: float = 1.0
    is_default: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """What was made of the best witness."""

    need: Need
    evidence: Evidence
    witness: Witness
    prior: BroadPrior


def from_thermal(rows: Sequence[Thermal], prior: BroadPrior) -> Need:
    """Pool published pairs of threshold and constant of one stage.

    Pairs of one species trade threshold against constant so that they agree about
    the days in the warm; so their days at 25 °C are pooled, and K follows T0 to
    keep those days. The spread is the row's own where it states one, else that
    between data sets of one species, weighted with what the rows show.
    """
    t0s = [row.t0_c for row in rows]
    ln_days = [log(row.k_dd / (WARM_C - row.t0_c)) for row in rows]
    t0_c = sum(t0s) / len(t0s)
    stated_t0 = rows[0].t0_sd_c if len(rows) == 1 else None
    stated_k = rows[0].k_spread if len(rows) == 1 else None
    uppers = [row.upper_c for row in rows if row.upper_c is not None]
    return Need(
        t0_c=t0_c,
        t0_sd_c=stated_t0 or _pooled_sd(t0s, prior.within_t0_sd_c),
        ln_k=sum(ln_days) / len(ln_days) + log(WARM_C - t0_c),
        ln_k_per_c=-1 / (WARM_C - t0_c),
        ln_k_sd=stated_k or _pooled_sd(ln_days, prior.within_ln_days_sd),
        upper_c=sum(uppers) / len(uppers) if uppers else None,
    )


def _pooled_sd(values: Sequence[float], usual: float) -> float:
    mean = sum(values) / len(values)
    seen = sum((value - mean) ** 2 for value in values)
    free = len(values) - 1 + _PRIOR_ROWS
    return sqrt((seen + _PRIOR_ROWS * usual**2) / free)


def from_durations(
    rows: Sequence[Duration],
    t0_prior: tuple[float, float],
    floor: float,
    assumed_c: Figure,
) -> Need:
    """Find the constant that gives the recorded days, for each threshold in turn.

    One duration says nothing of the threshold, which keeps its prior (mean and
    spread); with two temperatures or more the thresholds that make the rows agree
    gain weight. K moves with T0 so that the recorded days stay as they are. A range
    of days is taken as an 80 % range, never narrower than `floor` allows; rows that
    disagree (short days and long, say) widen the spread.
    """
    points = [_point(row, t0_prior[0], floor, assumed_c) for row in rows]
    weights = [1 / spread**2 for _, _, spread in points]
    coldest = min(at_c for at_c, _, _ in points)
    t0_c, t0_sd_c = _threshold(points, weights, t0_prior, coldest - _CLEAR_C)
    ln_k = _ln_k(points, weights, t0_c)
    slopes = [-1 / (at_c - t0_c) for at_c, _, _ in points]
    # A range of days is how broods differ, so more rows do not make it narrower.
    own_spread = sqrt(sum(spread**2 for _, _, spread in points) / len(points))
    return Need(
        t0_c=t0_c,
        t0_sd_c=t0_sd_c,
        ln_k=ln_k,
        ln_k_per_c=_mean(slopes, weights),
        ln_k_sd=max(own_spread, sqrt(_misfit(points, weights, t0_c) / sum(weights))),
    )


def from_broad(prior: BroadPrior) -> Need:
    """Take the regression over all moths and butterflies."""
    return Need(
        t0_c=prior.t0_mean_c,
        t0_sd_c=prior.t0_sd_c,
        ln_k=prior.ln_k_intercept + prior.ln_k_slope * prior.t0_mean_c,
        ln_k_per_c=prior.ln_k_slope,
        ln_k_sd=prior.residual_sd,
    )


_Point = tuple[float, float, float]
"""Temperature [°C], ln days, and the spread of ln days."""


def _point(row: Duration, t0_c: float, floor: float, assumed_c: Figure) -> _Point:
    low_c = assumed_c.low if row.at_low_c is None else row.at_low_c
    high_c = assumed_c.high if row.at_high_c is None else row.at_high_c
    at_c = (low_c + high_c) / 2
    by_days = row.spread or log(row.days_high / row.days_low) / EIGHTY
    by_warmth = (high_c - low_c) / EIGHTY / max(at_c - t0_c, _CLEAR_C)
    if row.at_low_c is None:
        spread = sqrt(by_days**2 + by_warmth**2)
    else:
        # Days and degrees written as ranges go together: slow in the cool.
        spread = max(by_days, by_warmth)
    return at_c, log(row.days_low * row.days_high) / 2, max(spread, floor)


def _mean(values: Sequence[float], weights: Sequence[float]) -> float:
    pairs = zip(values, weights, strict=True)
    return sum(value * weight for value, weight in pairs) / sum(weights)


def _ln_k(points: Sequence[_Point], weights: Sequence[float], t0_c: float) -> float:
    return _mean([days + log(at_c - t0_c) for at_c, days, _ in points], weights)


def _misfit(points: Sequence[_Point], weights: Sequence[float], t0_c: float) -> float:
    ln_k = _ln_k(points, weights, t0_c)
    rest = [days + log(at_c - t0_c) - ln_k for at_c, days, _ in points]
    return sum(w * r * r for w, r in zip(weights, rest, strict=True))


def _threshold(
    points: Sequence[_Point],
    weights: Sequence[float],
    prior: tuple[float, float],
    highest_c: float,
) -> tuple[float, float]:
    mean, sd = prior
    low, high = mean - 3 * sd, mean + 3 * sd
    if highest_c <= low:
        return highest_c - sd, sd
    high = min(high, highest_c)
    nodes = [low + (high - low) * i / (_NODES - 1) for i in range(_NODES)]
    chances = [
        exp(-0.5 * (((t0 - mean) / sd) ** 2 + _misfit(points, weights, t0)))
        for t0 in nodes
    ]
    centre = _mean(nodes, chances)
    spread = _mean([(t0 - centre) ** 2 for t0 in nodes], chances)
    return centre, sqrt(spread)
