"""The lamp nights as records to be handed on: what came, and all it was called."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.facts import Home, home
from rearing.keeping.moments import zone_of
from rearing.keeping.night_counts import NightCounts, all_nights
from rearing.science.moon import lit_fraction
from rearing.terms import Quality, Sex, Sure

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from rearing.records.book import Book
    from rearing.records.rows import ArrivalRow, CheckRow, DeterminationRow, MothRow
    from rearing.sheets.shelf import SheetShelf


@dataclass(frozen=True, slots=True)
class Naming:
    """What animals were called once: the first call, or a later one."""

    taxon: str
    sex: Sex
    on: dt.date
    who: str | None = None
    sure: Sure | None = None
    note: str | None = None
    key: str = "first"


@dataclass(frozen=True, slots=True)
class Record:
    """Animals of one check that have been called alike, and all they were called."""

    key: str
    check: CheckRow | None
    """None for a kept moth that stands in no count."""
    number: int
    quality: Quality
    namings: tuple[Naming, ...]
    """The first call first, the one that stands last."""
    moth: MothRow | None = None
    note: str | None = None

    @property
    def first(self) -> Naming:
        """What they were called at the lamp."""
        return self.namings[0]

    @property
    def now(self) -> Naming:
        """What they are called now."""
        return self.namings[-1]

    @property
    def counts(self) -> bool:
        """False for a kept moth that the night's totals do not hold."""
        return self.check is not None


@dataclass(frozen=True, slots=True)
class RecordedNight:
    """One night with its records."""

    counts: NightCounts
    zone: dt.tzinfo
    records: tuple[Record, ...]
    moon_fraction: float
    """Lit share of the moon at the local midnight, 0 to 1 (computed)."""


@dataclass(frozen=True, slots=True)
class Recording:
    """Every lamp night up to a day, with what a reader elsewhere needs to know."""

    home: Home
    on: dt.date
    nights: tuple[RecordedNight, ...]
    families: Mapping[str, str]
    """Family of each species whose sheet knows it."""


def recording(book: Book, shelf: SheetShelf, on: dt.date) -> Recording:
    """Return all lamp nights up to a day as records, as they are called on it."""
    nights = tuple(_recorded(night) for night in all_nights(book, on))
    taxa = {
        naming.taxon
        for night in nights
        for record in night.records
        for naming in record.namings
    }
    families = {taxon: shelf.sheet_for(taxon).family for taxon in sorted(taxa)}
    known = {taxon: family for taxon, family in families.items() if family}
    return Recording(home=home(book), on=on, nights=nights, families=known)


def _recorded(night: NightCounts) -> RecordedNight:
    zone = zone_of(night.site.zone)
    next_day = night.row.evening + dt.timedelta(days=1)
    midnight = dt.datetime.combine(next_day, dt.time(), zone)
    return RecordedNight(
        counts=night,
        zone=zone,
        records=tuple(records_of(night)),
        moon_fraction=lit_fraction(midnight.timestamp()),
    )


def records_of(night: NightCounts) -> Iterator[Record]:
    """Yield a night's records; those that count add up to its totals check by check."""
    checks = {check.id: check for check in night.looks}
    calls, kept = defaultdict(list), defaultdict(list)
    for call in night.calls:
        calls[call.arrival_id].append(call)
    for moth in night.kept:
        kept[moth.arrival_id].append(moth)
    for arrival in night.arrivals:
        own, moths = calls[arrival.id], kept[arrival.id]
        pieces = _pieces(arrival, night.row.evening, own, moths)
        yield from (replace(piece, check=checks[arrival.check_id]) for piece in pieces)
    for moth in kept[None]:
        first = Naming(moth.taxon, moth.sex, night.row.evening)
        later = [_naming(call) for call in night.calls if call.moth_id == moth.id]
        yield Record(
            key=f"moth:{moth.id}",
            check=None,
            number=1,
            quality=Quality.EXACT,
            namings=(first, *later),
            moth=moth,
        )


def _pieces(
    arrival: ArrivalRow,
    evening: dt.date,
    calls: Iterable[DeterminationRow],
    moths: Iterable[MothRow],
) -> list[Record]:
    """Part an arrival as the totals do: later calls take theirs from what is left."""
    by_id = {moth.id: moth for moth in moths}
    first = Naming(arrival.taxon, arrival.sex, evening)
    latest: dict[object, list[DeterminationRow]] = {}
    for call in calls:
        of = ("moth", call.moth_id) if call.moth_id else ("call", call.id)
        latest[of] = [*latest.pop(of, ()), call]
    whole = Record(
        key=f"arrival:{arrival.id}",
        check=None,
        number=arrival.number,
        quality=arrival.quality,
        namings=(first,),
        note=arrival.note,
    )
    left, pieces = arrival.number, []
    for history in reversed(latest.values()):
        number = min(history[-1].number, left)
        if number:
            left -= number
            namings = (first, *(_naming(call) for call in history))
            moth = by_id.pop(history[0].moth_id or 0, None)
            key = f"{whole.key}:call:{history[0].id}"
            part = replace(whole, key=key, number=number, namings=namings, moth=moth)
            pieces.append(part)
    for moth in by_id.values():
        if left:
            left -= 1
            key = f"{whole.key}:moth:{moth.id}"
            pieces.append(replace(whole, key=key, number=1, moth=moth))
    return [*([replace(whole, number=left)] if left else []), *pieces]


def _naming(call: DeterminationRow) -> Naming:
    return Naming(
        taxon=call.taxon,
        sex=call.sex,
        on=call.on,
        who=call.who,
        sure=call.sure,
        note=call.note,
        key=str(call.id),
    )
