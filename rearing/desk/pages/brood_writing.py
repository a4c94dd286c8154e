"""How a brood's page is written: its head, its chain, its boxes and its keys."""

from __future__ import annotations

from collections import Counter, defaultdict
from typing import TYPE_CHECKING

from rearing.desk.typed import near_words
from rearing.desk.widgets.chain import Step
from rearing.desk.widgets.header import Heading
from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, Pencil, State
from rearing.desk.widgets.marks import Mark
from rearing.desk.widgets.stage_bar import StagePart, StageRow
from rearing.desk.widgets.step_line import Point
from rearing.keeping.moments import counted, short_day, span_words
from rearing.keeping.round import end_of, place_on
from rearing.keeping.round_lines import Task
from rearing.terms import EggFate, Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator, Sequence

    from rearing.keeping.broods import BroodPage
    from rearing.keeping.holding import BoxNow, Look, PotNow
    from rearing.records.rows import StayRow

BOX_COLUMNS = (
    Column("Box", Ink.CODE),
    Column("Place", Ink.TEXT),
    Column("Number", Ink.NUMBER),
    Column("Known", Ink.KNOWN),
    Column("Remark", Ink.TEXT, stretch=True),
)
BOX_KEYS = (
    KeyOffer("C", "count"),
    KeyOffer("F", "fed"),
    KeyOffer("G", "stages"),
    KeyOffer("X", "loss"),
    KeyOffer("M", "carry", quiet=True),
    KeyOffer("V", "move animals", quiet=True),
    KeyOffer("D", "split", quiet=True),
    KeyOffer("J", "join", quiet=True),
    KeyOffer("T", "", unseen=True),
    KeyOffer("R", "given, released", quiet=True),
    KeyOffer("I", "measured", quiet=True),
    KeyOffer("Z", "close", quiet=True),
    KeyOffer("N", "note", quiet=True),
)
TUB_KEYS = tuple(offer for offer in BOX_KEYS if offer.cap != "F")
POT_KEYS = (
    KeyOffer("H", "hatched, other fate"),
    KeyOffer("L", "put on leaf"),
    KeyOffer("M", "carry", quiet=True),
    KeyOffer("Z", "close", quiet=True),
    KeyOffer("N", "note", quiet=True),
)
_MANY = {Stage.PUPA: "pupae", Stage.ADULT: "moths", Stage.EGG: "eggs"}


def heading(page: BroodPage, on: dt.date, turn: str) -> Heading:
    """Return the head: code, species, where it stands, and how many are alive."""
    numbers = page.numbers
    alive = numbers.alive + numbers.in_pots
    verdict = f"{alive} alive" if alive or not numbers.waiting else ""
    if numbers.waiting:
        eggs = counted(numbers.waiting, "egg") + " waiting"
        verdict = f"{verdict}, {eggs}" if verdict else eggs
    known = known_words(page, on)
    return Heading(
        code=page.row.code,
        species=page.taxon,
        words=state_words(page, on),
        verdict=verdict,
        under=", ".join(part for part in (known, turn) if part),
    )


def state_words(page: BroodPage, on: dt.date) -> str:
    """Return how far it is, on what, and how long since the first hatched."""
    stages: Counter[Stage] = Counter()
    for box in page.open_boxes:
        if box.last_look is not None and box.standing.number:
            stages.update(box.last_look.numbers)
    parts = [_most(page, stages)] if stages else []
    if not parts and page.numbers.alive:
        parts.append(page.summary)
    hosts = dict.fromkeys(
        line.host for line in page.asked.values() if line.host and not line.is_tub
    )
    if hosts and parts:
        parts.append(f"on {' and '.join(str(host) for host in hosts)}")
    hatched = [x.on for pot in page.pots for x in pot.outcomes if _hatched(x.fate)]
    if hatched and page.numbers.alive:
        parts.append(f"{counted((on - min(hatched)).days, 'day')} from hatching")
    return ", ".join(parts) or page.summary


def _hatched(fate: EggFate) -> bool:
    return fate is EggFate.HATCHED


def _most(page: BroodPage, stages: Counter[Stage]) -> str:
    stage = max(stages, key=lambda one: stages[one])
    many = "all" if len([one for one in stages if stages[one]]) == 1 else "most"
    if stage is page.sheet.larval_stages[-1]:
        return f"{many} in the last instar"
    if stage is Stage.WANDERING:
        return f"{many} wandering"
    if stage.is_larva:
        return f"{many} in {stage}"
    return f"{many} {_MANY.get(stage, stage)}"


def known_words(page: BroodPage, on: dt.date) -> str:
    """Return how the number alive is known: 34 counted yesterday, 33 by the book."""
    by_day: Counter[dt.date] = Counter()
    by_book = 0
    for box in page.open_boxes:
        count = box.standing.last_count
        if box.standing.is_counted and count is not None:
            by_day[count.on] += box.standing.number
        else:
            by_book += box.standing.number
    days = [day for day in sorted(by_day) if by_day[day]]
    said = [f"{by_day[day]} counted {near_day(day, on)}" for day in reversed(days)]
    if len(days) > 2:
        number = sum(by_day.values())
        said = [f"{number} counted {span_words(days[0], days[-1])}"]
    if by_book:
        said.append(f"{by_book} by the book")
    return ", ".join(said)


