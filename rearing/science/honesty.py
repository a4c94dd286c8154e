"""How good forecasts have been: windows replayed as on their day, against what came."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from rearing.science.proportions import wilson

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from rearing.science.proportions import Proportion

DAY_S = 86400.0

Piece = Literal["first", "half", "last"]


@dataclass(frozen=True, slots=True)
class Replayed:
    """A window as it was forecast on a day, and what happened.

    Attributes
    ----------
    event : str
        "hatch", "L2" .., "wander", "pupate" or "emerge".
    piece : str
        "first", "half" or "last".
    age : str
        Stage most of the brood was in when it was made.
    made_s : float
        The day it was made as on [epoch seconds].
    low_s, middle_s, high_s : float
        Its 80 % interval and median; `high_s` infinite for an open end [epoch s].
    after_s, by_s : float
        The checks between which it happened; equal where the moment is known
        [epoch seconds].
    calendar_s : float or None
        When the plain mean of the keeper's past broods had it [epoch seconds].
    """

    event: str
    piece: Piece
    age: str
    made_s: float
    low_s: float
    middle_s: float
    high_s: float
    after_s: float
    by_s: float
    calendar_s: float | None = None

    @property
    def held(self) -> bool:
        """True where what is known of the moment meets the window."""
        return self.after_s <= self.high_s and self.by_s >= self.low_s

    @property
    def error_days(self) -> float:
        """Days by which the median came before (-) or after (+) the event [d]."""
        return (self.middle_s - self._happened_s) / DAY_S

    @property
    def calendar_error_days(self) -> float | None:
        """The same of the calendar average [d]."""
        if self.calendar_s is None:
            return None
        return (self.calendar_s - self._happened_s) / DAY_S

    @property
    def ahead_days(self) -> float:
        """How long before the event it was made [d]."""
        return (self._happened_s - self.made_s) / DAY_S

    @property
    def _happened_s(self) -> float:
        return 0.5 * (self.after_s + self.by_s)


@dataclass(frozen=True, slots=True)
class Score:
    """What some replayed windows come to.

    Attributes
    ----------
    number : int
    held : Proportion
        Share of the 80 % windows that held, with its 95 % Wilson interval. Windows of
        one brood hang together, so that the interval is the narrowest there can be.
    error_days, bias_days : float
        Mean of the errors without and with their sign [d].
    calendar_number : int
        Those for which there is a calendar average.
    calendar_error_days, beside_calendar_days : float or None
        Mean error of the calendar average, and of the same windows [d].
    """

    number: int
    held: Proportion
    error_days: float
    bias_days: float
    calendar_number: int
    calendar_error_days: float | None
    beside_calendar_days: float | None

    @property
    def against_calendar(self) -> float | None:
        """The error as a part of the calendar average's [1]."""
        if not self.calendar_error_days or self.beside_calendar_days is None:
            return None
        return self.beside_calendar_days / self.calendar_error_days


def score(replayed: Sequence[Replayed]) -> Score | None:
    """Score replayed windows; None where there are none.

    Parameters
    ----------
    replayed : sequence of Replayed

    Returns
    -------
    Score or None
    """
    if not replayed:
        return None
    errors = np.array([one.error_days for one in replayed])
    pairs = [
        (abs(one.calendar_error_days), abs(one.error_days))
        for one in replayed
        if one.calendar_error_days is not None
    ]
    calendar, beside = np.array(pairs).mean(axis=0) if pairs else (None, None)
    return Score(
        number=len(replayed),
        held=wilson(sum(one.held for one in replayed), len(replayed)),
        error_days=float(np.abs(errors).mean()),
        bias_days=float(errors.mean()),
        calendar_number=len(pairs),
        calendar_error_days=None if calendar is None else float(calendar),
        beside_calendar_days=None if beside is None else float(beside),
    )


def by_age(replayed: Iterable[Replayed]) -> Mapping[str, Score]:
    """Score by the age the windows were made at, in the order they come."""
    return _by((one.age, one) for one in replayed)


def by_event(replayed: Iterable[Replayed]) -> Mapping[str, Score]:
    """Score by event, in the order they come."""
    return _by((one.event, one) for one in replayed)


def by_piece(replayed: Iterable[Replayed]) -> Mapping[str, Score]:
    """Score first, half and last by themselves."""
    return _by((one.piece, one) for one in replayed)


def _by(keyed: Iterable[tuple[str, Replayed]]) -> Mapping[str, Score]:
    groups: dict[str, list[Replayed]] = {}
    for key, one in keyed:
        groups.setdefault(key, []).append(one)
    scores = {key: score(group) for key, group in groups.items()}
    return {key: found for key, found in scores.items() if found is not None}


def calendar_average(
    begun_s: float, past_days: Sequence[float] | NDArray[np.float64]
) -> float | None:
    """Forecast by the calendar: the plain mean of how long past broods took.

    Parameters
    ----------
    begun_s : float
        When this brood began [epoch seconds].
    past_days : sequence of float
        How long each of the keeper's past broods of the species took [d].

    Returns
    -------
    float or None
        [epoch seconds]; None without a past brood.

    Examples
    --------
    >>> calendar_average(0.0, [40.0, 50.0]) / 86400
    45.0
    """
    if not len(past_days):
        return None
    return begun_s + DAY_S * float(np.mean(past_days))
