"""The broods and one brood's page as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table
from rearing.terms import EggFate, Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator, Sequence

    from rearing.exchange.tables import Value
    from rearing.keeping.broods import BroodLine, BroodPage
    from rearing.keeping.doings import Doing
    from rearing.keeping.holding import BoxNow, PotNow

_BROODS = ("code", "species", "alive", "eggs waiting", "state", "living")
_BOXES = (
    *("brood", "kind", "label", "opened", "closed", "why closed"),
    *("number", "known", "last counted", "last count", "missing at last count"),
    *("came", "moved out", "lost", "left", "unaccounted"),
)
_POTS = (
    *("brood", "pot", "opened", "closed", "eggs", "waiting"),
    *("hatched", "put on leaf", "collapsed", "dead in shell", "mouldy"),
    *("parasitised", "lost", "given"),
)
_STAGES = ("box", "day", "time", "stage", "number", "at moulting rest")


def broods_table(lines: Iterable[BroodLine]) -> Table:
    """Return the list of broods."""
    rows = ((x.code, x.taxon, x.alive, x.waiting, x.words, x.is_open) for x in lines)
    return table("Broods", _BROODS, rows)


def boxes_table(page: BroodPage) -> Table:
    """Return a brood's boxes, closed ones too, each with its own bookkeeping."""
    code = page.row.code
    return table(f"Boxes of {code}", _BOXES, (_box(code, x) for x in page.boxes))


def _box(code: str, box: BoxNow) -> tuple[Value, ...]:
    standing, count = box.standing, box.standing.last_count
    known = "counted" if standing.is_counted else "by the book"
    return (
        *(code, box.row.kind, box.row.label, box.row.opened_on),
        *(box.row.closed_on, box.row.closed_why, standing.number, known),
        *((count.on, count.number, count.missing) if count else (None,) * 3),
        *(standing.came, standing.moved_out, standing.lost, standing.left),
        standing.unaccounted,
    )


def pots_table(name: str, pots: Iterable[PotNow]) -> Table:
    """Return egg pots with what became of their eggs."""
    return table(f"Pots of {name}", _POTS, (_pot(pot) for pot in pots))


def _pot(pot: PotNow) -> tuple[Value, ...]:
    row = pot.row
    fates = (
        *(EggFate.COLLAPSED, EggFate.DEAD_IN_SHELL, EggFate.MOULDY),
        *(EggFate.PARASITISED, EggFate.LOST, EggFate.GIVEN),
    )
    return (
        *(pot.brood.code, row.label, row.opened_on, row.closed_on),
        *(pot.eggs, pot.waiting, pot.of(EggFate.HATCHED), pot.housed),
        *(pot.of(fate) for fate in fates),
    )


def course_table(page: BroodPage) -> Table:
    """Return the number alive, eggs among them, on each day on which it changed."""
    rows = ((step.on, step.number) for step in page.course)
    return table(f"Number of {page.row.code}", ("day", "alive, eggs among them"), rows)


def stages_table(page: BroodPage) -> Table:
    """Return every look at the stages of a brood's boxes."""
    return table(f"Stages of {page.row.code}", _STAGES, _looks(page.boxes))


def _looks(boxes: Sequence[BoxNow]) -> Iterator[tuple[Value, ...]]:
    for box in boxes:
        for look in box.looks:
            for stage in Stage:
                if look.numbers.get(stage):
                    number, rest = look.numbers[stage], look.resting.get(stage, 0)
                    yield (box.row.label, look.on, look.at, stage, number, rest)


def losses_table(page: BroodPage) -> Table:
    """Return a brood's losses by cause; the unaccounted are the last row."""
    rows: list[tuple[Value, ...]] = [
        ("eggs" if one.of_eggs else "larvae", one.cause, one.number)
        for one in page.numbers.losses
    ]
    rows.append(("larvae", "unaccounted", page.numbers.unaccounted))
    return table(f"Losses of {page.row.code}", ("of", "cause", "number"), rows)


def exits_table(page: BroodPage) -> Table:
    """Return what left a brood alive, or for the cabinet."""
    labels = {box.row.id: box.row.label for box in page.boxes}
    headings = ("day", "time", "box", "number", "kind", "to whom", "where", "note")
    rows = (
        (x.on, x.at, labels.get(x.box_id), x.number, x.kind, x.to_whom, x.where, x.note)
        for x in page.exits
    )
    return table(f"Left {page.row.code}", headings, rows)


def leaf_given_table(page: BroodPage) -> Table:
    """Return the leaf weighed by day, and feedings that were not weighed."""
    rows = ((day.on, day.grams, day.unweighed) for day in page.leaf.days)
    headings = ("day", "leaf [g]", "feedings not weighed")
    return table(f"Leaf given to {page.row.code}", headings, rows)


def doings_table(code: str, doings: Iterable[Doing]) -> Table:
    """Return what was done and seen, latest first."""
    rows = ((x.on, x.at, x.where, x.words, x.note) for x in doings)
    headings = ("day", "time", "where", "what", "note")
    return table(f"Done and seen at {code}", headings, rows)


def notes_table(name: str, notes: Iterable[tuple[dt.date, str, str]]) -> Table:
    """Return notes: the day, what each is beside, and its words."""
    return table(f"Notes of {name}", ("day", "where", "note"), notes)
