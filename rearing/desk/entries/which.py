"""Asking which box, pot or moth an entry is of, when no page says it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.desk.entries import offers
from rearing.desk.entries.measure_forms import measurement_words
from rearing.desk.widgets.fields import Answers, SearchField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping.beside import SUBJECTS, Thing, around, name_of, page_of, shortened
from rearing.keeping.closed_trees import is_closed
from rearing.keeping.leaf_tests import leaf_tests
from rearing.keeping.moments import day_words
from rearing.keeping.photos import about
from rearing.keeping.trees import closed_words
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import (
    LayingRow,
    MeasurementRow,
    MothRow,
    NoteRow,
    PhotoRow,
    TreeRow,
)
from rearing.terms import Sex

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from rearing.desk.page import Page, Panel
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme

_NOTHING = {
    "box": "No box is open on this day. Open one first: F2, B.",
    "pot": "No egg pot stands on this day. Eggs of a night open one: F2, E.",
    "laying": "No eggs are in the book yet: F2, E.",
    "female": "No female is here on this day. Keep one first: F2, W.",
    "moth": "No moth is here on this day. Keep one first: F2, W.",
    "place": "No place is in the book yet. Enter one first: F2, 3.",
    "anything": "Nothing is in the book yet that a note or photo could stand beside.",
    "note": "No note is in the book yet. Write one first: F2, T.",
    "photo": "No photo is in the book yet. Put one in first: Ctrl+I.",
    "measurement": "Nothing was measured in this year. Enter it first: F2, +.",
    "closed_tree": "No tree is closed on this day. Nothing is to be opened.",
    "cut": "No leaf lies cut on this day. Enter a cut first: F2, 7.",
    "leaf_test": "No test larvae are on leaf on this day. Begin first: F2, 0.",
}
_SUBJECTS = {"pot": "egg_pot", "closed_tree": "tree"}


class WhichForm(EntryForm):
    """Asks which of several; what is chosen opens as the next form on the page."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        title: str,
        field: SearchField,
        go_on: Callable[[object], None],
    ) -> None:
        super().__init__(
            theme, title, (field,), self._note, today=session.on, verb="this one"
        )
        self._chosen: object = None
        self._go_on = go_on
        self.kept.connect(self._next)

    def _note(self, answers: Answers) -> None:
        self._chosen = answers.choice("which")

    def _next(self) -> None:
        self._go_on(self._chosen)


def which_form(
    session: Session,
    theme: Theme,
    title: str,
    field: SearchField,
    page: Page,
    then: Callable[[object], Panel],
) -> WhichForm:
    """Return the form that asks which, and then opens another form on the page."""

    def go_on(thing: object) -> None:
        try:
            page.open_panel(then(thing))
        except Refusal as refusal:
            page.notices.say_problem(refusal)

    return WhichForm(session, theme, title, field, go_on)


def which_field(
    kind: str, options: offers.Options, hand: tuple[str, int] | None
) -> SearchField:
    """Return the field that asks which; it begins with what is in the hand."""
    begin = next((one for one, _ in options if hand and _is(one, kind, hand)), None)
    if kind in _WRITTEN and hand and options:
        begin = options[0][0]
    return SearchField("which", "&Which", options=options, value=begin, required=True)


def _is(option: object, kind: str, hand: tuple[str, int]) -> bool:
    if isinstance(option, tuple):
        return option[:2] == hand
    return (_SUBJECTS.get(kind, kind), option) == hand


def options_of(
    session: Session, kind: str, hand: tuple[str, int] | None = None
) -> offers.Options:
    """Return all things of a kind that an entry could be of on the day.

    Notes, photos and figures of the page of what is in the hand come first.
    """
    if kind in _WRITTEN:
        book = session.book
        near = {} if hand is None else around(book, *page_of(book, *hand))
        return _WRITTEN[kind](session, near)
    readers: dict[str, Callable[[Session], offers.Options]] = {
        "box": _boxes,
        "pot": _pots,
        "laying": _layings,
        "female": _females,
        "moth": _moths,
        "place": offers.place_options,
        "anything": _anything,
        "closed_tree": _closed_trees,
        "cut": offers.cuts,
        "leaf_test": _leaf_tests,
    }
    return readers[kind](session)


def nothing_words(kind: str) -> str:
    """Return the sentence for a book with none of a kind: what to do first."""
    return _NOTHING[kind]


def _boxes(session: Session) -> offers.Options:
    return offers.boxes(offers.held(session))


def _pots(session: Session) -> offers.Options:
    return offers.pots(offers.held(session))


