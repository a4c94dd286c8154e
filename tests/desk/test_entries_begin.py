"""Where a form begins: the field that has the keyboard, what is filled in, its title.

The book is the small invented one of entry_book.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QApplication

from rearing.desk.entries import asking
from rearing.desk.widgets.choice_inputs import ChoiceInput
from rearing.keeping import boxes, care
from rearing.keeping.boxes import When
from rearing.records.rows import LampNightRow
from rearing.terms import BoxKind, Stage
from tests.desk.entry_book import TONIGHT, ZONE

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from tests.desk.entry_desk import Desk


def has_keyboard(form: object, part: object) -> bool:
    return form.focusWidget() is part.focus_part()  # type: ignore[attr-defined]  # a form and its field


def test_stages_begin_at_the_least_that_was_last_seen(desk: Desk) -> None:
    desk.session.do(
        care.look_at_stages,
        box_id=desk.ids.box,
        seen={Stage.L4: care.Seen(3), Stage.L5: care.Seen(2)},
        when=When(TONIGHT.date()),
        sure=True,
    )
    form = desk.open("stages", desk.ids.box)
    assert has_keyboard(form, form.input("n_L4"))


def test_a_brood_that_is_known_is_not_asked_for_first(desk: Desk) -> None:
    form = desk.open("emergence", desk.ids.brood)
    assert has_keyboard(form, form.input("sex"))
    form = desk.open("open_box", desk.ids.brood)
    assert has_keyboard(form, form.input("kind"))
    form = desk.open("emergence")
    assert has_keyboard(form, form.input("brood"))


def in_hand(part: QWidget) -> None:
    """Let the keyboard come to a field, whether the window is in front or not."""
    QApplication.sendEvent(part, QFocusEvent(QEvent.Type.FocusIn))


def test_the_field_in_hand_says_what_it_takes_and_which_key_enters(
    desk: Desk,
) -> None:
    form = desk.open("feed", desk.ids.box)
    in_hand(form.input("when").focus_part())
    assert form.foot == (
        "Enter",
        "Without a time it is now, or, on another day, not known",
    )
    form = desk.open("emergence")
    in_hand(form.input("note").focus_part())
    assert form.foot == ("Ctrl+Enter", "In your own words; Enter begins a new line")
    in_hand(form.input("sex").focus_part())
    assert form.foot == ("Enter", "One of a few: ↑ ↓ or its first letter")


def test_an_emergence_offers_the_tubs_of_the_brood_chosen(desk: Desk) -> None:
    form = desk.open("emergence")
    box = form.input("box")
    assert isinstance(box, ChoiceInput)
    assert box.currentText().startswith("B21-01 A")
    assert box.answer() == desk.ids.box
    desk.session.do(
        boxes.open_box,
        brood_id=desk.ids.brood,
        kind=BoxKind.TUB,
        place_id=desk.ids.hall,
        when=When(TONIGHT.date()),
        label="T1",
    )
    form = desk.open("emergence")
    box, brood = form.input("box"), form.input("brood")
    assert isinstance(box, ChoiceInput)
    assert isinstance(brood, ChoiceInput)
    assert box.currentText().startswith("B21-01 T1")
    brood.setCurrentIndex(-1)
    assert [box.itemText(at) for at in range(box.count())] == ["not from a box"]
    brood.setCurrentIndex(0)
    assert box.currentText().startswith("B21-01 T1")


@pytest.mark.parametrize(
    ("subject", "title"),
    [
        ("box", "Note on B21-01 A"),
        ("egg_pot", "Note on B21-01 pot 1"),
        ("brood", "Note on B21-01"),
        ("moth", "Note on W21-01"),
        ("lamp_night", "Note on the night of Fri 28 May"),
    ],
)
def test_a_note_says_what_it_is_beside(desk: Desk, subject: str, title: str) -> None:
    ids = desk.ids
    at = {"egg_pot": ids.pot, "lamp_night": ids.night}
    thing = at.get(subject) or getattr(ids, subject)
    assert desk.open("note", subject, thing).accessibleName() == title


def test_the_clock_is_filled_in_only_while_the_lamp_may_burn(desk: Desk) -> None:
    night = desk.book.one(LampNightRow, desk.ids.night)
    tonight = dt.date(2021, 6, 12)

    def told(off: dt.datetime | None, evening: dt.date = tonight) -> str:
        return asking.lit_now(
            desk.session, replace(night, evening=evening, lamp_off=off), ZONE
        )

    assert told(None) == "21:30"
    assert told(TONIGHT + dt.timedelta(hours=3)) == "21:30"
    assert told(TONIGHT - dt.timedelta(minutes=5)) == ""
    assert told(None, tonight - dt.timedelta(days=1)) == ""