def near_day(day: dt.date, on: dt.date) -> str:
    """Return a day as today, yesterday or Thu 24 June."""
    apart = (on - day).days
    if apart in {0, 1}:
        return "yesterday" if apart else "today"
    return near_words(day, on)


# from


def chain_steps(page: BroodPage) -> tuple[Step, ...]:
    """Return the steps from the lamp night to the boxes."""
    steps = [Step(link.words, link.beneath, link.kind, link.id) for link in page.chain]
    numbers = page.numbers
    evenings = sorted({night.evening for night in page.nights})
    if evenings:
        nights = counted(len(evenings), "night")
        each = ", ".join(str(night.laid) for night in page.nights)
        steps.append(Step(f"{numbers.eggs} eggs, {nights}", each))
    if numbers.hatched:
        steps.append(Step(f"{numbers.hatched} hatched", _hatch_words(page)))
    standing = page.open_boxes
    if standing:
        labels = ", ".join(box.row.label for box in standing)
        steps.append(Step(_boxes_words(standing), labels))
    return tuple(steps)


def _hatch_words(page: BroodPage) -> str:
    days = [x.on for pot in page.pots for x in pot.outcomes if _hatched(x.fate)]
    share = page.numbers.hatched_share or 0.0
    return f"{span_words(min(days), max(days))}, {share * 100:.0f} %"


def _boxes_words(boxes: Sequence[BoxNow]) -> str:
    kinds = Counter(str(box.row.kind) for box in boxes)
    said = [_kind_words(number, kind) for kind, number in kinds.items()]
    return " and ".join([", ".join(said[:-1]), said[-1]] if len(said) > 1 else said)


def _kind_words(number: int, kind: str) -> str:
    many = f"{kind}es" if kind.endswith("x") else f"{kind}s"
    return counted(number, kind, many)


# numbers


def box_lines(page: BroodPage, zone: dt.tzinfo, on: dt.date) -> tuple[Line, ...]:
    """Return a line for each pot and box that stands."""
    return tuple(_standing(page, zone, on))


def _standing(page: BroodPage, zone: dt.tzinfo, on: dt.date) -> Iterator[Line]:
    for box in page.open_boxes:
        yield _box_line(page, box, _place(page, box.stays, zone, on), on)
    for pot in page.pots:
        shut = pot.row.closed_on
        if shut is None or shut > on:
            yield _pot_line(pot, _place(page, pot.stays, zone, on))


def _place(
    page: BroodPage, stays: Sequence[StayRow], zone: dt.tzinfo, on: dt.date
) -> str:
    return page.place_names.get(place_on(stays, end_of(on, zone)) or 0, "no place")


def _box_line(page: BroodPage, box: BoxNow, place: str, on: dt.date) -> Line:
    standing, count = box.standing, box.standing.last_count
    counted_ = standing.is_counted and count is not None
    known = f"counted {near_day(count.on, on)}" if count else "never counted"
    asked = page.asked.get(box.row.id)
    rests = asked is not None and asked.task is Task.LEAVE_ALONE
    apart = asked is not None and asked.quarantine
    remark = _remark(page, box)
    label = _label(box)
    told = known if counted_ else f"by the book, {known}"
    number = str(standing.number)
    return Line(
        key=("box", box.row.id),
        cells=(
            label,
            place,
            number,
            known if counted_ else Pencil(told),
            Pencil(remark) if rests else remark,
        ),
        sentence=f"{label}, {place}: {number} {told}. {remark}",
        mark=Mark.DIAMOND if apart else Mark.BARS if rests else Mark.NONE,
        alarm=apart,
        keys=TUB_KEYS if box.row.kind.is_for_pupae else BOX_KEYS,
    )


def _label(box: BoxNow) -> str:
    """Return the box's label and its kind, the kind not said twice: cage 1."""
    label, kind = box.row.label, str(box.row.kind)
    return label if kind in label.casefold().split() else f"{label}, {kind}"


def _remark(page: BroodPage, box: BoxNow) -> str:
    """Return what the next hand at this box should know, the most needed first."""
    asked = page.asked.get(box.row.id)
    parts = []
    if asked is not None and asked.task is Task.LEAVE_ALONE:
        parts.append(f"leave alone {asked.until or ''}".strip())
    elif asked is not None and (asked.done or asked.task is not Task.NOTHING):
        why = asked.reason.rstrip(".") if asked.task is Task.LOOK else ""
        said = asked.done or why or str(asked.task)
        parts.append(said[:1].lower() + said[1:])
    if box.row.tools:
        parts.append(f"its own tools: {box.row.tools}")
    parts.extend(_against_the_book(box))
    return "; ".join(parts)


