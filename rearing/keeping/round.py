"""The round: what is due on a day, in walking order, clean first and suspect last."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from rearing.keeping.box_line import BoxCare, box_line
from rearing.keeping.hatch_windows import HatchWindows
from rearing.keeping.holding import grouped, holding
from rearing.keeping.moments import counted, day_words
from rearing.keeping.pot_line import hatch_words, pot_line
from rearing.keeping.round_lines import Round, RoundLine, RoundPlace, Task
from rearing.keeping.season import Forecaster
from rearing.keeping.undisturbed import undisturbed
from rearing.keeping.warmth import Warmth
from rearing.records import tables as t
from rearing.records.latest import last_catching_losses, last_visits
from rearing.records.rows import BoxVisitRow
from rearing.terms import EggFate, Visit

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rearing.keeping.holding import Holding, PotNow
    from rearing.keeping.season import Forecast, Window
    from rearing.records.book import Book
    from rearing.records.rows import StayRow
    from rearing.sheets.shelf import SheetShelf

QUARANTINE = "Quarantine"

_FEEDING = (Visit.FED, Visit.FED_AND_CLEANED)
_CLEANING = (Visit.CLEANED, Visit.FED_AND_CLEANED)


@undisturbed()
def round_of(
    book: Book,
    shelf: SheetShelf,
    on: dt.date,
    *,
    everything: bool = False,
    known: HatchWindows | None = None,
) -> Round:
    """Return the round of a day; with `everything`, what is not due as well.

    `known` keeps the windows of the eggs between one round and the next: whoever
    hands it over drops from it what an entry may have changed.
    """
    held = holding(book, on)
    warmth = Warmth(book, shelf, held)
    windows = HatchWindows() if known is None else known
    pots = _forecast_pots(held, windows, Forecaster(held, shelf, warmth))
    lines = [
        *box_lines(book, shelf, held, warmth),
        *_pot_lines(book, shelf, held, pots),
    ]
    if not everything:
        lines = [(p, x) for p, x in lines if x.task is not Task.NOTHING or x.done]
    next_pot = _next_to_hatch(pots)
    return Round(
        on,
        _walk(held, warmth, lines),
        _leaf_sentence(x for _, x in lines),
        hatch_sentence=_hatch_sentence(next_pot, held, shelf),
        next_pot_id=None if next_pot is None else next_pot[0].row.id,
    )


def place_on(stays: Sequence[StayRow], moment: dt.datetime) -> int | None:
    """Return where something stands at a moment; before its first stay, there."""
    at = [stay for stay in stays if stay.from_at <= moment]
    stay = at[-1] if at else (stays[0] if stays else None)
    return None if stay is None else stay.place_id


def box_lines(
    book: Book, shelf: SheetShelf, held: Holding, warmth: Warmth
) -> list[tuple[int, RoundLine]]:
    """Return what each box that is held asks for, with the place it stands at."""
    on, zone = held.on, held.home.zone
    yesterday = on - dt.timedelta(days=1)
    fed = last_visits(book, yesterday, _FEEDING)
    cleaned = last_visits(book, yesterday, _CLEANING)
    today = grouped(
        book.all(BoxVisitRow, t.BoxVisit.on == on, t.BoxVisit.box_id.is_not(None)),
        lambda row: row.box_id,
    )
    catching = last_catching_losses(book, on)
    now = end_of(on, zone)
    lines = []
    for box in held.boxes:
        place_id = place_on(box.stays, now) or 0
        place = held.places.get(place_id)
        taxon = held.taxon(box.brood)
        care = BoxCare(
            box=box,
            sheet=shelf.sheet_for(taxon),
            taxon=taxon,
            at_c=warmth.now_c(place_id),
            place_leaf_life=place.leaf_life_days if place else None,
            fed=fed.get(box.row.id),
            cleaned=cleaned.get(box.row.id),
            today=tuple(today.get(box.row.id, ())),
            catching=catching.get(box.row.id),
        )
        lines.append((place_id, box_line(care, shelf, on, zone)))
    return lines


def _forecast_pots(
    held: Holding, known: HatchWindows, forecaster: Forecaster
) -> list[tuple[PotNow, Forecast | None]]:
    known.turn_to(held.on)
    return [
        (pot, known.of(pot, forecaster))
        for pot in held.pots
        if pot.waiting > 0 or pot.unhoused > 0
    ]


def _pot_lines(
    book: Book,
    shelf: SheetShelf,
    held: Holding,
    pots: Sequence[tuple[PotNow, Forecast | None]],
) -> list[tuple[int, RoundLine]]:
    now = end_of(held.on, held.home.zone)
    looked = {
        row.pot_id: row
        for row in book.all(
            BoxVisitRow, t.BoxVisit.on == held.on, t.BoxVisit.pot_id.is_not(None)
        )
    }
    lines = []
    for pot, forecast in pots:
        taxon = held.taxon(pot.brood)
        sheet = shelf.sheet_for(taxon)
        line = pot_line(pot, taxon, sheet, forecast, held, looked.get(pot.row.id))
        lines.append((place_on(pot.stays, now) or 0, line))
    return lines


def _next_to_hatch(
    pots: Sequence[tuple[PotNow, Forecast | None]],
) -> tuple[PotNow, Window] | None:
    """Return the pot, not hatching yet, of which the first is expected soonest."""
    found: list[tuple[dt.datetime, int, PotNow, Window]] = []
    for pot, forecast in pots:
        window = forecast.window("hatch") if forecast else None
        if window and window.first and not pot.of(EggFate.HATCHED):
            found.append((window.first.middle, pot.row.id, pot, window))
    if not found:
        return None
    _, _, pot, window = min(found, key=lambda one: one[:2])
    return pot, window


def _hatch_sentence(
    found: tuple[PotNow, Window] | None, held: Holding, shelf: SheetShelf
) -> str:
    if found is None or found[1].first is None:
        return ""
    pot, first, half = found[0], found[1].first, found[1].half
    short = shelf.sheet_for(held.taxon(pot.brood)).short
    eggs = counted(pot.waiting, "egg")
    if first.middle.date() > held.on:
        when = f"first {hatch_words(first, half)}"
    else:
        when = f"any day since {day_words(first.middle.date())}"
        if half is not None:
            when += f", half by {day_words(half.middle.date())}"
    return f"Next to hatch: {pot.code}, {short}, {eggs}: {when}."


def end_of(day: dt.date, zone: dt.tzinfo) -> dt.datetime:
    """Return the last moment of a day."""
    return dt.datetime.combine(day, dt.time(23, 59, 59), zone)


def _walk(
    held: Holding, warmth: Warmth, lines: Iterable[tuple[int, RoundLine]]
) -> tuple[RoundPlace, ...]:
    by_place: dict[int, list[RoundLine]] = defaultdict(list)
    apart: list[RoundLine] = []
    for place_id, line in lines:
        if line.quarantine:
            # It is walked last, so its line has to say where it stands.
            where = held.places[place_id].name if place_id in held.places else ""
            apart.append(replace(line, reason=f"{where}. {line.reason}"))
        else:
            by_place[place_id].append(line)
    order = sorted(
        by_place,
        key=lambda key: (
            held.places[key].walking_order if key in held.places else 10**6,
            key,
        ),
    )
    stops = [
        RoundPlace(
            place_id=key,
            name=held.places[key].name if key in held.places else "No place",
            note=f"{warmth.now_c(key):.0f}°" if key in held.places else "",
            lines=tuple(sorted(by_place[key], key=_by_code)),
        )
        for key in order
    ]
    if apart:
        stops.append(
            RoundPlace(0, QUARANTINE, "last", tuple(sorted(apart, key=_by_code)))
        )
    return tuple(stops)


def _by_code(line: RoundLine) -> tuple[str, str]:
    return (line.kind, line.code)


def _leaf_sentence(lines: Iterable[RoundLine]) -> str:
    wanted = Counter(
        line.host or "leaf"
        for line in lines
        if line.task in {Task.FRESH_LEAF, Task.CLEAN_AND_LEAF, Task.PUT_ON_LEAF}
        and not line.done
    )
    if not wanted:
        return "No leaf to fetch tonight"
    parts = [f"{host} for {n}" for host, n in sorted(wanted.items())]
    boxes = counted(sum(wanted.values()), "box", "boxes")
    return f"Leaf to fetch for {boxes}: {', '.join(parts)}"
