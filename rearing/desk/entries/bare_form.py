"""When a host is bare: asked once, for the risk that leaf falls too soon."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking
from rearing.desk.widgets.fields import Answers, DayField, TextField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping.reach import set_bare
from rearing.records.rows import TreeRow

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme

CAUTION = (
    "The day it usually stands bare where you cut it; the year does not matter. "
    "Leaf-drop seen on its trees in earlier years stands before it."
)


def bare(session: Session, theme: Theme, host: str = "") -> EntryForm:
    """Return the form that asks when a host is bare; without one, of the first tree."""
    trees = () if host else session.book.all(TreeRow)
    return EntryForm(
        theme,
        "When is the leaf down?",
        (
            TextField(
                "host",
                "&Leaf",
                value=host or (trees[0].host if trees else ""),
                required=True,
            ),
            DayField("day", "&Bare by", required=True),
        ),
        partial(_write, session),
        today=session.on,
        verb="keep it",
        caution=CAUTION,
        columns=2,
    )


def _write(session: Session, answers: Answers) -> None:
    host = asking.chosen(answers, "host", str)
    session.do(set_bare, host=host, day=asking.day(answers, "day"))
