"""What was seen of a brood: counts of stages, and how many passed between checks."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

REST_HOURS = 36.0
"""A larva rests so long before its moult (common practice, no source) [h]."""


@dataclass(frozen=True, slots=True)
class StageCount:
    """A look at the animals: how many were in each stage.

    Attributes
    ----------
    at_s : float
        When [epoch seconds].
    counts : mapping of stage to number
        All animals seen, those at rest among them; "adult" is what has emerged.
    resting : mapping of stage to number
        Of these, larvae that sat at their moult.
    rest_hours : float
        How long such a rest lasts [h].
    """

    at_s: float
    counts: Mapping[str, int]
    resting: Mapping[str, int] = field(default_factory=dict)
    rest_hours: float = REST_HOURS


@dataclass(frozen=True, slots=True)
class Passed:
    """How many of a brood reached an event between two checks.

    Attributes
    ----------
    event : str
        "hatch", "L2" .., "wander", "pupate" or "emerge".
    after_s, by_s : float
        The check before and the check at which they were found [epoch seconds];
        `after_s` may be minus infinity.
    number : int
        How many; 0 says that none had by `by_s`.
    of : int
        Of how many.
    sound : float
        Share of them expected to reach it at all [1].
    """

    event: str
    after_s: float
    by_s: float
    number: int
    of: int
    sound: float = 1.0


Seen = StageCount | Passed
