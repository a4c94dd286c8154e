"""The form of a sleeve: onto another branch, indoors, or given up, by keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.entries import sleeve_forms
from rearing.keeping.sleeves import trees_of_sleeves
from rearing.records.rows import BoxRow
from rearing.terms import BoxKind
from tests.desk.entry_desk import Desk, enter, entered, fill, number_in

if TYPE_CHECKING:
    from rearing.desk.widgets.form import EntryForm


def sleeve(desk: Desk) -> int:
    """Return a sleeve on the tree with twelve of box A in it."""
    form = desk.open("move", desk.ids.box)
    tree = "Blackthorn by the well · blackthorn"
    entered(form, number="12", box="new sleeve", tree=tree)
    return desk.book.all(BoxRow)[-1].id


def form_of(desk: Desk, box_id: int) -> EntryForm:
    form = sleeve_forms.move_sleeve(desk.session, desk.theme, box_id)
    desk.bot.addWidget(form)
    form.show()
    form.focus_first()
    return form


def test_it_goes_onto_fresh_leaf_of_its_tree(desk: Desk) -> None:
    own = sleeve(desk)
    entered(form_of(desk, own), number="11")
    assert number_in(desk, own) == 11
    row = desk.book.one(BoxRow, own)
    assert trees_of_sleeves(desk.book, [row], desk.session.on) == {own: desk.ids.tree}


def test_it_is_taken_into_a_box_indoors(desk: Desk) -> None:
    own = sleeve(desk)
    form = form_of(desk, own)
    entered(form, tree="off it, into a new box", place="Hall shelf", number="11")
    new = desk.book.all(BoxRow)[-1]
    assert (new.kind, number_in(desk, new.id)) == (BoxKind.BOX, 11)
    assert desk.book.one(BoxRow, own).closed_on == desk.session.on
    assert "off Blackthorn by the well, 11 into B21-01 C" in desk.last()


def test_given_up_is_asked_about_once(desk: Desk) -> None:
    own = sleeve(desk)
    form = form_of(desk, own)
    fill(form, tree="off it, given up")
    enter(form)
    assert "they will be unaccounted for" in form.question.words
    assert desk.book.one(BoxRow, own).closed_on is None
    form.question.say_yes()
    assert desk.book.one(BoxRow, own).closed_on == desk.session.on
    assert "given up; 12 unaccounted" in desk.last()
