"""Boxes kept apart: by the keeper's own judgement, and after catching deaths."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.mixing import may_be_of_one
from rearing.keeping.moments import day_words, refuse_future, short_day
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.latest import last_catching_losses
from rearing.records.rows import BoxRow, BroodRow, SetApartRow
from rearing.terms import Cause

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rearing.keeping.holding import BoxNow, Holding
    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched
    from rearing.records.rows import LossRow
    from rearing.sheets.defaults import Defaults
    from rearing.sheets.shelf import SheetShelf

WATCHED = dt.timedelta(days=3)
"""Neighbours of a virus death are watched at least so long (Nuclear polyhedrosis,
oocities.com/RainForest/2153/np.html)."""

FOR_EVER = dt.date.max


@dataclass(frozen=True, slots=True)
class ApartNow:
    """A box kept apart on a day; `until` is None where the keeper ends it.

    `set_apart_id` is that of the keeper's own entry, None where only deaths ask for
    it; `words` are the reason with its end.
    """

    box_id: int
    code: str
    words: str
    until: dt.date | None
    died_of: str | None = None
    died_on: dt.date | None = None
    set_apart_id: int | None = None


def set_apart(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    since: dt.date,
    until: dt.date | None = None,
    why: str | None = None,
    sure: bool = False,
) -> Touched:
    """Keep a box apart, to a day or until further notice, whatever died in it."""
    from rearing.keeping.boxes import box_name

    refuse_future(since, entry.on, sure=sure, field="since")
    if until is not None and until < since:
        raise Refusal("It would end before it begins.", field="until")
    box = book.one(BoxRow, box_id)
    if since < box.opened_on or (box.closed_on is not None and since > box.closed_on):
        raise Refusal(
            f"{box_name(book, box)} was not open on {day_words(since)}.", field="since"
        )
    for old in _standing(book, since, until):
        if old.box_id == box_id:
            raise Refusal(
                f"{box_name(book, box)} is set apart already since "
                f"{day_words(old.since)}. End that first, or leave it.",
                field="since",
            )
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.SetApart, box_id=box_id, since=since, until=until, why=why
        )
        pen.subjects.add(("box", box_id))
        to = f" until {day_words(until)}" if until else ""
        pen.say(f"{box_name(book, box)} set apart{to}{f': {why}' if why else ''}")
    return pen.touched


def end_apart(
    book: Book,
    entry: Entry,
    *,
    set_apart_id: int,
    on: dt.date,
    sure: bool = False,
) -> Touched:
    """End a box's being set apart; what deaths ask for stays as it is."""
    from rearing.keeping.boxes import box_name

    refuse_future(on, entry.on, sure=sure, field="on")
    row = book.one(SetApartRow, set_apart_id)
    if row.ended_on is not None:
        raise Refusal(f"That ended on {day_words(row.ended_on)}.", field="on")
    if on < row.since:
        raise Refusal(f"It began on {day_words(row.since)}; that is later.", field="on")
    name = box_name(book, book.one(BoxRow, row.box_id))
    with book.change(entry) as pen:
        pen.change(t.SetApart, set_apart_id, ended_on=on)
        pen.subjects.add(("box", row.box_id))
        pen.say(f"{name} is no longer set apart, {day_words(on)}")
    return pen.touched


