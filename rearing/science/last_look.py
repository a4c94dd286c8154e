"""Where animals were at the last look, less what is dead and what was misread."""

from __future__ import annotations

from typing import TYPE_CHECKING, overload

import numpy as np

from rearing.science.evidence import MISREAD, EventLook

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.science.evidence import Look

    Array = NDArray[np.float64]
    Classes = NDArray[np.intp]

MOST_ODD = 4
"""So many animals seen in a stage, and no more, may all have been misread."""


def first_class(look: Look) -> int:
    """Stage of the first class of a look; an event parts its stage from the next."""
    return look.stage if isinstance(look, EventLook) else 0


def seen_shares(look: Look) -> Array:
    """Shares of the animals in each class of the look, youngest first."""
    if isinstance(look, EventLook):
        total = max(float(look.numbers.sum()), 1e-12)
        return np.array([look.numbers[-1], look.numbers[:-1].sum()]) / total
    return look.shares[: look.top + 2]


@overload
def not_yet(look: Look, k: int) -> int: ...
@overload
def not_yet(look: Look, k: NDArray[np.intp]) -> NDArray[np.intp]: ...
def not_yet(look: Look, k: int | NDArray[np.intp]) -> int | NDArray[np.intp]:
    """Stage that animals of class k had not left; not known of those past an event."""
    if isinstance(look, EventLook):
        return look.stage if np.all(k == 0) else -1
    return k


def taken_for(
    look: Look, in_class: Array, rng: np.random.Generator
) -> NDArray[np.intp]:
    """Say by draw which class those seen in each class are taken to have been of.

    Parameters
    ----------
    look : Look
    in_class : NDArray[float64], shape (n_classes, n_draws)
        Share of the brood that each draw has in each class at the look.
    rng : numpy.random.Generator

    Returns
    -------
    NDArray[intp], shape (n_classes, n_draws)
        The class itself; but where no more than `MOST_ODD` were seen in it, one beside
        it in those draws in which all of them were misread: with q^n, q the part of
        those read as of the class that the draw has in the classes beside it.
    """
    n_classes, n_draws = in_class.shape
    own = np.broadcast_to(np.arange(n_classes)[:, None], in_class.shape)
    if isinstance(look, EventLook):
        return own
    numbers = look.counts.sum(axis=1)[:n_classes]
    odd = (numbers > 0) & (numbers <= MOST_ODD)
    # Where nearly all that were seen are few, nobody can be called an odd one.
    if not odd.any() or numbers.sum() <= 2 * MOST_ODD:
        return own
    beside = np.zeros((n_classes + 2, n_draws))
    beside[1:-1] = in_class
    below, above = beside[:-2], beside[2:]
    strangers = 0.5 * MISREAD * (below + above)
    all_misread = (strangers / (in_class + strangers)) ** numbers[:, None]
    misread = odd[:, None] & (rng.random(in_class.shape) < all_misread)
    is_below = rng.random(in_class.shape) * (below + above) < below
    return np.asarray(own + np.where(misread, np.where(is_below, -1, 1), 0))


def as_they_were(look: Look, likely: Array, taken: Classes) -> Array:
    """Correct the shares seen for what is dead and what was misread.

    Parameters
    ----------
    look : Look
    likely : NDArray[float64], shape (n_classes,)
        Share of the brood that is likely to be in each class.
    taken : NDArray[intp], shape (n_classes, n_draws)
        As of `taken_for`; classes that may have been misread as a whole are left as
        they were seen.

    Returns
    -------
    NDArray[float64], shape (n_classes,)

    Notes
    -----
    Of those that wait, the dead do not count. Of animals seen in a stage, those of its
    neighbours that are misread as it are as many as `MISREAD` makes likely, and no more
    than a twentieth of the neighbours; they go back to these: one odd animal is no
    proof.
    """
    seen = seen_shares(look)
    if isinstance(look, EventLook):
        waiting = look.sound * likely[0]
        alive = seen * (waiting / max(1.0 - look.sound + waiting, 1e-12), 1.0)
        return np.asarray(alive / max(float(alive.sum()), 1e-12))
    padded = np.concatenate(([0.0], likely, [0.0]))
    below, above = padded[:-2], padded[2:]
    strangers = 0.5 * MISREAD * (below + above)
    back = seen * strangers / np.maximum(likely + strangers, 1e-12)
    around = np.concatenate(([0.0], seen, [0.0]))
    back = np.minimum(back, 2.5 * MISREAD * (around[:-2] + around[2:]))
    back[(taken != np.arange(len(seen))[:, None]).any(axis=1)] = 0.0
    share_below = below / np.maximum(below + above, 1e-12)
    returned = np.concatenate(((back * share_below)[1:], [0.0]))
    returned += np.concatenate(([0.0], (back * (1 - share_below))[:-1]))
    return np.asarray(seen - back + returned)


def whole(wanted: Array, of_lot: Sequence[int]) -> NDArray[np.intp]:
    """Turn numbers by class and lot into whole animals that add up to each lot's.

    A class of half an animal or more keeps one, in the lot likeliest to have it.
    """
    numbers = np.zeros(wanted.shape, dtype=np.intp)
    for s, number in enumerate(of_lot):
        column = wanted[:, s] + 1e-9
        ends = np.round(np.cumsum(column) * (number / column.sum()))
        numbers[:, s] = np.diff(ends, prepend=0.0).astype(np.intp)
    for k in np.flatnonzero((numbers.sum(axis=1) == 0) & (wanted.sum(axis=1) >= 0.5)):
        s = int(wanted[k].argmax())
        numbers[numbers[:, s].argmax(), s] -= 1
        numbers[k, s] += 1
    return numbers
