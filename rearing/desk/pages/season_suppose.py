"""What if a brood stood elsewhere: the form that asks where and from when."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QLineEdit

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import Answers, ChoiceField, DayField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import boxes
from rearing.keeping.moments import on_day
from rearing.problems import Refusal

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.season_facts import SeasonFacts
    from rearing.keeping.season_rows import Ribbon

CAUTION = (
    "Nothing is moved until you press Enter: what is expected now is drawn in pencil, "
    "what would be in ink."
)


class SupposeForm(EntryForm):
    """Asks for a place and a day; `changed` whenever another is named."""

    changed = Signal()

    def __init__(
        self, session: Session, theme: Theme, facts: SeasonFacts, ribbon: Ribbon
    ) -> None:
        self._session = session
        things = standing(facts, ribbon.brood_id)
        stands = {place for _, _, place in things}
        but = stands.pop() if len(stands) == 1 else None
        super().__init__(
            theme,
            f"What if {ribbon.code} {ribbon.short} stood elsewhere?",
            (
                ChoiceField(
                    "place",
                    "&Move to",
                    options=offers.place_options(session, but=but),
                    required=True,
                ),
                DayField("from", "&From", value=session.on, required=True),
            ),
            partial(carry_out, session, things),
            today=session.on,
            verb="carry it out",
            caution=CAUTION,
            columns=2,
        )
        place, day = self.input("place"), self.input("from")
        if isinstance(place, QComboBox):
            place.currentIndexChanged.connect(self._asked_other)
        if isinstance(day, QLineEdit):
            day.textChanged.connect(self._asked_other)

    def _asked_other(self) -> None:
        self.changed.emit()

    def named(self) -> tuple[int, dt.datetime] | None:
        """Return the place and the moment that are named, None while one is not."""
        try:
            place, day = self.input("place").answer(), self.input("from").answer()
        except Refusal:
            return None
        if not isinstance(place, int) or not isinstance(day, dt.date):
            return None
        return place, moment(self._session, day)


def moment(session: Session, day: dt.date) -> dt.datetime:
    """Return the moment of a move: now today, else in the morning."""
    if day == session.on:
        return session.now()
    return on_day(day, boxes.MORNING, session.home.zone)


Thing = tuple[str, int, int]


def standing(facts: SeasonFacts, brood_id: int) -> tuple[Thing, ...]:
    """Return the boxes and pots of a brood with something in them, and their place."""
    held, now_s = facts.held, facts.warmth.now_s
    found: list[Thing] = []
    for box in held.boxes:
        begun = [s for s in box.stays if s.from_at.timestamp() < now_s]
        if box.brood.id == brood_id and box.standing.number and begun:
            found.append(("box_id", box.row.id, begun[-1].place_id))
    for pot in held.pots:
        begun = [s for s in pot.stays if s.from_at.timestamp() < now_s]
        if pot.brood.id == brood_id and (pot.waiting or pot.unhoused) and begun:
            found.append(("pot_id", pot.row.id, begun[-1].place_id))
    return tuple(found)


def carry_out(session: Session, things: tuple[Thing, ...], answers: Answers) -> None:
    """Carry every box and pot of the brood that does not stand there already."""
    place = asking.chosen(answers, "place", int)
    at = moment(session, asking.day(answers, "from"))
    moving = [thing for thing in things if thing[2] != place]
    if not moving:
        raise Refusal("All of it stands there already.", field="place")
    with asking.renamed({"at": "from"}):
        for kind, row_id, _ in moving:
            box_id, pot_id = (row_id, None) if kind == "box_id" else (None, row_id)
            session.do(
                boxes.shift,
                place_id=place,
                at=at,
                box_id=box_id,
                pot_id=pot_id,
                sure=answers.sure,
            )
