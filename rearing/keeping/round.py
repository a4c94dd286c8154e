"""The round: what is due on a day, in walking order, clean first and suspect last."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from rearing.keeping.apart import Watch, apart_now
from rearing.keeping.away_days import next_away
from rearing.keeping.box_age import InstarDays
from rearing.keeping.box_line import BoxCare, box_line
from rearing.keeping.box_room import Rooms, said_well
from rearing.keeping.hatch_windows import HatchWindows
from rearing.keeping.holding import grouped, holding
from rearing.keeping.judging_lines import TEST_PLACE, judging_lines
from rearing.keeping.mixing import sources_of
from rearing.keeping.moments import counted, day_words
from rearing.keeping.pot_line import hatch_words, pot_line
from rearing.keeping.round_lines import Round, RoundLine, RoundPlace, Task
from rearing.keeping.season import Forecaster
from rearing.keeping.undisturbed import undisturbed
from rearing.keeping.warmth import Warmth
from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.latest import last_catching_losses, last_visits_of
from rearing.records.rows import BoxVisitRow, MoveRow
from rearing.terms import EggFate, Stage, Visit

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from rearing.keeping.apart import ApartNow
    from rearing.keeping.box_room import Room
    from rearing.keeping.holding import Holding, PotNow
    from rearing.keeping.season import Forecast, Window
    from rearing.records.book import Book
    from rearing.records.rows import LossRow, StayRow
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
    catching = last_catching_losses(book, on)
    apart = apart_now(book, shelf, on, catching=catching)
    lines = [
        *_box_lines(book, shelf, held, warmth, (apart, catching)),
        *_pot_lines(book, shelf, held, pots),
        *judging_lines(book, shelf, held, partial(_standing, held)),
    ]
    crowded = [x for _, x in lines if x.room is not None]
    if not everything:
        lines = [(p, x) for p, x in lines if x.task is not Task.NOTHING or x.done]
    next_pot = _next_to_hatch(pots)
    return Round(
        on,
        _walk(held, warmth, lines),
        _leaf_sentence(x for _, x in lines),
        hatch_sentence=_hatch_sentence(next_pot, held, shelf),
        next_pot_id=None if next_pot is None else next_pot[0].row.id,
        crowded=tuple(sorted(crowded, key=_by_room)),
        apart=apart,
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
    catching = last_catching_losses(book, held.on)
    apart = apart_now(book, shelf, held.on, catching=catching)
    return _box_lines(book, shelf, held, warmth, (apart, catching))


def _box_lines(
    book: Book,
    shelf: SheetShelf,
    held: Holding,
    warmth: Warmth,
    suspects: tuple[Sequence[ApartNow], Mapping[int, LossRow]],
) -> list[tuple[int, RoundLine]]:
    on, zone = held.on, held.home.zone
    fed, cleaned, today = _visits(book, on)
    apart = {one.box_id: one for one in suspects[0]}
    standing = _standing(held)
    mixed = sources_of(book) if suspects[1] else {}
    watch = Watch(held, standing, suspects[1], mixed)
    moved = _moved_since_look(book, held)
    rooms = _rooms(shelf, held, warmth, standing)
    answered = said_well(book, held, rooms)
    hosts = _brood_hosts(held, fed)
    away = next_away(book, on)
    is_eve = away is not None and away.first_on == on + dt.timedelta(days=1)
    away_to = away.last_on if away is not None and is_eve else None
    lines = []
    for box in held.boxes:
        key = box.row.id
        place_id = standing[key]
        place = held.places.get(place_id)
        taxon = held.taxon(box.brood)
        sheet, at_c = shelf.sheet_for(taxon), warmth.now_c(place_id)
        care = BoxCare(
            box=box,
            sheet=sheet,
            taxon=taxon,
            at_c=at_c,
            place_leaf_life=place.leaf_life_days if place else None,
            fed=fed.get(key),
            cleaned=cleaned.get(key),
            today=tuple(today.get(key, ())),
            room=rooms.get(key),
            room_is_answered=key in answered,
            apart=apart.get(key),
            watch=watch.words(box),
            away_to=away_to,
            brood_host=hosts.get(box.brood.id),
            moved_since_look=moved.get(key, 0),
        )
        lines.append((place_id, box_line(care, shelf, on, zone)))
    return lines


def _rooms(
    shelf: SheetShelf, held: Holding, warmth: Warmth, standing: Mapping[int, int]
) -> dict[int, Room]:
    """Return the boxes that are too full, now or at their next moult."""
    rooms, found = Rooms(InstarDays(shelf)), {}
    for box in held.boxes:
        sheet = shelf.sheet_for(held.taxon(box.brood))
        at_c = warmth.now_c(standing[box.row.id])
        room = rooms.of(box, sheet, at_c, held.on, held.home.zone)
        if room is not None:
            found[box.row.id] = room
    return found


def _standing(held: Holding) -> dict[int, int]:
    """Return where each box stands at the end of the day; 0 for nowhere."""
    now = end_of(held.on, held.home.zone)
    return {box.row.id: place_on(box.stays, now) or 0 for box in held.boxes}


_Visits = tuple[
    "Mapping[int, BoxVisitRow]",
    "Mapping[int, BoxVisitRow]",
    "Mapping[int | None, Sequence[BoxVisitRow]]",
]


def _visits(book: Book, on: dt.date) -> _Visits:
    """Return each box's last feeding and cleaning before a day, and its visits."""
    yesterday = on - dt.timedelta(days=1)
    today = book.all(BoxVisitRow, t.BoxVisit.on == on, t.BoxVisit.box_id.is_not(None))
    fed, cleaned = last_visits_of(book, yesterday, _FEEDING, _CLEANING)
    return fed, cleaned, grouped(today, lambda row: row.box_id)


