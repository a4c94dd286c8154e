"""How long the leaf of a box lasts on days to come, as is likely and at worst."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.box_age import oldest_larva
from rearing.keeping.leaf_life import HOT_C, LeafLife, latin_of, life_of_leaf

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from rearing.keeping.holding import BoxNow
    from rearing.keeping.warmth import Warmth
    from rearing.records.rows import PlaceRow
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf
    from rearing.terms import BoxKind

COLD_C, COLD_DAYS = 4.0, 5.0
"""Leaf in a box in the vegetable drawer keeps about 5 days (Keeping leaves fresh,
chiisananegai.com); 4 °C is that of a usual fridge."""

HOUR_S = 3600


@dataclass(frozen=True, slots=True)
class Air:
    """What a place may be like on days to come: likely, and in its hottest future."""

    likely_c: float
    at_worst_c: float


@dataclass(frozen=True, slots=True)
class BoxLeaf:
    """A box that is fed: how long its leaf lasts where it stands."""

    box: BoxNow
    place: PlaceRow
    host: str | None
    latin: str
    air: Air
    likely: LeafLife
    at_worst: LeafLife

    def ends_likely(self, given: dt.datetime) -> dt.datetime:
        """Return when leaf given at a moment is gone, as is likely."""
        return given + dt.timedelta(days=self.likely.days)

    def ends_at_worst(self, given: dt.datetime) -> dt.datetime:
        """Return when leaf given at a moment may be gone."""
        return given + dt.timedelta(days=self.at_worst.days)

    @property
    def words(self) -> str:
        """What the leaf does there: Downy oak lasts 2 to 1.5 days at 24 to 31°."""
        name = (self.host or "leaf").capitalize()
        if self.at_worst.is_eaten:
            return f"{name} is eaten within a day"
        many, few = self.likely.days, self.at_worst.days
        days = (
            f"{few:.1f}"
            if round(many, 1) == round(few, 1)
            else f"{few:.1f} to {many:.1f}"
        )
        low, high = round(self.air.likely_c), round(self.air.at_worst_c)
        air = f"{low}°" if low == high else f"{low} to {high}°"
        return f"{name} lasts {days} days at {air}"


class LeafAhead:
    """What the air of each place may be between two moments; read when asked for."""

    def __init__(self, warmth: Warmth, since: dt.datetime, until: dt.datetime) -> None:
        self._warmth = warmth
        self._since, self._until = since.timestamp(), until.timestamp()
        self._air: dict[int, Air] = {}

    def since_until(self, moment: dt.datetime) -> float:
        """Return how long leaf given at the beginning has to last [days]."""
        return (moment.timestamp() - self._since) / (24 * HOUR_S)

    def air(self, place_id: int) -> Air:
        """Return what a place is likely to be like, and at worst.

        Hot afternoons spoil leaf whatever the nights are: where the hottest future
        has them, they count, not its mean.
        """
        if place_id not in self._air:
            self._air[place_id] = self._looked(place_id)
        return self._air[place_id]

    def _looked(self, place_id: int) -> Air:
        hours = self._futures(place_id)
        means = hours.mean(axis=1)
        hottest = float(hours.max())
        worst = float(means.max())
        return Air(float(np.median(means)), hottest if hottest >= HOT_C else worst)

    def _futures(self, place_id: int) -> NDArray[np.float64]:
        sure = self._warmth.hours(place_id).sure
        futures = self._warmth.ahead(place_id).scenarios.celsius
        begin = int((self._since - self._warmth.start_s) // HOUR_S)
        end = max(int((self._until - self._warmth.start_s) // HOUR_S), begin + 1)
        known = np.broadcast_to(sure[begin:end], (len(futures), len(sure[begin:end])))
        first = max(begin - len(sure), 0)
        rest = futures[:, first : max(end - len(sure), 0)]
        return np.concatenate((known, rest), axis=1)


def box_leaf(
    box: BoxNow,
    sheet: SpeciesSheet,
    shelf: SheetShelf,
    place: PlaceRow,
    host: str | None,
    ahead: LeafAhead,
) -> BoxLeaf | None:
    """Return how a box's leaf lasts; None where nobody eats, or leaf grows."""
    oldest = oldest_larva(box)
    if box.last_look is not None and oldest is None:
        return None
    latin = latin_of(sheet, host)
    air = ahead.air(place.id)
    is_last = oldest is sheet.larval_stages[-1]
    likely, worst = (
        life_at(shelf, box.row.kind, at_c, latin, place, is_last=is_last)
        for at_c in (air.likely_c, air.at_worst_c)
    )
    if likely is None or worst is None:
        return None
    return BoxLeaf(box, place, host, latin, air, likely, worst)


def life_at(
    shelf: SheetShelf,
    kind: BoxKind,
    at_c: float,
    latin: str,
    place: PlaceRow,
    *,
    is_last: bool,
) -> LeafLife | None:
    """Return how long leaf lasts at a temperature, in the cool longer than the table.

    Below the coolest of the table the days run straight to those of a fridge.
    """
    found = life_of_leaf(
        shelf.defaults,
        kind,
        at_c=at_c,
        host_latin=latin,
        place_days=place.leaf_life_days,
        in_last_instar=is_last,
    )
    rows = [row.at_c for row in shelf.defaults.leaf_life if row.container is kind]
    learnt = place.leaf_life_days is not None
    if found is None or found.is_eaten or learnt or not rows or at_c >= min(rows):
        return found
    part = min((min(rows) - at_c) / (min(rows) - COLD_C), 1.0)
    longer = found.days + part * max(COLD_DAYS - found.days, 0.0)
    return LeafLife(longer, is_eaten=False)
