"""Adult moths kept one by one, and their pairings."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rearing.records.tables.base import Kept
from rearing.terms import Mated, MothFate, Sex, Sire, Wings


class Moth(Kept):
    """One adult: wild from a night, or reared from a brood; its first call."""

    __tablename__ = "moth"

    code: Mapped[str] = mapped_column(unique=True)
    night_id: Mapped[int | None] = mapped_column(
        ForeignKey("lamp_night.id"), index=True
    )
    arrival_id: Mapped[int | None] = mapped_column(ForeignKey("arrival.id"), index=True)
    brood_id: Mapped[int | None] = mapped_column(ForeignKey("brood.id"), index=True)
    taxon: Mapped[str]
    sex: Mapped[Sex]
    since: Mapped[dt.date]
    kept_at: Mapped[dt.datetime | None]
    wings: Mapped[Wings]
    mated: Mapped[Mated]
    container: Mapped[str | None]
    fate: Mapped[MothFate | None]
    fate_on: Mapped[dt.date | None]
    fate_where: Mapped[str | None]
    fate_note: Mapped[str | None]
    permit: Mapped[str | None]
    note: Mapped[str | None]


class Pairing(Kept):
    """A female and what is known of her mate."""

    __tablename__ = "pairing"

    dam_id: Mapped[int] = mapped_column(ForeignKey("moth.id"), index=True)
    sire_kind: Mapped[Sire]
    sire_id: Mapped[int | None] = mapped_column(ForeignKey("moth.id"), index=True)
    night_id: Mapped[int | None] = mapped_column(
        ForeignKey("lamp_night.id"), index=True
    )
    site_id: Mapped[int | None] = mapped_column(ForeignKey("site.id"))
    evening: Mapped[dt.date]
    coupled_at: Mapped[dt.datetime | None]
    parted_at: Mapped[dt.datetime | None]
    where: Mapped[str | None]
    note: Mapped[str | None]
