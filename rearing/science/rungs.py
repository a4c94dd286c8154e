"""A ladder of latenesses of each lot, whose shares of a stage are known beforehand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.animals import LEAST_SHARE, ladder

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from rearing.science.animals import Animals, Lot
    from rearing.science.stages import StageHeat


@dataclass(frozen=True, slots=True)
class Ladder:
    """The same ranks of each lot in every draw, spread by that draw's factor.

    A rung's share of a stage is a straight line in the spread: `fixed` + spread x
    `growing`, a row for each stage. So it is worked out once for a brood, and not
    again for every draw that is judged.
    """

    animals: Animals
    fixed: tuple[NDArray[np.float64], ...]
    growing: tuple[NDArray[np.float64], ...]

    @classmethod
    def of(
        cls,
        lots: Sequence[Lot],
        levels: NDArray[np.float64],
        stages: Sequence[StageHeat],
    ) -> Ladder:
        """Lay out `levels` of the normal for each lot along some stages."""
        both = ladder(lots, levels, np.array([0.0, 1.0]))
        shares = [
            np.broadcast_to(x, (2, x.shape[1])) for x in both.shares_unheld(stages)
        ]
        growing = tuple(spread_one - none for none, spread_one in shares)
        return cls(both, tuple(share[0] for share in shares), growing)

    def shares(self, spread: NDArray[np.float64]) -> Iterator[NDArray[np.float64]]:
        """Yield for each stage the rungs' shares of a need, shape (n_draws, n_rungs).

        `spread` is the factor of each draw, shape (n_draws,) [1].
        """
        column = spread[:, None]
        for fixed, growing in zip(self.fixed, self.growing, strict=True):
            share = column * growing
            share += fixed
            yield np.maximum(share, LEAST_SHARE, out=share)
