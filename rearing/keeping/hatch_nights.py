"""What hatched of each night's eggs, with the doubt of a small number."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.science.proportions import Proportion, wilson
from rearing.terms import EggFate

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from rearing.keeping.holding import PotNow


@dataclass(frozen=True, slots=True)
class HatchRow:
    """The eggs of one pot; of several nights where they were put together."""

    pot: str
    first: dt.date | None
    last: dt.date | None
    nights: int
    laid: int
    waiting: int
    hatched: int
    other: int
    share: Proportion | None
    """Of those that are decided; None while none is."""


def hatch_by_night(pots: Iterable[PotNow]) -> tuple[HatchRow, ...]:
    """Return the hatch by the night laid, earliest first.

    Nights whose eggs lie in one pot can't be told apart: they are one row.
    """
    rows = [_row(pot) for pot in pots if pot.eggs]
    return tuple(sorted(rows, key=lambda row: (str(row.first or ""), row.pot)))


def _row(pot: PotNow) -> HatchRow:
    nights = sorted({laying.evening for laying in pot.layings})
    hatched, decided = pot.of(EggFate.HATCHED), pot.eggs - pot.waiting
    return HatchRow(
        pot=pot.row.label,
        first=nights[0] if nights else None,
        last=nights[-1] if nights else None,
        nights=len(nights),
        laid=pot.eggs,
        waiting=pot.waiting,
        hatched=hatched,
        other=decided - hatched,
        share=wilson(hatched, decided) if decided > 0 else None,
    )
