"""What one box asks for tonight: leaf, cleaning, a count, a look, or to be left."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.leaf_life import GROWING, LeafLife, life_of_leaf
from rearing.keeping.moments import day_words, short_day
from rearing.keeping.round_lines import RoundLine, Task
from rearing.sheets.advice import clean_every
from rearing.terms import Stage, Visit

if TYPE_CHECKING:
    from rearing.keeping.holding import BoxNow, Look
    from rearing.records.rows import BoxVisitRow, LossRow
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf

EVENING = dt.time(20)
"""When the round is walked (common practice): what lasts till then is not due."""

_ORDER = {stage: place for place, stage in enumerate(Stage)}
EARLY = dt.timedelta(hours=6)
"""Leaf that runs out this little before the next round still counts as lasting."""


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
    catching: LossRow | None


def box_line(
    care: BoxCare, shelf: SheetShelf, on: dt.date, zone: dt.tzinfo
) -> RoundLine:
    """Return the line of one box."""
    box = care.box
    task, reason, until = _task(care, shelf, on, zone)
    answer = _answered(care, task, reason, on, zone)
    task, reason = answer.task, answer.reason
    apart = _kept_apart(care, shelf, on)
    if apart:
        reason = f"{apart} {reason}" if reason else apart
        task = Task.LOOK if task is Task.NOTHING else task
    standing = box.standing
    count = standing.last_count
    return RoundLine(
        kind="box",
        id=box.row.id,
        code=box.code,
        brood_id=box.brood.id,
        taxon=care.taxon,
        short=care.sheet.short,
        task=task,
        done=answer.done or None,
        was_done=answer.was_done,
        reason=reason,
        number=standing.number,
        known=_known(box, on) if standing.is_counted and count else "by the book",
        by_book=not standing.is_counted,
        until=until,
        quarantine=bool(apart),
        host=_host(care),
        is_tub=box.row.kind.is_for_pupae,
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
        _resting(care, on, zone)
        or _settling(care, shelf, on)
        or _service(care, shelf, on, zone)
    )


def _service(
    care: BoxCare, shelf: SheetShelf, on: dt.date, zone: dt.tzinfo
) -> tuple[Task, str, str | None]:
    leaf = _leaf(care, shelf, on, zone)
    cleaning = _cleaning(care, shelf, on)
    counting = _counting(care.box, shelf, on)
    if leaf and cleaning:
        who, _, how = cleaning.partition(", ")
        # The instar is named once, though it is the reason for both.
        after = how[0].upper() + how[1:] if leaf.startswith(who) else cleaning
        return Task.CLEAN_AND_LEAF, f"{leaf} {after}", None
    if leaf:
        return Task.FRESH_LEAF, leaf, None
    if cleaning:
        return Task.CLEAN, cleaning, None
    if counting:
        return Task.COUNT_DUE, counting, None
    return Task.NOTHING, _lasting(care, shelf, zone), None


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
    until = _rest_ends(care.sheet, look, zone)
    if until.date() < on or (until.date() == on and until.time() < EVENING):
        return None
    number = sum(look.resting.values())
    reason = f"Moulting rest, {number} of {look.total} since {day_words(look.on)}"
    part = "night" if until.hour >= 18 else "noon" if until.hour >= 9 else "morning"
    return Task.LEAVE_ALONE, reason, f"until {day_words(until.date())}, {part}"


def _rest_ends(sheet: SpeciesSheet, look: Look, zone: dt.tzinfo) -> dt.datetime:
    last_but_one = sheet.larval_stages[-2] if len(sheet.larval_stages) > 1 else None
    long_rest = any(stage is last_but_one for stage in look.resting)
    hours = sheet.last_moult_rest_hours if long_rest else sheet.moult_rest_hours
    began = look.at or dt.datetime.combine(look.on, EVENING, zone)
    return began.astimezone(zone) + dt.timedelta(hours=hours.middle)


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
    next_round = dt.datetime.combine(on + dt.timedelta(days=1), EVENING, zone)
    if ends >= next_round - EARLY:
        return ""
    if life.is_eaten:
        last = f"last {_host(care) or 'leaf'} {short_day(care.fed.on)}"
        return f"Last instar, fed daily; {last}."
    given = f"{_leaf_name(care)} of {day_words(care.fed.on)}"
    lasts = f"lasts {_days(life.days)} at {care.at_c:.0f}°"
    return f"{given} {lasts}{_when(ends, on)}."


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
    every = clean_every(shelf.defaults, care.sheet, _oldest(box) or Stage.L1)
    if (on - last).days < round(max(every.high, 1)):
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


def _kept_apart(care: BoxCare, shelf: SheetShelf, on: dt.date) -> str:
    loss = care.catching
    if loss is None:
        return ""
    days = shelf.defaults.figures.quarantine_days.middle
    ends = loss.on + dt.timedelta(days=round(days))
    if on > ends:
        return ""
    return (
        f"Last {loss.cause} death {short_day(loss.on)}; apart until "
        f"{short_day(ends)}, own forceps."
    )


@dataclass(frozen=True, slots=True)
class _Answer:
    """What is still asked for after today's visits, why, and what was done."""

    task: Task
    reason: str
    done: str | None = None
    was_done: bool = True


