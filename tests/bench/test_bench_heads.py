"""A hundred head widths placed in instars, against the bare densities they ask for."""

from __future__ import annotations

from time import process_time

import numpy as np

from rearing.science.instars import place

ROUNDS, MIXTURES, MOST = 212, 27, 10
"""As often a mixture may be moved, how many are climbed to the end, of how many."""


def bare(log: np.ndarray) -> None:
    """Work out as many densities as if all were climbed to the end, and no more."""
    means = np.linspace(log.min(), log.max(), MOST)[None, :, None]
    spread = np.full((MIXTURES, 1, 1), 0.05)
    for _ in range(ROUNDS):
        share = np.exp(-0.5 * ((log - means) / spread) ** 2)
        share /= share.sum(axis=1)[:, None]


# computed on two shared cores: 0.03 to 0.04 s; one mixture at a time took 0.2 to 0.5
def test_a_hundred_heads_are_placed_while_a_page_is_drawn() -> None:
    rng = np.random.default_rng(3)
    means = np.repeat(0.6 * 1.4 ** np.arange(5), 20)
    heads = means * np.exp(0.05 * rng.standard_normal(len(means)))
    took = []
    for run in (lambda: bare(np.log(heads)), lambda: place(heads)):
        begun = process_time()
        run()
        took.append(process_time() - begun)
    print(f"\nplaced in {took[1]:.3f} s, bare {took[0]:.3f} s")  # noqa: T201 - a figure
    assert took[1] < 3.0 * took[0]