def _females(session: Session) -> offers.Options:
    return offers.moth_options(session, offers.moths_here(session, Sex.FEMALE))


def _moths(session: Session) -> offers.Options:
    here = [moth for sex in Sex for moth in offers.moths_here(session, sex)]
    return offers.moth_options(session, here)


def _layings(session: Session) -> offers.Options:
    since = session.on - dt.timedelta(days=60)
    rows = session.book.all(
        LayingRow,
        t.Laying.evening >= since,
        t.Laying.evening <= session.on,
        order=(t.Laying.evening.desc(), t.Laying.id.desc()),
    )
    codes = {moth.id: moth.code for moth in session.book.all(MothRow)}
    return tuple(
        (
            row.id,
            f"{codes.get(row.mother_id or 0, '')} · {day_words(row.evening)} · "
            f"{row.number}",
        )
        for row in rows
    )


def _notes(session: Session, near: Mapping[Thing, str]) -> offers.Options:
    """Return the notes of the last year, newest first."""
    rows = session.book.all(
        NoteRow,
        t.Note.on.between(_year_before(session.on), session.on),
        t.Note.subject.in_(SUBJECTS),
        order=(t.Note.on.desc(), t.Note.id.desc()),
    )
    return _named(session, [(row, row.text) for row in rows], near)


def _photos(session: Session, near: Mapping[Thing, str]) -> offers.Options:
    """Return the photos of the last year, newest first."""
    rows = session.book.all(
        PhotoRow,
        t.Photo.on.between(_year_before(session.on), session.on),
        order=(t.Photo.on.desc(), t.Photo.at.desc(), t.Photo.id.desc()),
    )
    return _named(session, [(row, row.caption or "no caption") for row in rows], near)


def _measurements(session: Session, near: Mapping[Thing, str]) -> offers.Options:
    """Return the figures of the last year, newest first."""
    rows = session.book.all(
        MeasurementRow,
        t.Measurement.on.between(_year_before(session.on), session.on),
        order=(t.Measurement.on.desc(), t.Measurement.id.desc()),
    )
    first = sorted(rows, key=lambda row: ("box", row.box_id) not in near)
    return figure_options(session, first)


def figure_options(session: Session, rows: Iterable[MeasurementRow]) -> offers.Options:
    """Return figures by their day, their box, and what they say."""
    rows = tuple(rows)
    boxes = {row.box_id for row in rows}
    names = {box_id: name_of(session.book, "box", box_id) for box_id in boxes}
    return tuple(
        (
            row.id,
            f"{measurement_words(row)} · {names[row.box_id]} · {day_words(row.on)}",
        )
        for row in rows
    )


def _closed_trees(session: Session) -> offers.Options:
    rows = session.book.all(TreeRow)
    return tuple(
        (row.id, closed_words(row)) for row in rows if is_closed(row, session.on)
    )


def _leaf_tests(session: Session) -> offers.Options:
    return tuple(
        (one.row.id, f"{one.tree.name}: {one.words}")
        for one in leaf_tests(session.book, session.on)
        if one.is_running
    )


def _year_before(day: dt.date) -> dt.date:
    return day - dt.timedelta(days=366)


_WRITTEN: Mapping[str, Callable[[Session, Mapping[Thing, str]], offers.Options]] = {
    "note": _notes,
    "photo": _photos,
    "measurement": _measurements,
}


def _named(
    session: Session,
    rows: Sequence[tuple[NoteRow | PhotoRow, str]],
    near: Mapping[Thing, str],
) -> offers.Options:
    """Return rows by their day, what they stand beside, and their words."""
    things = {(row.subject, row.subject_id) for row, _ in rows}
    names = {thing: name_of(session.book, *thing) for thing in things}
    first = sorted(
        rows, key=lambda row: (row[0].subject, row[0].subject_id) not in near
    )
    return tuple(
        (
            row.id,
            f"{_day(row)} · {names[row.subject, row.subject_id]} · {shortened(words)}",
        )
        for row, words in first
    )


def _day(row: NoteRow | PhotoRow) -> str:
    day = day_words(row.on)
    return day if isinstance(row, NoteRow) else about(day, row.at)


def _anything(session: Session) -> offers.Options:
    """Return what a note may stand beside, as (subject, id, name)."""
    kinds = {
        "box": _boxes(session),
        "egg_pot": _pots(session),
        "brood": offers.broods(session),
        "moth": _moths(session),
        "lamp_night": offers.nights(session),
        "tree": offers.trees(session),
    }
    return tuple(
        ((kind, key, words), words)
        for kind, options in kinds.items()
        for key, words in options
    )
