"""The first steps of an empty book, in order, each with the key that takes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, State
from rearing.desk.widgets.marks import Mark

if TYPE_CHECKING:
    from rearing.keeping.beginnings import Beginnings

STEP_COLUMNS = (
    Column("Step", Ink.CODE),
    Column("What", Ink.VERB),
    Column("Why", Ink.TEXT, stretch=True),
)

# form or page, cap, name, what, why
_STEPS = (
    ("home", "H", "1", "Your home", "Its name and time zone: all days are told in it"),
    ("site", "L", "2", "A lamp site", "Where the lamp stands; a terrace will do"),
    ("place", "P", "3", "A place", "A shelf, shed or porch where boxes stand"),
    ("night", "N", "4", "A night", "Dated by the evening the lamp was lit"),
    ("female", "F", "5", "A female", "Kept from a night; she gets the first code"),
    (
        "stock",
        "E",
        "6",
        "Her eggs",
        "By night laid; with them the round begins",
    ),
)

LETTERS = {cap: step for step, cap, *_ in _STEPS}


def steps(begun: Beginnings) -> tuple[Line, ...]:
    """Return the steps as ruled lines; those taken are struck out."""
    return tuple(_step(*step, taken=bool(getattr(begun, step[0]))) for step in _STEPS)


def next_step(begun: Beginnings) -> str:
    """Return the first step that is still to take."""
    return next((s for s, *_ in _STEPS if not getattr(begun, s)), "stock")


def _step(
    step: str, cap: str, number: str, what: str, why: str, *, taken: bool
) -> Line:
    state = State.DONE if taken else State.DUE
    # every letter answers on every line, the cap shows the line's own
    letters = "".join(LETTERS)
    return Line(
        key=step,
        cells=(number, what, why),
        sentence=f"Step {number}, {what}: {'taken' if taken else why}",
        mark=Mark.TICK if taken else Mark.SQUARE,
        state=state,
        keys=(
            KeyOffer("Enter", "enter it"),
            KeyOffer(cap, "from any line", quiet=True, answers=letters),
        ),
    )