def apart_now(
    book: Book,
    shelf: SheetShelf,
    on: dt.date,
    *,
    catching: Mapping[int, LossRow] | None = None,
) -> tuple[ApartNow, ...]:
    """Return the boxes kept apart on a day, those whose time ends first first.

    Another catching death moves the end on; the later of two ends holds.
    """
    deaths = last_catching_losses(book, on) if catching is None else catching
    days = dt.timedelta(days=_days(shelf.defaults))
    dead = {key: loss for key, loss in deaths.items() if loss.on + days >= on}
    judged = {row.box_id: row for row in _standing(book, on, on)}
    ids = dead.keys() | judged.keys()
    if not ids:
        return ()
    boxes = book.all(
        BoxRow,
        among(t.Box.id, ids),
        t.Box.opened_on <= on,
        t.Box.closed_on.is_(None) | (t.Box.closed_on > on),
    )
    codes = {brood.id: brood.code for brood in book.all(BroodRow)}
    found = [
        _apart(box, codes[box.brood_id], dead.get(box.id), judged.get(box.id), days)
        for box in boxes
    ]
    return tuple(sorted(found, key=lambda one: (one.until or FOR_EVER, one.code)))


def usual_end(defaults: Defaults, since: dt.date) -> dt.date:
    """Return to when stock from elsewhere is kept apart (common practice)."""
    return since + dt.timedelta(days=round(defaults.figures.new_livestock_days.middle))


class Watch:
    """Knows which boxes stand beside a virus death, or are or may be of its brood.

    `mixed` are the broods each mixed line was made of.
    """

    def __init__(
        self,
        held: Holding,
        standing: Mapping[int, int],
        catching: Mapping[int, LossRow],
        mixed: Mapping[int, tuple[BroodRow, ...]],
    ) -> None:
        self._on, self._standing, self._mixed = held.on, standing, mixed
        self._sick: list[tuple[BoxNow, dt.date]] = []
        for box in held.boxes:
            loss = catching.get(box.row.id)
            sick = loss is not None and loss.cause is Cause.VIRUS
            if loss is not None and sick and held.on <= loss.on + WATCHED:
                self._sick.append((box, loss.on))

    def words(self, box: BoxNow) -> str:
        """Return what to look for in a box, nothing where no neighbour is sick."""
        if not self._sick:
            return ""
        place = self._standing[box.row.id]
        near = [
            (day, other.code)
            for other, day in self._sick
            if other.row.id != box.row.id
            and (
                self._standing[other.row.id] == place
                or may_be_of_one(other.brood, box.brood, self._mixed)
            )
        ]
        if not near:
            return ""
        day, code = max(near)
        return (
            f"Virus in {code} {short_day(day)}: look for limp ones until "
            f"{short_day(day + WATCHED)}."
        )


def _apart(
    box: BoxRow,
    brood: str,
    loss: LossRow | None,
    row: SetApartRow | None,
    days: dt.timedelta,
) -> ApartNow:
    told: list[str] = []
    ends: list[dt.date | None] = []
    if loss is not None:
        told.append(f"Last {loss.cause} death {short_day(loss.on)}")
        ends.append(loss.on + days)
    if row is not None:
        why = row.why or "set apart"
        told.append(f"{why[:1].upper()}{why[1:]}, since {short_day(row.since)}")
        ends.append(row.until)
    known = [end for end in ends if end is not None]
    until = max(known) if len(known) == len(ends) else None
    to = f"apart until {short_day(until)}" if until else "apart until you end it"
    return ApartNow(
        box_id=box.id,
        code=f"{brood} {box.label}",
        words=f"{'. '.join(told)}; {to}.{'' if box.tools else _FORCEPS}",
        until=until,
        died_of=None if loss is None else loss.cause,
        died_on=None if loss is None else loss.on,
        set_apart_id=None if row is None else row.id,
    )


_FORCEPS = " Give it forceps of its own."


def _standing(
    book: Book, first: dt.date, last: dt.date | None
) -> tuple[SetApartRow, ...]:
    """Return the keeper's own entries that hold on any of these days."""
    begun = () if last is None else (t.SetApart.since <= last,)
    return book.all(
        SetApartRow,
        *begun,
        t.SetApart.until.is_(None) | (t.SetApart.until >= first),
        t.SetApart.ended_on.is_(None) | (t.SetApart.ended_on > first),
    )


def _days(defaults: Defaults) -> int:
    return round(defaults.figures.quarantine_days.middle)