def _answered(
    care: BoxCare, task: Task, reason: str, on: dt.date, zone: dt.tzinfo
) -> _Answer:
    """Return how today's visits answer a task.

    A box that was fed still waits for its count, one that was only cleaned for its
    leaf. Of cleaning and leaf, leaf is enough for tonight: what was left out is said.
    A look at all well puts an end to the asking, but does nothing that was asked for.
    """
    counts = [count for count in care.box.standing.counts if count.on == on]
    counted = f"{counts[-1].number} counted" if counts else ""
    if not care.today:
        # A count answers only the asking for a count: leaf is still to be given.
        return _Answer(task, reason, counted if task is Task.COUNT_DUE else None)
    visit = visit_words(care.today[-1], zone)
    said = "; ".join(part for part in (visit, counted) if part)
    left = _left(care, task, counted=bool(counts))
    if left is None:
        return _Answer(task, reason, said)
    visits = {visit.what for visit in care.today}
    if visits & {Visit.ALL_WELL, Visit.LOOKED}:
        return _Answer(task, reason, said, was_done=False)
    if left is Task.CLEAN and task is Task.CLEAN_AND_LEAF:
        return _Answer(Task.FRESH_LEAF, reason, f"{said}; not cleaned")
    return _Answer(left, f"{said}. {_NOT_YET[left]} yet.")


_NOT_YET = {
    Task.FRESH_LEAF: "No fresh leaf",
    Task.CLEAN_AND_LEAF: "No fresh leaf",
    Task.CLEAN: "Not cleaned",
    Task.COUNT_DUE: "Not counted",
}


def _left(care: BoxCare, task: Task, *, counted: bool) -> Task | None:
    """Return what today's visits left undone of a task, None when nothing."""
    visits = {visit.what for visit in care.today}
    fed = any(what.feeds for what in visits)
    cleaned = any(what.cleans for what in visits)
    if task is Task.COUNT_DUE:
        return None if counted else task
    if task in {Task.FRESH_LEAF, Task.CLEAN_AND_LEAF} and not fed:
        return Task.FRESH_LEAF if cleaned else task
    if task in {Task.CLEAN, Task.CLEAN_AND_LEAF} and not cleaned:
        return Task.CLEAN
    return None


def visit_words(visit: BoxVisitRow, zone: dt.tzinfo) -> str:
    """Return what was done at a visit: Fed 19:36: aspen, 60 g."""
    clock = f" {visit.at.astimezone(zone):%H:%M}" if visit.at else ""
    leaf = f": {visit.host}" if visit.host else ""
    grams = f", {visit.grams:g} g" if visit.grams else ""
    return f"{str(visit.what).capitalize()}{clock}{leaf}{grams}"


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
        host_latin=_latin(care),
        place_days=care.place_leaf_life,
        in_last_instar=_oldest(care.box) is care.sheet.larval_stages[-1],
    )


def _who(care: BoxCare) -> str:
    stage = _oldest(care.box)
    if stage is None or stage in {Stage.L1, Stage.L2, Stage.L3}:
        return "Small larvae"
    return "Last instar" if stage is care.sheet.larval_stages[-1] else str(stage)


def _host(care: BoxCare) -> str | None:
    fed = care.fed.host if care.fed else None
    return fed or care.box.row.host


def _latin(care: BoxCare) -> str:
    host = _host(care) or ""
    for known in care.sheet.hosts:
        if host and known.name.casefold() in host.casefold():
            return known.latin
    return host


def _leaf_name(care: BoxCare) -> str:
    return (_host(care) or "leaf").capitalize()


def _eats(box: BoxNow) -> bool:
    look = box.last_look
    if look is None:
        return True
    return any(stage.is_larva for stage in look.numbers)


def _oldest(box: BoxNow) -> Stage | None:
    look = box.last_look
    if look is None:
        return None
    larvae = [stage for stage in look.numbers if stage.is_larva]
    return max(larvae, key=_ORDER.__getitem__) if larvae else None


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
