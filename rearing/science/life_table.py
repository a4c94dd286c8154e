"""A life table: of those that came to an age or a stage, how many died in it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.science.proportions import wilson

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Spell:
    """What was counted in one age or stage: came to it, died in it, left it alive."""

    x: str
    n: int
    died: int
    left: int = 0


@dataclass(frozen=True, slots=True)
class LifeRow:
    """One line of a life table; q has limits, k is None where none came through."""

    x: str
    n: int
    d: int
    left: int
    l: float  # noqa: E741 - the demographer's own sign
    q: float
    q_low: float
    q_high: float
    k: float | None


def life_table(
    spells: Iterable[Spell], *, confidence: float = 0.95
) -> tuple[LifeRow, ...]:
    """Return the classical columns x, n, d, l, q, k from counted animals.

    Parameters
    ----------
    spells : iterable of Spell
        Ages or stages in their order [animals]. Spells to which none came are left
        out.
    confidence : float
        Of the limits of q, between 0 and 1.

    Returns
    -------
    tuple of LifeRow
        ``l`` is the share of the first that came to the spell (l of the first is 1),
        ``q`` the share of those at risk that died in it with Wilson's limits, and
        ``k = −log₁₀(1 − q)``, the killing power, which adds up over spells.

    Raises
    ------
    ValueError
        Numbers below nought, or more that died and left than came.

    Notes
    -----
    Who leaves alive half-way counts half for the risk (the actuary's n − w/2); the
    limits take that rounded down, which makes them a little wider. Without leavings
    ``l`` is exactly n over the first n.

    References
    ----------
    Killing power: Varley & Gradwell 1960, J. Anim. Ecol. 29:399–401 (from memory).
    Limits: Newcombe 1998, Stat. Med. 17:857–872 (method 3).

    Examples
    --------
    >>> rows = life_table([Spell("egg", 100, 20), Spell("L1", 80, 8)])
    >>> [(row.x, row.l, row.q, round(row.k, 4)) for row in rows]
    [('egg', 1.0, 0.2, 0.0969), ('L1', 0.8, 0.1, 0.0458)]
    """
    rows: list[LifeRow] = []
    living = 1.0
    for spell in spells:
        if min(spell.n, spell.died, spell.left) < 0:
            raise ValueError(f"{spell.x}: a number of animals is below nought.")
        if spell.died + spell.left > spell.n:
            raise ValueError(
                f"{spell.x}: {spell.died} died and {spell.left} left of {spell.n}."
            )
        if not spell.n:
            continue
        row = _row(spell, living, confidence)
        rows.append(row)
        living *= 1 - row.q
    return tuple(rows)


def _row(spell: Spell, living: float, confidence: float) -> LifeRow:
    at_risk = spell.n - spell.left / 2
    limits = wilson(spell.died, max(math.floor(at_risk), 1), confidence)
    q = spell.died / at_risk
    return LifeRow(
        x=spell.x,
        n=spell.n,
        d=spell.died,
        left=spell.left,
        l=living,
        q=q,
        q_low=min(limits.low, q),
        q_high=max(limits.high, q),
        k=-math.log10(1 - q) + 0.0 if q < 1 else None,
    )
