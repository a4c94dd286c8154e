"""The form that says which tools go with a box."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import Answers, SearchField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import tools

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme

CAUTION = (
    "Otherwise the round's own go from box to box. Bleach burns skin and eyes: gloves, "
    "never mixed with anything, and rinse."
)


def set_tools(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form that gives a box forceps and brush of its own."""
    box, whole = offers.box_now(session, box_id)
    return EntryForm(
        theme,
        f"{offers.box_words(box, whole)}: its tools",
        (
            SearchField(
                "tools",
                "&Tools",
                options=tuple((x, x) for x in tools.known_tools(session.book)),
                value=box.row.tools,
                free=True,
                hint="Red forceps; ↓ those in the book; left empty: the round's",
            ),
        ),
        partial(_keep, session, box_id),
        today=session.on,
        verb="keep it",
        caution=CAUTION,
    )


def _keep(session: Session, box_id: int, answers: Answers) -> None:
    session.do(tools.set_tools, box_id=box_id, tools=asking.words(answers, "tools"))
