"""How far the larvae of a box have come: by stage, the oldest, at rest until when."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from math import exp
from typing import TYPE_CHECKING

from rearing.keeping.round_lines import EVENING
from rearing.sheets.belief import belief
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rearing.keeping.holding import BoxNow, Look
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf

ORDER = {stage: place for place, stage in enumerate(Stage)}

_LEAST_C = 1.0
"""Above its threshold, in the cold, so that an instar does not last for ever [°C]."""


def oldest_larva(box: BoxNow) -> Stage | None:
    """Return the oldest larvae of a box at its last look, or as they were put in.

    None where only pupae were seen, or nobody said how old they are.
    """
    look = box.last_look
    told = [move.stage for move in box.moves_in if move.stage] if look is None else ()
    larvae = [one for one in (look.numbers if look else told) if one.is_larva]
    return max(larvae, key=ORDER.__getitem__) if larvae else None


def rest_ends(sheet: SpeciesSheet, look: Look, zone: dt.tzinfo) -> dt.datetime:
    """Return when those seen at moulting rest at a look have moulted."""
    last_but_one = sheet.larval_stages[-2] if len(sheet.larval_stages) > 1 else None
    long_rest = any(stage is last_but_one for stage in look.resting)
    hours = sheet.last_moult_rest_hours if long_rest else sheet.moult_rest_hours
    began = look.at or dt.datetime.combine(look.on, EVENING, zone)
    return began.astimezone(zone) + dt.timedelta(hours=hours.middle)


def stages_now(box: BoxNow) -> Mapping[Stage, int]:
    """Return the stages of a box as last seen; before a look, as they were put in."""
    look = box.last_look
    if look is not None:
        return look.numbers
    put_in: Counter[Stage] = Counter()
    for move in box.moves_in:
        put_in[move.stage or Stage.L1] += move.number
    return put_in


def in_stage_since(box: BoxNow, stage: Stage) -> dt.date | None:
    """Return the first day on which a stage was seen, or put in."""
    days = [look.on for look in box.looks if look.numbers.get(stage)]
    days += [move.on for move in box.moves_in if (move.stage or Stage.L1) is stage]
    return min(days, default=None)


class InstarDays:
    """How long instars last, each worked out once."""

    def __init__(self, shelf: SheetShelf) -> None:
        self._shelf = shelf
        self._needs: dict[tuple[str, Stage], tuple[float, float]] = {}

    def days(self, sheet: SpeciesSheet, instar: Stage, at_c: float) -> float:
        """Return the days an instar lasts at a temperature, as is likely [d]."""
        key = (sheet.name, instar)
        if key not in self._needs:
            found = belief(sheet, instar, self._shelf)
            self._needs[key] = found.t0_c, exp(found.ln_k)
        t0_c, k_dd = self._needs[key]
        return k_dd / max(at_c - t0_c, _LEAST_C)