def _against_the_book(box: BoxNow) -> Iterator[str]:
    count = box.standing.last_count
    if count is None or not count.missing:
        return
    if count.missing < 0:
        yield f"{-count.missing} found again at the count, a correction"
    else:
        yield f"{count.missing} unaccounted for at the count"


def _pot_line(pot: PotNow, place: str) -> Line:
    label = f"pot {pot.row.label}"
    hatched, unhoused = pot.of(EggFate.HATCHED), pot.unhoused
    known = f"of {pot.eggs} eggs waiting"
    remark = f"{hatched} hatched" if hatched else ""
    if unhoused > 0:
        remark += f", {unhoused} of them still in the pot"
    return Line(
        key=("pot", pot.row.id),
        cells=(label, place, str(pot.waiting), known, remark),
        sentence=f"{label}, {place}: {pot.waiting} {known}. {remark}",
        state=State.PLAIN,
        keys=POT_KEYS,
    )


def closed_words(page: BroodPage, on: dt.date) -> str:
    """Return the boxes and pots that were closed, in a sentence."""
    by_day: dict[dt.date, list[str]] = defaultdict(list)
    for box in page.boxes:
        if box.row.closed_on is not None and box.row.closed_on <= on:
            why = f" ({box.row.closed_why})" if box.row.closed_why else ""
            by_day[box.row.closed_on].append(f"{box.row.label}{why}")
    for pot in page.pots:
        if pot.row.closed_on is not None and pot.row.closed_on <= on:
            by_day[pot.row.closed_on].append(f"pot {pot.row.label}")
    said = [f"{', '.join(by_day[day])} on {short_day(day)}" for day in sorted(by_day)]
    return f"Closed: {'; '.join(said)}." if said else ""


def course_points(page: BroodPage) -> tuple[Point, ...]:
    """Return the steps of the number, with words where eggs and hatchlings stood."""
    if not page.course:
        return ()
    steps = list(page.course)
    top = max(range(len(steps)), key=lambda at: steps[at].number)
    fates = [x.on for pot in page.pots for x in pot.outcomes]
    hatched = page.numbers.hatched
    words = {top: f"{page.numbers.eggs} eggs"}
    done = [at for at, step in enumerate(steps) if fates and step.on >= max(fates)]
    if hatched and done and done[0] != top and not page.numbers.waiting:
        words[done[0]] = f"{hatched} hatched"
    return tuple(
        Point(step.on, step.number, words.get(at, "")) for at, step in enumerate(steps)
    )


# instars


def stage_rows(page: BroodPage) -> tuple[StageRow, ...]:
    """Return a bar for each box that was looked at, feeding before resting."""
    rows = []
    for box in page.open_boxes:
        look = box.last_look
        if look is not None and look.total:
            rows.append(StageRow(box.row.label, tuple(_parts(look)), _looked(box)))
    return tuple(rows)


def _parts(look: Look) -> Iterator[StagePart]:
    for stage in Stage:
        resting = look.resting.get(stage, 0)
        feeding = look.numbers.get(stage, 0) - resting
        if feeding > 0:
            yield StagePart(str(stage), feeding)
        if resting:
            yield StagePart(str(stage), resting, resting=True)


def _looked(box: BoxNow) -> str:
    look = box.last_look
    if look is None:
        return ""
    here, day = box.standing.number, short_day(look.on)
    if look.total > here:
        return f"{look.total} looked at {day}, {here} now"
    who = f"all {here}" if look.total == here else f"{look.total} of {here}"
    return f"{who} looked at {day}"


def stages_sentence(page: BroodPage) -> str:
    """Return how many stand in which stage, and which boxes were not looked at."""
    unseen = [
        box.row.label
        for box in page.open_boxes
        if box.last_look is None and box.standing.number
    ]
    numbers: Counter[Stage] = Counter()
    resting = 0
    for box in page.open_boxes:
        if box.last_look is not None:
            numbers.update(box.last_look.numbers)
            resting += sum(box.last_look.resting.values())
    said = [_in_stage(numbers[stage], stage) for stage in Stage if numbers[stage]]
    words = ", ".join(said)
    if resting:
        words += f"; {resting} of them at moulting rest, to be left alone"
    if unseen:
        words += f"{'. ' if words else ''}Not looked at yet: {', '.join(unseen)} (G)"
    return f"{words}." if words else ""


def _in_stage(number: int, stage: Stage) -> str:
    if stage in _MANY:
        return counted(number, str(stage), _MANY[stage])
    return f"{number} {'' if stage is Stage.WANDERING else 'in '}{stage}"


def boxes_note(page: BroodPage) -> str:
    """Return the margin's note beside the numbers."""
    return "box by box" if len(page.open_boxes) > 1 else ""


def no_windows(page: BroodPage) -> str:
    """Return why there is no forecast, and what would bring one."""
    numbers = page.numbers
    if numbers.in_pots and not numbers.alive:
        return "Hatched and still in the pot: L puts them on leaf, then windows follow."
    if numbers.alive:
        return "No forecast: enter where the boxes stand (M) and what is seen (G)."
    return ""
