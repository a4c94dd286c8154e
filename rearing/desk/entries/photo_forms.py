"""The forms for photos: which file, on which day, and the words beneath."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer

from rearing.desk.entries import asking
from rearing.desk.page import Page
from rearing.desk.photo_entry import PhotoEntry
from rearing.desk.typed import near_words
from rearing.desk.widgets.fields import Answers, DayField, TextField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import photos
from rearing.keeping.beside import name_of
from rearing.keeping.moments import counted, refuse_future
from rearing.records.rows import PhotoRow

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.desk.photo_entry import Looked
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.photos import Taken

CAUTION = (
    "The file is kept as it is. Cameras write in it where they stood: the book does "
    "not read that, but whoever is given the file can. Where a protected species "
    "lives is nobody else's business."
)


class _Written:
    """What was written in the form; held apart, so that the form holds not itself."""

    def __init__(self) -> None:
        self.file = ""

    def keep(self, answers: Answers) -> None:
        self.file = answers.text("file").strip()


class ChooseForm(EntryForm):
    """Asks which file; with none written, Enter opens the list of files."""

    def __init__(
        self, session: Session, theme: Theme, subject: str, subject_id: int, name: str
    ) -> None:
        field = TextField(
            "file",
            "&File",
            hint="Left empty, Enter opens the list of files; several can be chosen",
            ghost="choose from the list",
        )
        written = _Written()
        super().__init__(
            theme,
            f"Photo beside {name}",
            (field,),
            written.keep,
            today=session.on,
            verb="go on",
            caution=CAUTION,
        )
        self._written = written
        self._session = session
        self._subject = subject, subject_id
        self.kept.connect(self._go_on)

    def _go_on(self) -> None:
        page = self.parentWidget()
        while page is not None and not isinstance(page, Page):
            page = page.parentWidget()
        if page is None:
            return
        entry = PhotoEntry(page, self._session, self.theme, *self._subject)
        # the form closes once this is done: what comes next comes after that
        then = partial(entry.begin, self._written.file)
        QTimer.singleShot(0, entry, then)


def photo(
    session: Session, theme: Theme, subject: str, subject_id: int, *_words: str
) -> EntryForm:
    """Return the form that asks which photos are to stand beside a thing."""
    name = name_of(session.book, subject, subject_id)
    return ChooseForm(session, theme, subject, subject_id, name)


def day_form(
    session: Session, theme: Theme, entry: PhotoEntry, looked: Looked
) -> EntryForm:
    """Return the form that asks the day and caption of pictures that were looked at."""
    one_day = len({day.on for day in looked.days}) == 1
    first = looked.days[0]

    def keep(answers: Answers) -> None:
        on = answers.day("on")
        days = [
            day if on is None else photos.on_another(day, on) for day in looked.days
        ]
        for day in days:
            refuse_future(day.on, session.on, sure=answers.sure, field="on")
        caption = answers.text("caption")
        entry.put_in(looked.offered, days, caption=caption, sure=answers.sure)

    name = name_of(session.book, entry.subject, entry.subject_id)
    many = counted(len(looked.offered), "photo").capitalize()
    return EntryForm(
        theme,
        f"{many} beside {name}",
        (
            TextField("caption", "&Caption", hint="What is to be seen; may wait"),
            DayField(
                "on",
                "O&n",
                value=first.on if one_day else None,
                hint=days_words(looked.days, session.on),
            ),
        ),
        keep,
        today=session.on,
        verb="put in" if not looked.refused else "put in these",
        caution=" ".join(looked.refused),
    )


def days_words(days: Sequence[Taken], today: dt.date) -> str:
    """Return how the days of pictures are known: the camera's, or only about."""
    by_camera = sum(not day.is_about for day in days)
    if len({day.on for day in days}) == 1:
        if by_camera == len(days):
            return "As the camera's clock says"
        return "About: the day of the file, no camera wrote one"
    first, last = min(day.on for day in days), max(day.on for day in days)
    span = f"{near_words(first, today)} to {near_words(last, today)}"
    about = len(days) - by_camera
    known = f"; {about} of them only about, by their file" if about else ""
    return f"Left empty, each its own: {span}{known}"


def correct_photo(session: Session, theme: Theme, photo_id: int) -> EntryForm:
    """Return the form for another caption or another day of a photo."""
    row = session.book.one(PhotoRow, photo_id)
    name = name_of(session.book, row.subject, row.subject_id)

    def keep(answers: Answers) -> None:
        session.do(
            photos.correct_photo,
            photo_id=photo_id,
            caption=answers.text("caption"),
            on=asking.day(answers, "on"),
            sure=answers.sure,
        )

    known = "About: no camera's clock says it"
    if row.at is not None:
        known = "By the camera's clock; another day is only about"
    return EntryForm(
        theme,
        f"Photo beside {name}",
        (
            TextField(
                "caption",
                "&Caption",
                value=row.caption or "",
                hint="What is to be seen; the journal keeps the words before",
            ),
            DayField("on", "O&n", value=row.on, required=True, hint=known),
        ),
        keep,
        today=session.on,
    )
