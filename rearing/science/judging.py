"""How likely what was seen of a brood is, for each simulated brood."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.science.evidence import Ask, Look

    Array = NDArray[np.float64]

CLUMPING = 0.05
"""Correlation of animals of one brood about their model, so that n of them tell as
much as n / (1 + (n - 1) CLUMPING) would (from memory): they sit and moult together,
and a count by eye takes some for older or younger than they are."""

MISJUDGED = 0.003
"""Share that may be anywhere, so that no one animal settles anything (from memory)."""


@dataclass(frozen=True, slots=True)
class Judged:
    """How well draws agree with all looks.

    Attributes
    ----------
    log_likelihood : NDArray[float64], shape (n_draws,)
    roots : NDArray[float64], shape (n_classes, n_draws)
        Twice the roots of the numbers expected in the classes of all looks; the squares
        of their slopes add up to what the looks tell (Fisher's information).
    """

    log_likelihood: Array
    roots: Array


@dataclass(frozen=True, slots=True)
class AllLooks:
    """All looks of a brood, laid out once to judge draws by them again and again.

    Attributes
    ----------
    asks : tuple of Ask
        The shares that must be known of a draw.
    weights : NDArray[float64], shape (n_lots,)
        Share of the brood in each lot, in the order of their first stage.
    numbers : NDArray[float64], shape (n_classes,)
        Animals of the classes of all looks, as many as they are worth.
    totals, sound, plus : NDArray[float64], shape (n_classes, 1)
        Animals of the class's look, and as in `evidence.Class`.
    misread : NDArray[float64], shape (n_classes - 1, 1)
        Part of a class that is read as the next, and the other way round.
    more, less : NDArray[intp], shape (n_classes,)
        Rows of the shares asked for, after which come 0 and 1.
    """

    asks: tuple[Ask, ...]
    weights: Array
    numbers: Array
    totals: Array
    misread: Array
    more: NDArray[np.intp]
    less: NDArray[np.intp]
    sound: Array
    plus: Array

    @classmethod
    def of(cls, all_looks: Sequence[Look], weights: Array) -> AllLooks:
        """Lay the looks out; `weights` is the share of the brood in each lot."""
        rows: dict[Ask, int] = {}
        classes = [look.classes() for look in all_looks]
        for one in chain.from_iterable(classes):
            for edge in (one.more, one.less):
                if isinstance(edge, tuple):
                    rows.setdefault(edge, len(rows))

        def row(edge: Ask | float) -> int:
            return rows[edge] if isinstance(edge, tuple) else len(rows) + int(edge)

        flat = list(chain.from_iterable(classes))
        numbers, totals, misread = [], [], []
        for look, own in zip(all_looks, classes, strict=True):
            total = sum(one.number for one in own)
            numbers += [_weight(total) * one.number for one in own]
            totals += [_weight(total) * total] * len(own)
            misread += [look.misread] * (len(own) - 1) + [0.0]
        return cls(
            asks=tuple(rows),
            weights=weights,
            numbers=np.array(numbers),
            totals=np.array(totals)[:, None],
            misread=np.array(misread)[:-1, None],
            more=np.array([row(one.more) for one in flat], dtype=np.intp),
            less=np.array([row(one.less) for one in flat], dtype=np.intp),
            sound=np.array([one.sound for one in flat])[:, None],
            plus=np.array([one.plus for one in flat])[:, None],
        )

    def judge(self, ranks: Array) -> Judged:
        """Compare the looks with each draw.

        Parameters
        ----------
        ranks : NDArray[float64], shape (n_asks, n_lots, n_draws)
            Share of each lot that had come to what is asked (`rungs.Ladder.ranks`).

        Returns
        -------
        Judged

        Notes
        -----
        Each look is a multinomial count of n animals that weighs as n / (1 + (n - 1)
        `CLUMPING`) of them. In a look at stages `MISREAD` of the animals are read as
        of the stage before or after; `MISJUDGED` may be in any class.
        """
        passed = np.empty((len(ranks) + 2, ranks.shape[2]))
        np.matmul(self.weights, ranks, out=passed[:-2])
        passed[-2], passed[-1] = 0.0, 1.0
        share = passed.take(self.more, axis=0)
        share -= passed.take(self.less, axis=0)
        share *= self.sound
        share += self.plus
        share = _as_read(np.maximum(share, 0.0, out=share), self.misread)
        roots = np.sqrt(self.totals * share)
        return Judged(self.numbers @ np.log(share), 2.0 * roots)


def _as_read(share: Array, between: Array) -> Array:
    """Shares of the classes as they are read, some for the class before or after.

    `between[j]` is the part of class j read as j + 1, and the other way round.
    """
    read = share + MISJUDGED
    moved = between * (share[:-1] - share[1:])
    read[:-1] -= moved
    read[1:] += moved
    return np.maximum(read, MISJUDGED)


def _weight(number: float) -> float:
    """Part of a count that is worth as much as animals of different broods."""
    return 1.0 / (1.0 + max(number - 1.0, 0.0) * CLUMPING)
