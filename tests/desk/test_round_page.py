"""The round in the hand: a key a box, on the sample season as on 12 June 2021."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrintDialog, QPrinter

from rearing.desk.widgets.form import EntryForm
from rearing.desk.widgets.lines import Pencil, State
from rearing.desk.widgets.marks import Mark
from rearing.keeping.round import QUARANTINE
from rearing.records.book import Book
from rearing.records.rows import BoxVisitRow, HeadcountRow
from rearing.terms import Visit
from tests.desk.stand import (
    EVENING,
    ON,
    Stand,
    control,
    kind_of,
    press,
    press_with,
)

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

    from rearing.desk.widgets.lines import Line

Key = Qt.Key


@pytest.fixture
def stand(qapp: QApplication, tmp_path: Path) -> Iterator[Stand]:
    made = Stand(tmp_path)
    made.open(made.sample())
    yield made
    made.close()


def last_visit(stand: Stand) -> BoxVisitRow:
    return stand.book.all(BoxVisitRow)[-1]


def first_due_box(stand: Stand) -> Line:
    line = next(line for line in stand.due if kind_of(line) == "box")
    stand.walk.set_current(line.key)
    return line


def test_the_round_opens_on_the_first_thing_to_do(stand: Stand) -> None:
    head = stand.round.sheet.head.heading
    assert head.title == "Round"
    assert head.words == "Saturday 12 June 2021, evening"
    assert head.verdict.startswith(f"{len(stand.due)} to do,  ")
    assert stand.line.state is State.DUE
    assert stand.walk.hasFocus()


def test_one_key_feeds_a_box_and_the_hand_is_at_the_next(stand: Stand) -> None:
    fed, due = first_due_box(stand), stand.due
    visits = stand.number_of(BoxVisitRow)

    press("F")

    written = last_visit(stand)
    assert stand.number_of(BoxVisitRow) == visits + 1
    assert written.what is Visit.FED
    assert ("box", written.box_id) == fed.key
    assert written.on == ON
    assert written.at == EVENING
    assert written.host  # its usual leaf
    assert stand.line.key == due[due.index(fed) + 1].key
    assert len(stand.due) == len(due) - 1
    assert stand.window.said == f"Last: {stand.last()}.  Ctrl+Z takes it back."


def test_a_box_that_was_done_stays_on_the_list_struck_out(stand: Stand) -> None:
    fed = first_due_box(stand)
    press("C")
    line = next(line for line in stand.walk.lines() if line.key == fed.key)
    assert line.state is State.DONE
    assert line.mark is Mark.TICK
    assert line.cells[2] == fed.cells[2]
    assert str(line.cells[3]).startswith("Fed and cleaned 19:30")


def test_taking_back_brings_the_line_and_the_hand_back(stand: Stand) -> None:
    fed = first_due_box(stand)
    press("F", "F")
    control(Key.Key_Z)
    control(Key.Key_Z)
    assert (stand.line.key, stand.line.state) == (fed.key, State.DUE)
    assert stand.window.said.startswith("Taken back: ")
    control(Key.Key_Y)
    assert (stand.line.key, stand.line.state) == (fed.key, State.DONE)


def test_skip_writes_nothing(stand: Stand) -> None:
    skipped, visits = first_due_box(stand), stand.number_of(BoxVisitRow)
    press("S")
    assert stand.number_of(BoxVisitRow) == visits
    assert stand.line.key != skipped.key
    assert skipped.key in {line.key for line in stand.due}


def test_a_count_is_typed_and_entered_at_the_line(stand: Stand) -> None:
    box, counts = first_due_box(stand), stand.number_of(HeadcountRow)
    press("1")
    form = stand.round.panel
    assert isinstance(form, EntryForm)
    press("2", Key.Key_Return)
    count = stand.book.all(HeadcountRow)[-1]
    assert stand.number_of(HeadcountRow) == counts + 1
    assert (count.number, ("box", count.box_id)) == (12, box.key)
    assert stand.round.panel is None
    assert stand.walk.hasFocus()


def test_a_count_answers_the_asking_for_one(stand: Stand) -> None:
    due = [line for line in stand.due if line.mark is Mark.TALLY]
    assert due
    stand.walk.set_current(due[0].key)
    press("9", Key.Key_Return)
    line = next(line for line in stand.walk.lines() if line.key == due[0].key)
    assert line.state is State.DONE
    assert str(line.cells[3]).endswith("9 counted")
    assert line.cells[5] == "counted today"


def test_a_box_answered_all_well_is_over_but_not_struck_out(stand: Stand) -> None:
    line = next(line for line in stand.due if "fresh leaf" in str(line.cells[2]))
    stand.walk.set_current(line.key)
    press("W")
    after = next(one for one in stand.walk.lines() if one.key == line.key)
    assert (after.state, after.mark) == (State.ANSWERED, Mark.TICK)
    assert after.cells[3] == "All well 19:30"


def test_a_pot_that_was_looked_at_is_done_for_the_day(stand: Stand) -> None:
    pot = next(line for line in stand.due if line.cells[2] == "Look for hatching")
    stand.walk.set_current(pot.key)
    press("W")
    looked = last_visit(stand)
    assert looked.what is Visit.LOOKED
    assert ("pot", looked.pot_id) == pot.key
    line = next(line for line in stand.walk.lines() if line.key == pot.key)
    assert line.state is State.DONE
    assert line.cells[3] == "Looked 19:30, nothing new"


def test_leaf_asked_for_at_a_pot_without_larvae_says_that_none_hatched(
    stand: Stand,
) -> None:
    pot = next(line for line in stand.due if line.cells[2] == "Look for hatching")
    stand.walk.set_current(pot.key)
    press("L")
    form = stand.round.panel
    assert isinstance(form, EntryForm)
    assert "Nothing has hatched in it by the book" in form.caution


def test_what_is_to_be_left_alone_takes_no_visit_by_one_key(stand: Stand) -> None:
    resting = [line for line in stand.walk.lines() if line.state is State.REST]
    assert resting
    stand.walk.set_current(resting[0].key)
    visits = stand.number_of(BoxVisitRow)
    seen = [offer.cap for offer in resting[0].keys if not offer.unseen]
    assert seen == ["Enter", "N"]
    press("F", "C", "W")
    assert stand.number_of(BoxVisitRow) == visits
    forms = [stand.round.panel]
    # what was seen there all the same may be entered, by its form
    press("G")
    forms.append(stand.round.panel)
    assert [isinstance(form, EntryForm) for form in forms] == [False, True]
    press(Key.Key_Escape)
    assert resting[0].until.startswith("until ")


def test_the_whole_round_is_walked_with_two_keys(stand: Stand) -> None:
    due, visits = len(stand.due), stand.number_of(BoxVisitRow)
    housed = 0
    for _ in range(due):
        if "leaf" in str(stand.line.cells[2]) and stand.line.keys[0].cap == "F":
            press("F")
        elif stand.line.cells[2] == "Put on leaf":
            housed += 1
            press("S")
        else:
            press("W")
    assert stand.number_of(BoxVisitRow) == visits + due - housed
    assert len(stand.due) == housed
    assert stand.round.sheet.head.heading.verdict.startswith(f"{housed} to do")


def test_the_last_one_done_is_told(stand: Stand) -> None:
    while stand.due:
        press("W")
    assert stand.round.notices.words == "All done for tonight. Well walked."


def test_a_shows_what_is_not_due_and_hides_it_again(stand: Stand) -> None:
    due_only = len(stand.walk.lines())
    press("A")
    everything = stand.walk.lines()
    assert len(everything) > due_only
    assert any(line.cells[2] == "Nothing due" for line in everything)
    press("A")
    assert len(stand.walk.lines()) == due_only


def test_an_arrow_opens_the_brood_and_going_back_returns(stand: Stand) -> None:
    box = first_due_box(stand)
    press(Key.Key_Right)
    assert stand.window.page is stand.window.page_at(4)
    press_with(Qt.KeyboardModifier.AltModifier, Key.Key_Left)
    assert stand.window.page is stand.round
    assert stand.line.key == box.key


def test_which_hatch_next_is_said_and_gone_to(stand: Stand) -> None:
    control(Key.Key_H)
    words = stand.round.notices.words
    assert words.startswith("Next to hatch: ")
    assert kind_of(stand.line) == "pot"
    assert str(stand.line.cells[0]) in words
    assert words == stand.round.sheet.foot.words.splitlines()[-1]


def test_suspects_come_last_under_quarantine(stand: Stand) -> None:
    press("A")
    lines = stand.walk.lines()
    apart = [at for at, line in enumerate(lines) if line.group == QUARANTINE]
    assert apart
    assert apart == list(range(len(lines) - len(apart), len(lines)))
    assert all(lines[at].alarm for at in apart)
    assert all(lines[at].mark in {Mark.DIAMOND, Mark.TICK} for at in apart)


def test_numbers_carried_forward_are_in_pencil(stand: Stand) -> None:
    press("A")
    known = [line.cells[5] for line in stand.walk.lines() if kind_of(line) == "box"]
    assert Pencil("by the book") in known
    assert any(isinstance(cell, str) and cell.startswith("counted") for cell in known)


def test_every_key_of_the_round_opens_its_form(stand: Stand) -> None:
    for cap in "GXMN":
        first_due_box(stand)
        press(cap)
        assert isinstance(stand.round.panel, EntryForm), cap
        press(Key.Key_Escape)
        assert stand.round.panel is None, cap
    pot = next(line for line in stand.due if kind_of(line) == "pot")
    for cap in "HMN":
        stand.walk.set_current(pot.key)
        press(cap)
        assert isinstance(stand.round.panel, EntryForm), cap
        press(Key.Key_Escape)


def test_the_round_goes_on_paper_by_one_key(stand: Stand, tmp_path: Path) -> None:
    window = stand.round.window()
    act = next(one for one, _ in stand.round.acts() if one.id == "print_round")
    assert act.keys == "Ctrl+P"
    stand.round.ask_printer()
    dialog = window.findChild(QPrintDialog)
    assert isinstance(dialog, QPrintDialog)
    path = tmp_path / "round.pdf"
    dialog.printer().setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    dialog.printer().setOutputFileName(str(path))
    dialog.accepted.emit(dialog.printer())
    dialog.close()
    assert path.read_bytes().count(b"/Type /Page\n") == 1
    assert stand.round.notices.words == f"The round is in the file {path}."


def test_a_day_before_anything_is_quiet(stand: Stand) -> None:
    stand.opened.session.show_on(dt.date(2020, 2, 2))
    assert stand.round.sheet.quiet.isVisible()
    assert stand.round.sheet.quiet.words.startswith("A quiet day")
    stand.opened.session.show_on(ON)
    assert stand.walk.isVisible()
    assert stand.line.state is State.DUE
    # the keys go on where they were
    assert stand.walk.hasFocus()


def test_an_empty_book_shows_the_first_steps(
    qapp: QApplication, tmp_path: Path
) -> None:
    stand = Stand(tmp_path)
    path = tmp_path / "new.rearing"
    Book.make(path).close()
    stand.open(path, None)
    steps = stand.round.sheet.steps
    assert stand.round.sheet.shown is steps
    # no key of a box, which there is none of yet
    assert stand.round.hints() == "Enter begins   ↑ ↓ another step   F1 keys"
    assert [line.cells[1] for line in steps.lines()][:2] == ["Your home", "A lamp site"]
    for key in ("H", "L", "P", "N", Key.Key_Return):
        press(key)
        assert isinstance(stand.round.panel, EntryForm), key
        press(Key.Key_Escape)
        assert steps.hasFocus()
    stand.close()


def test_a_form_of_the_menu_begins_with_the_box_in_the_hand(stand: Stand) -> None:
    line = [one for one in stand.due if kind_of(one) == "box"][-1]
    stand.walk.set_current(line.key)
    press(Key.Key_F2, Key.Key_O)
    asked = stand.round.panel
    assert isinstance(asked, EntryForm)
    assert asked.input("which").answer() == line.key[1]  # type: ignore[index]  # a key of the round
    asked.accept()
    form = stand.round.panel
    assert isinstance(form, EntryForm)
    assert form.accessibleName().startswith(str(line.cells[0]))


def test_a_form_about_pots_begins_with_none_while_a_box_is_in_the_hand(
    stand: Stand,
) -> None:
    first_due_box(stand)
    press(Key.Key_F2, Key.Key_H)
    asked = stand.round.panel
    assert isinstance(asked, EntryForm)
    assert asked.input("which").answer() is None


def test_the_find_box_puts_the_hand_on_the_rounds_line(stand: Stand) -> None:
    control(Key.Key_K)
    press("B21-06 C", Key.Key_Return)
    assert stand.window.page is stand.round
    assert stand.line.cells[0] == "B21-06 C"
    assert stand.walk.hasFocus()
    press("1", "4", Key.Key_Return)
    assert stand.last().startswith("Counted 14 in B21-06 C")


def test_a_box_that_is_not_due_is_found_among_everything(stand: Stand) -> None:
    listed = {line.cells[0] for line in stand.walk.lines()}
    control(Key.Key_K)
    assert "B21-06 A" not in listed
    press("B21-06 A", Key.Key_Return)
    assert stand.window.page is stand.round
    assert stand.line.cells[0] == "B21-06 A"


def test_a_brood_that_is_found_opens_its_page(stand: Stand) -> None:
    control(Key.Key_K)
    press("B21-06", Key.Key_Return)
    assert stand.window.page is stand.window.page_at(4)


def test_a_closed_box_is_found_on_its_broods_page(stand: Stand) -> None:
    before = len(stand.walk.lines())
    control(Key.Key_K)
    press("B21-01 cage 1", Key.Key_Return)
    assert stand.window.page is stand.window.page_at(4)
    assert len(stand.walk.lines()) == before


def test_a_number_typed_at_a_pot_is_how_many_hatched(stand: Stand) -> None:
    stand.go_to("B21-07 pot 1")
    press("1", "2", Key.Key_Return)
    # the sample goes on after this day: its eggs have hatched by then
    press("y")
    assert "12" in stand.last()
    assert "hatched" in stand.last()
