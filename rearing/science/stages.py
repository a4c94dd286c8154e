"""What is believed of the stages, where animals start, and the windows that follow."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from rearing.science.to_go import HeatToGo


@dataclass(frozen=True, slots=True)
class StageHeat:
    """What is believed of one stage's need of heat.

    Attributes
    ----------
    stage : str
        A value of `rearing.terms.Stage` ("egg", "L1" .. "wandering", "pupa"), or
        "larva" where a source gives the larva as a whole.
    t0_c, t0_sd_c : float
        Lower threshold of development and its spread [°C].
    ln_k : float
        Mean of ln K, K in degree-days, when the threshold is `t0_c`.
    ln_k_per_c : float
        Change of the mean of ln K for each °C the threshold lies above `t0_c`.
    ln_k_sd : float
        Spread of ln K that is left once the threshold is known.
    upper_c : float or None
        Development is no faster above it (horizontal cutoff) [°C].
    chill_hours : float
        Hours between `cohort.CHILL_LOW_C` and `cohort.CHILL_HIGH_C` that must have
        passed since the stage began before heat counts [h].
    group : str
        Stages of one group share the draw of the threshold and of ln K.
    own_sd : float
        Spread of ln K that this stage has by itself, beside its group's: how the
        larva's heat is shared among the instars is not the same in every brood.
    """

    stage: str
    t0_c: float
    t0_sd_c: float
    ln_k: float
    ln_k_per_c: float = 0.0
    ln_k_sd: float = 0.15
    upper_c: float | None = None
    chill_hours: float = 0.0
    group: str = ""
    own_sd: float = 0.0


@dataclass(frozen=True, slots=True)
class Start:
    """Animals known to be in a stage at an instant.

    `fresh` means that they had just entered it; otherwise they are somewhere
    within it, nobody knows where.
    """

    at_s: float
    stage: str
    number: int
    fresh: bool = True


@dataclass(frozen=True, slots=True)
class Track:
    """Hourly temperatures of one brood or pot, past and to come [°C].

    `celsius[i]` holds from `start_s + 3600 * i` to the next hour. What lies after
    `seen_until_s` is an assumption. Where there are `futures`, each row of them goes
    on after the last hour of `celsius`, each as likely as the other; broods that
    stand together should be given the same array, so that its heat is summed once.
    """

    start_s: float
    celsius: NDArray[np.float64]
    seen_until_s: float
    futures: NDArray[np.float64] | None = None

    @property
    def hours(self) -> int:
        """Hours from the start to the end, futures and all."""
        ahead = 0 if self.futures is None else self.futures.shape[1]
        return len(self.celsius) + ahead

    @property
    def end_s(self) -> float:
        """The instant at which the last hour ends."""
        return self.start_s + 3600.0 * self.hours


@dataclass(frozen=True, slots=True)
class Interval:
    """The 80 % interval and the median of an instant [epoch seconds].

    `open_end` says that more than a tenth of the draws lie beyond the track, so
    that `high_s` is only the end of the track.
    """

    low_s: float
    middle_s: float
    high_s: float
    open_end: bool = False


@dataclass(frozen=True, slots=True)
class EventWindow:
    """When the first, the half and the last of some animals reach an event.

    Attributes
    ----------
    event : str
        "hatch", "L2" .. "L8", "wander", "pupate" or "emerge".
    number : int
        The animals it speaks of.
    first, half, last : Interval or None
        None when the middle of the draws lies beyond the track.
    heat_to_go : HeatToGo or None
        Heat the middle animal still needs.
    beyond : float
        Share of the draws in which half do not reach it within the track.
    stretch : float
        Factor by which the spread had to be widened before any draw agreed with
        what was seen (1: none; infinite: none ever agreed and the window is only
        held at the instant before which it was seen not to have happened).
    """

    event: str
    number: int
    first: Interval | None
    half: Interval | None
    last: Interval | None
    heat_to_go: HeatToGo | None
    beyond: float
    stretch: float = 1.0

    @property
    def heat_to_go_dd(self) -> float | None:
        """The middle of it [degree-days]."""
        return None if self.heat_to_go is None else self.heat_to_go.middle_dd
