"""The form of days away: from and to, and why."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.desk.entries import asking
from rearing.desk.widgets.fields import DayField, NoteField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping.away_days import add_away, change_away
from rearing.records.rows import AwayRow

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Answers

_FIELDS = {"first": "first", "last": "last"}


def away(session: Session, theme: Theme, away_id: int | None = None) -> EntryForm:
    """Return the form of days away: new ones, or those that are changed."""
    row = None if away_id is None else session.book.one(AwayRow, away_id)
    tomorrow = session.on + dt.timedelta(days=1)

    def keep(answers: Answers) -> None:
        first, last = asking.day(answers, "first"), asking.day(answers, "last")
        note = asking.words(answers, "note")
        with asking.renamed(_FIELDS):
            if away_id is None:
                session.do(
                    add_away, first=first, last=last, note=note, sure=answers.sure
                )
                return
            session.do(
                change_away,
                away_id=away_id,
                first=first,
                last=last,
                note=note,
                sure=answers.sure,
            )

    return EntryForm(
        theme,
        "Away" if row is None else "Other days away",
        (
            DayField(
                "first",
                "&From",
                value=row.first_on if row else tomorrow,
                required=True,
                hint="The first day without a round",
            ),
            DayField(
                "last",
                "&To",
                value=row.last_on if row else tomorrow,
                required=True,
                hint="The last day without a round; you are back the day after",
            ),
            NoteField("note", "&Note", value=(row.note or "") if row else ""),
        ),
        keep,
        today=session.on,
        caution="What would fail meanwhile is worked out, with what would save it.",
    )
