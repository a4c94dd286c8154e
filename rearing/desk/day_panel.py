"""The form that turns the book to another day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.fields import DayField
from rearing.desk.widgets.form import EntryForm

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Answers


class _Turner:
    def __init__(self, session: Session) -> None:
        self._session = session

    def turn(self, answers: Answers) -> None:
        self._session.show_on(answers.day("day"))


def day_panel(session: Session, theme: Theme) -> EntryForm:
    """Return the form; an empty day is today."""
    asked = DayField(
        "day",
        "&Day",
        value=session.on,
        hint="Entries made meanwhile are dated on that day. Empty: today.",
    )
    return EntryForm(
        theme,
        "Show the book as on a day",
        [asked],
        _Turner(session).turn,
        today=session.on,
        verb="turn to it",
    )
