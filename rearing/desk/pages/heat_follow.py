"""The form that settles which place another follows, and how the page tells a rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.fields import Answers, ChoiceField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import places
from rearing.keeping.following import follow_place, rule_between
from rearing.keeping.leads import choices_on
from rearing.keeping.rule_words import rule_short
from rearing.problems import Refusal
from rearing.records.rows import PlaceRow

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme


def follow_form(session: Session, theme: Theme, place_id: int) -> EntryForm:
    """Return the form that settles which place another follows, each with its rule."""
    book, on = session.book, session.on
    place = book.one(PlaceRow, place_id)
    if place.set_point_c is not None:
        raise Refusal(f"{place.name} has a set point, and its windows count with that.")
    fitted = [
        found
        for other in places.places(book)
        if other.id != place_id and other.set_point_c is None
        if (found := rule_between(book, place, other, on)) is not None
    ]
    if not fitted:
        raise Refusal(
            f"No other place was read on a week of the days {place.name} was, so there "
            "is no rule to follow yet."
        )
    options = tuple((one.other.id, rule_short(one)) for one in fitted)
    best = min(fitted, key=lambda one: one.rule.spread_c)

    def keep(answers: Answers) -> None:
        chosen = answers.choice("other_id")
        other_id = chosen if isinstance(chosen, int) and chosen else None
        session.do(follow_place, place_id=place_id, other_id=other_id)

    return EntryForm(
        theme,
        f"{place.name} follows",
        (
            ChoiceField(
                "other_id",
                "&Follows",
                options=(*options, (0, "no other place")),
                value=choices_on(book, on).get(place_id, best.other.id) or 0,
                hint="After its last reading its windows go by that place",
            ),
        ),
        keep,
        today=on,
        verb="settle it",
    )
