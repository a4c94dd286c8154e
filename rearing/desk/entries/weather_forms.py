"""The form of a short weather forecast, typed or pasted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.entries import asking
from rearing.desk.widgets.fields import Answers, ChoiceField, DayField, NoteField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import forecasts, places
from rearing.problems import Refusal

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme


def forecast(session: Session, theme: Theme, place_id: int | None = None) -> EntryForm:
    """Return the form a short forecast is typed or pasted into, a day on each line."""
    outdoors = [
        row
        for row in places.places(session.book)
        if row.outdoors and row.set_point_c is None
    ]
    if not outdoors:
        raise Refusal(
            "A weather forecast is of the air outside, and no place outdoors without "
            "a set point is in the book. Enter one first: F2, 3."
        )
    ids = [row.id for row in outdoors]

    def keep(answers: Answers) -> None:
        chosen = answers.choice("place_id")
        if not isinstance(chosen, int):
            raise Refusal(asking.NEEDED, field="place_id")
        session.do(
            forecasts.take_forecast,
            place_id=chosen,
            text=answers.text("text"),
            given_on=asking.day(answers, "given_on"),
            sure=answers.sure,
        )

    return EntryForm(
        theme,
        "Weather forecast",
        (
            NoteField(
                "text",
                "&Days",
                hint="A day on each line, lowest and highest: 28 June 9 21",
                required=True,
            ),
            ChoiceField(
                "place_id",
                "&Place outdoors",
                options=tuple((row.id, row.name) for row in outdoors),
                value=place_id if place_id in ids else ids[0],
            ),
            DayField("given_on", "&Given on", value=session.on, required=True),
        ),
        keep,
        today=session.on,
    )
