"""What one box asks for tonight: leaf, cleaning, a count, a look, or to be left."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.box_age import ORDER, oldest_larva, rest_ends, stages_now
from rearing.keeping.box_answers import answered
from rearing.keeping.leaf_life import GROWING, LeafLife, latin_of, life_of_leaf
from rearing.keeping.moments import day_words, short_day
from rearing.keeping.round_lines import EARLY, EVENING, RoundLine, Task
from rearing.sheets.advice import clean_every
from rearing.sheets.sheet import Pupation
from rearing.terms import Stage

if TYPE_CHECKING:
    from rearing.keeping.apart import ApartNow
    from rearing.keeping.box_room import Room
    from rearing.keeping.holding import BoxNow
    from rearing.records.rows import BoxVisitRow
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf


_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class BoxCare:
    """What was done at a box before, and what is known of its place."""

    box: BoxNow
    sheet: SpeciesSheet
    taxon: str
    at_c: float
    place_leaf_life: float | None
    fed: BoxVisitRow | None
    cleaned: BoxVisitRow | None
    today: tuple[BoxVisitRow, ...]
    room: Room | None = None
    room_is_answered: bool = False
    """Looked at all well since it was too full, and nothing has changed."""
    apart: ApartNow | None = None
    watch: str = ""
    away_to: dt.date | None = None
    """On the eve of days away, the last of them: leaf has to last until after it."""
    brood_host: str | None = None
    """What others of its brood ate last: a new box has no leaf of its own yet."""
    moved_since_look: int = 0
    """Animals moved out since the last look at stages."""


def box_line(
    care: BoxCare, shelf: SheetShelf, on: dt.date, zone: dt.tzinfo
) -> RoundLine:
    """Return the line of one box."""
    box = care.box
    task, reason, until = _task(care, shelf, on, zone)
    answer = answered(box, care.today, (task, reason), on, zone)
    task, reason, done = answer.task, answer.reason, answer.done
    apart = care.apart.words if care.apart else ""
    before = " ".join(filter(None, (apart, care.watch)))
    if before:
        reason = f"{before} {reason}" if reason else before
        task = Task.LOOK if task is Task.NOTHING else task
    if box.row.tools and task.is_due:
        told = f"{reason.rstrip('.')}. " if reason else ""
        reason = f"{told}Its own tools: {box.row.tools}."
    standing = box.standing
    count = standing.last_count
    oldest = max((ORDER[x] for x, n in stages_now(box).items() if n), default=0)
    return RoundLine(
        kind="box",
        id=box.row.id,
        code=box.code,
        brood_id=box.brood.id,
        taxon=care.taxon,
        short=care.sheet.short,
        task=task,
        done=done or None,
        was_done=answer.was_done,
        reason=reason,
        number=standing.number,
        known=_known(box, on) if standing.is_counted and count else "by the book",
        by_book=not standing.is_counted,
        until=until,
        quarantine=care.apart is not None,
        host=_host(care),
        is_tub=box.row.kind.is_for_pupae,
        room=care.room,
        age=oldest,
        watched=bool(care.watch),
        box_kind=box.row.kind,
        tools=box.row.tools,
    )


def _task(
    care: BoxCare, shelf: SheetShelf, on: dt.date, zone: dt.tzinfo
) -> tuple[Task, str, str | None]:
    box = care.box
    if box.standing.number <= 0:
        return Task.LOOK, "Empty by the book: close it, or count it.", None
    if box.row.kind.is_for_pupae:
        return _tub(care, on)
    return (
        _wandering(care, zone)
        or _resting(care, on, zone)
        or _settling(care, shelf, on)
        or _service(care, shelf, on, zone)
    )


def _service(
    care: BoxCare, shelf: SheetShelf, on: dt.date, zone: dt.tzinfo
) -> tuple[Task, str, str | None]:
    leaf = _leaf(care, shelf, on, zone)
    cleaning = _cleaning(care, shelf, on)
    crowded = _crowded(care)
    more = f" {crowded}" if crowded else ""
    if leaf and cleaning:
        who, _, how = cleaning.partition(", ")
        # The instar is named once, though it is the reason for both.
        after = how[0].upper() + how[1:] if leaf.startswith(who) else cleaning
        return Task.CLEAN_AND_LEAF, f"{leaf} {after}{more}", None
    if leaf:
        return Task.FRESH_LEAF, f"{leaf}{more}", None
    if cleaning:
        return Task.CLEAN, f"{cleaning}{more}", None
    if _is_too_full(care):
        return Task.MORE_ROOM, f"{crowded.rstrip('.')}: split them", None
    counting = _counting(care.box, shelf, on)
    if counting:
        return Task.COUNT_DUE, f"{counting}.{more}" if more else counting, None
    lasting = _lasting(care, shelf, zone)
    return (
        Task.NOTHING,
        f"{lasting}.{more}" if more and lasting else lasting + more,
        None,
    )


def _is_too_full(care: BoxCare) -> bool:
    room = care.room
    return room is not None and room.is_now and bool(_crowded(care))


def _crowded(care: BoxCare) -> str:
    """Return the room a box clearly lacks, unless the keeper said all is well."""
    room = care.room
    if room is None or not (room.is_near and room.is_clear):
        return ""
    return "" if room.is_now and care.room_is_answered else room.words


def _wandering(care: BoxCare, zone: dt.tzinfo) -> tuple[Task, str, str | None] | None:
    """Ask for litter within hours where larvae were seen to walk about.

    Spinners stay where they spin, on twig or corner (handbook 6.2).
    """
    look, mode = care.box.last_look, care.sheet.pupation.mode
    if look is None or mode is Pupation.COCOON:
        return None
    number = look.numbers.get(Stage.WANDERING, 0) - care.moved_since_look
    if number <= 0:
        return None
    clock = f" {look.at.astimezone(zone):%H:%M}" if look.at else ""
    still = sum(look.resting.values())
    rest = f" Leave the {still} at rest where they sit." if still else ""
    return (
        Task.WANDERERS,
        f"{number} wandering {short_day(look.on)}{clock}: into {_BEDS[mode]} within "
        f"hours, they bite through cloth. Is a tub ready?{rest}",
        None,
    )


_BEDS: dict[Pupation | None, str] = {
    None: "a dark tub",
    Pupation.EARTH: "damp earth or a dark tub",
    Pupation.LITTER: "litter",
    Pupation.BARK: "a tub with bark",
}


def _tub(care: BoxCare, on: dt.date) -> tuple[Task, str, str | None]:
    # Pupae that were carried over are hard already: only larvae need the quiet.
    soft = [move for move in care.box.moves_in if move.stage is not Stage.PUPA]
    arrivals = [move.on for move in soft]
    if not arrivals:
        return Task.NOTHING, "", None
    shut = care.sheet.pupation.undisturbed_days.high
    opens = max(arrivals) + dt.timedelta(days=round(shut))
    last = f"Last wanderer {short_day(max(arrivals))}"
    if on < opens:
        reason = f"{last}; pupae are soft and must lie still"
        return Task.LEAVE_ALONE, reason, f"until {day_words(opens)}"
    looked = care.box.last_look
    if looked is not None and looked.on >= opens:
        return Task.NOTHING, f"Pupae looked at {short_day(looked.on)}", None
    return Task.LOOK, f"{last}; the tub may be opened since {short_day(opens)}", None


def _resting(
    care: BoxCare, on: dt.date, zone: dt.tzinfo
) -> tuple[Task, str, str | None] | None:
    look = care.box.last_look
    if look is None or not look.resting:
        return None
    until = rest_ends(care.sheet, look, zone)
    if until.date() < on or (until.date() == on and until.time() < EVENING):
        return None
    number = sum(look.resting.values())
    reason = f"Moulting rest, {number} of {look.total} since {day_words(look.on)}"
    if _crowded(care):
        reason += "; then more room"
    part = "night" if until.hour >= 18 else "noon" if until.hour >= 9 else "morning"
    return Task.LEAVE_ALONE, reason, f"until {day_words(until.date())}, {part}"


def _settling(
    care: BoxCare, shelf: SheetShelf, on: dt.date
) -> tuple[Task, str, str | None] | None:
    hatched = [move.on for move in care.box.moves_in if move.from_pot_id is not None]
    if not hatched or care.box.looks:
        return None
    figures = shelf.defaults.figures
    first = max(hatched) + dt.timedelta(days=round(figures.first_look_days.middle))
    last = max(hatched) + dt.timedelta(days=round(figures.first_disturb_days.middle))
    idle = "" if care.sheet.feeds_as_l1.yes else _idle(care)
    if on < first:
        reason = f"Hatched {short_day(max(hatched))}; they settle on the leaf.{idle}"
        return Task.LEAVE_ALONE, reason, f"until {day_words(first)}"
    if on <= last and (care.fed is None or care.fed.on <= max(hatched)):
        return Task.LOOK, f"First look, {day_words(last)} at the latest.{idle}", None
    return None


def _idle(care: BoxCare) -> str:
    return f" {care.sheet.short} sits unfed until its first moult: nothing is wrong."


def _leaf(care: BoxCare, shelf: SheetShelf, on: dt.date, zone: dt.tzinfo) -> str:
    life = _life(care, shelf) if _eats(care.box) else None
    if life is None:
        return ""
    if care.fed is None:
        return "Not fed yet by the book."
    ends = _given(care.fed, zone) + dt.timedelta(days=life.days)
    next_round = dt.datetime.combine(_last_before(care, on) + _DAY, EVENING, zone)
    if ends >= next_round - EARLY:
        return ""
    if life.is_eaten:
        last = f"last {_host(care) or 'leaf'} {short_day(care.fed.on)}"
        return f"Last instar, fed daily; {last}."
    given = f"{_leaf_name(care)} of {day_words(care.fed.on)}"
    lasts = f"lasts {_days(life.days)} at {care.at_c:.0f}°"
    away = f" You are away to {day_words(care.away_to)}." if care.away_to else ""
    return f"{given} {lasts}{_when(ends, on)}.{away}"


def _last_before(care: BoxCare, on: dt.date) -> dt.date:
    """Return the day before the next round: this one, but on the eve of days away."""
    return care.away_to or on


def _lasting(care: BoxCare, shelf: SheetShelf, zone: dt.tzinfo) -> str:
    life = _life(care, shelf)
    if care.fed is None or life is None:
        return "On the living plant" if care.box.row.kind in GROWING else ""
    ends = _given(care.fed, zone) + dt.timedelta(days=life.days)
    return f"{_leaf_name(care)} lasts to {day_words(ends.date())}"


def _cleaning(care: BoxCare, shelf: SheetShelf, on: dt.date) -> str:
    box = care.box
    if box.row.kind in GROWING or not _eats(box):
        return ""
    began = min((move.on for move in box.moves_in), default=box.row.opened_on)
    last = care.cleaned.on if care.cleaned else began
    every = clean_every(shelf.defaults, care.sheet, oldest_larva(box) or Stage.L1)
    if (_last_before(care, on) - last).days < round(max(every.high, 1)):
        return ""
    how_often = "daily" if every.high <= 1 else "every second day"
    since = "not cleaned yet" if care.cleaned is None else f"last {short_day(last)}"
    return f"{_who(care)}, cleaned {how_often}; {since}."


def _counting(box: BoxNow, shelf: SheetShelf, on: dt.date) -> str:
    if not _eats(box):
        return ""
    # As before today: what is asked for stays on the list, struck out, once done.
    counts = [count for count in box.standing.counts if count.on < on]
    count = counts[-1] if counts else None
    began = min((move.on for move in box.moves_in), default=box.row.opened_on)
    last = count.on if count else began
    days = (on - last).days
    if days < shelf.defaults.figures.headcount_days.middle:
        return ""
    since = "the last headcount" if count else "they were put in"
    return f"{days} days since {since}"


def _known(box: BoxNow, on: dt.date) -> str:
    count = box.standing.last_count
    if count is None:
        return "by the book"
    return "counted today" if count.on == on else f"counted {short_day(count.on)}"


def _life(care: BoxCare, shelf: SheetShelf) -> LeafLife | None:
    return life_of_leaf(
        shelf.defaults,
        care.box.row.kind,
        at_c=care.at_c,
        host_latin=latin_of(care.sheet, _host(care)),
        place_days=care.place_leaf_life,
        in_last_instar=oldest_larva(care.box) is care.sheet.larval_stages[-1],
    )


def _who(care: BoxCare) -> str:
    stage = oldest_larva(care.box)
    if stage is None or stage in {Stage.L1, Stage.L2, Stage.L3}:
        return "Small larvae"
    return "Last instar" if stage is care.sheet.larval_stages[-1] else str(stage)


def _host(care: BoxCare) -> str | None:
    fed = care.fed.host if care.fed else None
    return fed or care.box.row.host or care.brood_host


def _leaf_name(care: BoxCare) -> str:
    return (_host(care) or "leaf").capitalize()


def _eats(box: BoxNow) -> bool:
    look = box.last_look
    if look is None:
        return True
    return any(stage.is_larva for stage in look.numbers)


def _given(visit: BoxVisitRow, zone: dt.tzinfo) -> dt.datetime:
    return visit.at or dt.datetime.combine(visit.on, EVENING, zone)


def _days(days: float) -> str:
    words = {1.0: "a day", 1.5: "a day and a half", 2.0: "two days", 3.0: "three days"}
    return words.get(round(days, 1), f"{days:.1f} days")


def _when(ends: dt.datetime, on: dt.date) -> str:
    if ends.date() < on:
        return f": it ended {day_words(ends.date())}"
    if ends.date() == on:
        return ": it ends tonight"
    return f", to {day_words(ends.date())}"
