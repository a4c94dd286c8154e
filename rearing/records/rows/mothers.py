"""Rows of adult moths and their pairings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from rearing.records import tables
from rearing.records.rows.base import Row

if TYPE_CHECKING:
    import datetime as dt

    from rearing.terms import Mated, MothFate, Sex, Sire, Wings


@dataclass(frozen=True, slots=True)
class MothRow(Row):
    """One adult: wild from a night, or reared from a brood; its first call."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Moth

    code: str
    night_id: int | None
    arrival_id: int | None
    brood_id: int | None
    taxon: str
    sex: Sex
    since: dt.date
    kept_at: dt.datetime | None
    wings: Wings
    mated: Mated
    container: str | None
    fate: MothFate | None
    fate_on: dt.date | None
    fate_where: str | None
    fate_note: str | None
    permit: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class PairingRow(Row):
    """A female and what is known of her mate."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Pairing

    dam_id: int
    sire_kind: Sire
    sire_id: int | None
    night_id: int | None
    site_id: int | None
    evening: dt.date
    coupled_at: dt.datetime | None
    parted_at: dt.datetime | None
    where: str | None
    note: str | None