def _brood_hosts(
    held: Holding, fed: Mapping[int, BoxVisitRow]
) -> dict[int, str | None]:
    """Return what a box of each brood ate last."""
    last: dict[int, BoxVisitRow] = {}
    for box in held.boxes:
        visit, key = fed.get(box.row.id), box.brood.id
        if visit is None or not visit.host:
            continue
        if key not in last or visit.on >= last[key].on:
            last[key] = visit
    return {key: visit.host for key, visit in last.items()}


def _moved_since_look(book: Book, held: Holding) -> dict[int, int]:
    """Return how many left a box for another since wanderers were seen in it."""
    looks = {
        box.row.id: box.last_look
        for box in held.boxes
        if box.last_look and box.last_look.numbers.get(Stage.WANDERING)
    }
    moved: Counter[int] = Counter()
    if not looks:
        return moved
    moves = book.all(MoveRow, among(t.Move.from_box_id, looks), t.Move.on <= held.on)
    for move in moves:
        look = looks[move.from_box_id or 0]
        same_day = move.on == look.on
        later = not (move.at and look.at) or move.at >= look.at
        if move.on > look.on or (same_day and later):
            moved[move.from_box_id or 0] += move.number
    return moved


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
            name=_place_name(held, key),
            note=f"{warmth.now_c(key):.0f}°" if key in held.places else "",
            lines=_youngest_first(by_place[key]),
        )
        for key in order
    ]
    if apart:
        stops.append(RoundPlace(0, QUARANTINE, "last", _youngest_first(apart)))
    return tuple(stops)


def _place_name(held: Holding, key: int) -> str:
    if key in held.places:
        return held.places[key].name
    return "Test larvae" if key == TEST_PLACE else "No place"


def _youngest_first(lines: Sequence[RoundLine]) -> tuple[RoundLine, ...]:
    """Walk a place brood by brood: clean ones first, of those the youngest first.

    A brood goes by its youngest; its eggs come before its boxes (handbook 4.9).
    """
    young: dict[int, tuple[bool, int]] = {}
    for line in lines:
        key = (line.watched, line.age)
        young[line.brood_id] = min(young.get(line.brood_id, key), key)
    return tuple(
        sorted(
            lines,
            key=lambda line: (
                young[line.brood_id],
                line.code.partition(" ")[0],
                line.kind == "box",
                line.code,
            ),
        )
    )


def _by_room(line: RoundLine) -> tuple[bool, bool, str]:
    room = line.room
    assert room is not None
    return (not room.is_now, not room.is_near, line.code)


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
