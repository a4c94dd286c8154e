"""The mothers' page: who laid how much in which night, and where her eggs stand."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.descent import moth_call
from rearing.keeping.holding import PotNow, grouped, holding
from rearing.keeping.moments import counted, day_words
from rearing.keeping.nights import current_call
from rearing.keeping.remarks import Remark, remarks_of
from rearing.keeping.round import end_of, place_on
from rearing.keeping.season import Forecast, Forecaster, Window
from rearing.keeping.warmth import Warmth
from rearing.records import tables as t
from rearing.records.rows import (
    BroodRow,
    DeterminationRow,
    LampNightRow,
    LayingRow,
    MothRow,
    PairingRow,
    SiteRow,
)
from rearing.science.proportions import Proportion, wilson
from rearing.terms import EggFate, MothFate, Sex

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from rearing.keeping.holding import Holding
    from rearing.records.book import Book
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf

ENOUGH_SHARE = 0.05
"""A night that gives less of the total is the sign to let her go (common practice)."""


@dataclass(frozen=True, slots=True)
class PotLine:
    """One pot of a mother, with what is forecast for the eggs waiting in it."""

    pot: PotNow
    place: str
    hatched: int
    waiting: int
    forecast: Forecast | None

    @property
    def window(self) -> Window | None:
        """When its first, half and last hatch."""
        return self.forecast.window("hatch") if self.forecast else None


@dataclass(frozen=True, slots=True)
class Mother:
    """A female as the page shows her."""

    row: MothRow
    taxon: str
    sign: str
    sheet: SpeciesSheet
    origin: str
    night_id: int | None
    layings: tuple[LayingRow, ...]
    broods: tuple[BroodRow, ...]
    pots: tuple[PotLine, ...]
    pairings: tuple[PairingRow, ...]
    mates: Mapping[int, str]
    """Codes of the males she was paired with, by their id."""
    notes: tuple[Remark, ...]
    advice: str

    @property
    def eggs(self) -> int:
        """All eggs counted so far."""
        return sum(laying.number for laying in self.layings)

    @property
    def hatched(self) -> int:
        """How many of her eggs hatched so far."""
        return sum(line.hatched for line in self.pots)

    @property
    def waiting(self) -> int:
        """How many of her eggs have no fate yet."""
        return sum(line.waiting for line in self.pots)

    @property
    def hatch_share(self) -> Proportion | None:
        """Share of the eggs that have a fate that hatched, with its interval."""
        settled = self.eggs - self.waiting
        return wilson(self.hatched, settled) if settled > 0 else None

    @property
    def is_here(self) -> bool:
        """True while she is in her bag."""
        return self.row.fate is None

    @property
    def state(self) -> str:
        """What became of her, or that she is here."""
        return _state(self.row)


@dataclass(frozen=True, slots=True)
class MotherLine:
    """A female in the list of females."""

    id: int
    code: str
    sign: str
    taxon: str
    short: str
    eggs: int
    nights: int
    state: str
    is_here: bool

    @property
    def left_no_eggs(self) -> bool:
        """True for one that is gone and of whom no eggs were counted."""
        return not self.is_here and not self.nights


def mother_lines(book: Book, shelf: SheetShelf, on: dt.date) -> tuple[MotherLine, ...]:
    """Return the females kept up to a day: those here, then the latest that laid.

    Those that are gone without eggs come last: no page of theirs is needed daily.
    """
    layings = grouped(
        book.all(LayingRow, t.Laying.evening <= on), lambda laying: laying.mother_id
    )
    calls = grouped(
        book.all(DeterminationRow, t.Determination.moth_id.is_not(None)),
        lambda call: call.moth_id,
    )
    lines = []
    for row in (_as_on(row, on) for row in _females(book, on)):
        own = layings.get(row.id, [])
        first = (row.taxon, row.sex)
        taxon, sex = current_call(first, calls.get(row.id, ()), on)
        lines.append(
            MotherLine(
                id=row.id,
                code=row.code,
                sign=sex.sign,
                taxon=taxon,
                short=shelf.sheet_for(taxon).short,
                eggs=sum(laying.number for laying in own),
                nights=len({laying.evening for laying in own}),
                state=_state(replace(row, fate_where=None)),
                is_here=row.fate is None,
            )
        )
    return tuple(sorted(lines, key=lambda line: (line.left_no_eggs, not line.is_here)))


def mother(book: Book, shelf: SheetShelf, moth_id: int, on: dt.date) -> Mother:
    """Return one female with her eggs and pots as on a day."""
    row = _as_on(book.one(MothRow, moth_id), on)
    layings = book.all(
        LayingRow,
        t.Laying.mother_id == row.id,
        t.Laying.evening <= on,
        order=(t.Laying.evening, t.Laying.id),
    )
    broods = book.all(BroodRow, t.Brood.mother_id == row.id, t.Brood.opened_on <= on)
    taxon, sign = moth_call(book, row, on)
    pairings = book.all(PairingRow, t.Pairing.dam_id == row.id, t.Pairing.evening <= on)
    sires = [pairing.sire_id for pairing in pairings if pairing.sire_id is not None]
    return Mother(
        row=row,
        taxon=taxon,
        sign=sign,
        sheet=shelf.sheet_for(taxon),
        origin=_origin(book, row),
        night_id=row.night_id,
        layings=layings,
        broods=broods,
        pots=tuple(pot for one in broods for pot in _pots(book, shelf, one, on)),
        pairings=pairings,
        mates={moth.id: moth.code for moth in book.all(MothRow, t.Moth.id.in_(sires))},
        notes=remarks_of(book, "moth", row.id, on),
        advice=_advice(row, layings),
    )


def mothers(book: Book, shelf: SheetShelf, on: dt.date) -> tuple[Mother, ...]:
    """Return every female kept up to a day in full: here first, then the latest."""
    return tuple(
        mother(book, shelf, line.id, on) for line in mother_lines(book, shelf, on)
    )


def _females(book: Book, on: dt.date) -> tuple[MothRow, ...]:
    return book.all(
        MothRow,
        t.Moth.since <= on,
        t.Moth.sex == Sex.FEMALE,
        order=(t.Moth.since.desc(), t.Moth.id.desc()),
    )


def _pots(
    book: Book, shelf: SheetShelf, brood: BroodRow, on: dt.date
) -> Iterable[PotLine]:
    held = holding(book, on, brood_id=brood.id, all_ever=True)
    forecaster = Forecaster(held, shelf, Warmth(book, shelf, held))
    return [_pot(pot, forecaster, held) for pot in held.pots]


def _pot(pot: PotNow, forecaster: Forecaster, held: Holding) -> PotLine:
    forecast = forecaster.pots([pot], until="hatch")
    moment = end_of(held.on, held.home.zone)
    place = held.places.get(place_on(pot.stays, moment) or 0)
    return PotLine(
        pot=_pot_as_on(pot, held.on),
        place=place.name if place else "no place",
        hatched=pot.of(EggFate.HATCHED),
        waiting=pot.waiting,
        forecast=forecast,
    )


def _state(row: MothRow) -> str:
    if row.fate is None:
        return f"here, in {row.container}" if row.container else "here"
    when = f", {day_words(row.fate_on)}" if row.fate_on else ""
    where = f" at {row.fate_where}" if row.fate_where else ""
    return f"{row.fate}{where}{when}"


def _origin(book: Book, row: MothRow) -> str:
    if row.night_id is not None:
        night = book.one(LampNightRow, row.night_id)
        site = book.one(SiteRow, night.site_id)
        return f"night of {day_words(night.evening)}, {site.name}, {night.lamp}"
    if row.brood_id is not None:
        return f"reared, {book.one(BroodRow, row.brood_id).code}"
    return "origin not entered"


def _as_on(row: MothRow, on: dt.date) -> MothRow:
    if row.fate_on is not None and row.fate_on > on:
        return replace(row, fate=None, fate_on=None, fate_where=None, fate_note=None)
    return row


def _pot_as_on(pot: PotNow, on: dt.date) -> PotNow:
    """Return a pot that was closed later as one that still stands."""
    if pot.row.closed_on is not None and pot.row.closed_on > on:
        return replace(pot, row=replace(pot.row, closed_on=None))
    return pot


def _advice(row: MothRow, layings: Sequence[LayingRow]) -> str:
    """Say when to let her go: after a night that gave under a twentieth of all."""
    if row.fate is MothFate.NOT_FEMALE:
        return "Proved male on a second look; the first call stays in the night book."
    if row.fate is not None:
        return ""
    if not layings:
        return "No eggs entered yet. Enter nought for a night without any."
    total = sum(laying.number for laying in layings)
    last = max(layings, key=lambda laying: laying.evening)
    nights = counted(len(layings), "night")
    if total and last.number < ENOUGH_SHARE * total:
        return (
            f"{total} eggs in {nights}, the last gave {last.number}: time to let her "
            "go where she came from, at dusk, if local rules allow it."
        )
    return f"{total} eggs in {nights}, the last gave {last.number}; she may lay on."
