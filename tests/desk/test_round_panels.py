"""What the round opens at its side and foot: away, quarantine, room, tracing."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtTest import QTest

from rearing.desk.help_panel import HelpPanel
from rearing.desk.pages.round_away import AwayPanel
from rearing.desk.pages.round_helper import helper_rounds
from rearing.desk.widgets.form import EntryForm
from rearing.desk.widgets.line_delegate import LineDelegate
from rearing.desk.widgets.lines import State
from rearing.keeping.away import away
from rearing.keeping.leaf import add_tree
from rearing.keeping.leaf_tests import begin_test
from rearing.keeping.round import QUARANTINE, round_of
from rearing.keeping.round_lines import Task
from rearing.keeping.tools import set_tools
from rearing.records.rows import AwayRow, BoxRow, SetApartRow
from tests.desk.stand import ON, Stand, control, focus, press, press_with

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot

Key = Qt.Key


@pytest.fixture
def stand(qapp: QApplication, tmp_path: Path) -> Iterator[Stand]:
    made = Stand(tmp_path)
    made.open(made.sample())
    yield made
    made.close()


def panel(stand: Stand) -> HelpPanel:
    found = stand.round.panel
    assert isinstance(found, HelpPanel)
    return found


def wait_for_answer(stand: Stand, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: stand.round.away.answer is not None, timeout=20_000)
    # without a screen a window loses its being active while events are waited for
    stand.window.activateWindow()
    assert QTest.qWaitForWindowActive(stand.window)


def go_away(stand: Stand) -> None:
    """Key days away from the 14th to the 15th."""
    control(Key.Key_J)
    press("14.6.2021", Key.Key_Tab, "15.6.2021", Key.Key_Return)


def test_days_away_are_keyed_and_answered(stand: Stand, qtbot: QtBot) -> None:
    go_away(stand)
    (row,) = stand.book.all(AwayRow)
    assert (row.first_on, row.last_on) == (dt.date(2021, 6, 14), dt.date(2021, 6, 15))
    assert isinstance(stand.round.panel, AwayPanel)
    wait_for_answer(stand, qtbot)
    words = panel(stand).words
    assert "Saved by a helper" in words
    assert "A helper has to give leaf on Mon 14 June" in words
    foot = stand.round.sheet.foot.words.splitlines()[0]
    assert foot.startswith("Away Mon 14 and Tue 15 June: the leaf of ")
    assert foot.endswith("Ctrl+J: what saves it.")
    under = stand.round.sheet.head.heading.under
    assert under.startswith("Away Mon 14 and Tue 15 June, Ctrl+J.")


def test_the_days_can_be_changed_and_taken_out_in_the_panel(
    stand: Stand, qtbot: QtBot
) -> None:
    go_away(stand)
    wait_for_answer(stand, qtbot)
    press("C")
    form = stand.round.panel
    assert isinstance(form, EntryForm)
    press(Key.Key_Tab, "16.6.2021", Key.Key_Return)
    assert stand.book.all(AwayRow)[0].last_on == dt.date(2021, 6, 16)
    assert isinstance(stand.round.panel, AwayPanel)
    press("X")
    assert stand.book.all(AwayRow) == ()
    assert "Away" not in stand.round.sheet.foot.words
    control(Key.Key_Z)
    assert len(stand.book.all(AwayRow)) == 1


def test_esc_leaves_the_days_unentered(stand: Stand) -> None:
    control(Key.Key_J)
    press(Key.Key_Escape)
    assert stand.round.panel is None
    assert stand.book.all(AwayRow) == ()


def test_a_helper_gets_a_sheet_an_evening(
    stand: Stand, qtbot: QtBot, tmp_path: Path
) -> None:
    go_away(stand)
    wait_for_answer(stand, qtbot)
    press("P")
    dialog = stand.round.window().findChild(QPrintDialog)
    assert isinstance(dialog, QPrintDialog)
    path = tmp_path / "helper.pdf"
    dialog.printer().setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    dialog.printer().setOutputFileName(str(path))
    dialog.accepted.emit(dialog.printer())
    dialog.close()
    assert path.read_bytes().count(b"/Type /Page\n") == 2
    assert stand.round.notices.words == (
        f"The sheets for a helper are in the file {path}."
    )


def test_a_helper_goes_the_keepers_way_and_to_the_sick_last(stand: Stand) -> None:
    session = stand.opened.session
    book, shelf = session.book, session.shelf
    sick = next(line for line in stand.walk.lines() if line.group == QUARANTINE)
    assert sick.cells[0] == "B20-03 cage 2"
    box = next(b for b in book.all(BoxRow) if ("box", b.id) == sick.key)
    session.do(set_tools, box_id=box.id, tools="red forceps")
    answer = away(book, shelf, ON, dt.date(2021, 6, 14), dt.date(2021, 6, 15))
    walked = round_of(book, shelf, ON, everything=True)
    names = [place.name for place in walked.places]
    for evening in helper_rounds(answer, shelf, walked):
        visited = [place.name for place in evening.places]
        assert visited == [name for name in names if name in visited]
        assert visited[-1] == QUARANTINE
        (last,) = evening.places[-1].lines
        assert (last.id, last.quarantine) == (box.id, True)
        assert last.reason.startswith("North shed, after all others.")
        assert last.reason.endswith("Its own tools: red forceps")


def test_a_box_is_kept_apart_by_a_key_and_goes_last(stand: Stand) -> None:
    stand.go_to("B21-05 A")
    press("K")
    press("from another keeper", Key.Key_Return)
    (row,) = stand.book.all(SetApartRow)
    assert (row.since, row.until) == (ON, dt.date(2021, 6, 26))
    line = stand.go_to("B21-05 A")
    assert (line.group, line.alarm) == (QUARANTINE, True)
    assert "From another keeper, since 12 June" in str(line.cells[3])
    control_shift(Key.Key_A)
    assert "B21-05 A" in panel(stand).words
    assert "flacherie" in panel(stand).words
    press(Key.Key_Escape)
    press("K")
    form = stand.round.panel
    assert isinstance(form, EntryForm)
    assert "no longer apart" in form.accessibleName()
    press(Key.Key_Return)
    assert stand.book.all(SetApartRow)[0].ended_on == ON
    assert stand.go_to("B21-05 A").group != QUARANTINE


def control_shift(key: Qt.Key) -> None:
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    press_with(both, key)


def test_too_full_boxes_are_listed_with_what_the_numbers_are_for(stand: Stand) -> None:
    control(Key.Key_M)
    words = panel(stand).words
    assert "a box of 2 litres" in words
    assert "B21-05 S1" in words
    assert "Next moult: 48 L3, room for 30." in words
    assert "Too full, 10 boxes: " in stand.round.sheet.foot.words


def test_a_box_that_is_too_full_is_split_by_keys(stand: Stand) -> None:
    stand.go_to("B21-06 B")
    press("D")
    form = stand.round.panel
    assert isinstance(form, EntryForm)
    assert "box 10" in form.caution
    press("9 10", Key.Key_Return)
    assert stand.last().startswith("Split B21-06 B: 9 into E, 10 into F")
    control(Key.Key_E)
    codes = {str(line.cells[0]): line.cells[4] for line in stand.walk.lines()}
    assert (codes["B21-06 E"], codes["B21-06 F"]) == ("9", "10")
    # the sample has entries of later days at it: it stays open, empty
    assert codes["B21-06 B"] == "0"
    stand.go_to("B21-06 E")
    press("J")
    press(Key.Key_Return)
    assert stand.last().startswith("Joined 9 of B21-06 E to B21-06 ")


def test_who_shared_with_a_box_is_read_at_the_side(stand: Stand) -> None:
    stand.go_to("B20-03 cage 2")
    press("T")
    words = panel(stand).words
    assert "Kept apart" in words
    assert "B20-03 cage 1" in words
    assert focus() is not stand.walk
    press(Key.Key_Escape)
    assert stand.walk.hasFocus()


def test_without_a_box_in_the_hand_it_is_said_where_to_go(stand: Stand) -> None:
    pot = next(line for line in stand.due if line.cells[2] == "Look for hatching")
    stand.walk.set_current(pot.key)
    for act in ("keep_apart", "shared_with", "split_box", "join_boxes"):
        do = next(do for one, do in stand.round.acts() if one.id == act)
        do()
        assert "go to a box first" in stand.round.notices.words
    assert stand.round.panel is None


def test_test_larvae_are_judged_from_their_line(stand: Stand) -> None:
    session = stand.opened.session
    tree = session.do(add_tree, name="Oak by the vines", host="downy oak").new_id
    session.do(begin_test, tree_id=tree, begun_on=dt.date(2021, 6, 9))
    line = stand.go_to("Oak by the vines")
    assert (line.state, line.cells[2]) == (State.DUE, str(Task.JUDGE_LEAF))
    assert stand.round.in_hand() == ("tree", tree)
    press("J")
    assert isinstance(stand.round.panel, EntryForm)
    press("2", Key.Key_Return)
    assert stand.go_to("Oak by the vines").state is State.DONE


@pytest.mark.parametrize("cap", ["V", "D", "J", "E", "R", "Z", "G", "X", "M", "K"])
def test_every_form_is_reached_at_a_box_left_alone(stand: Stand, cap: str) -> None:
    resting = next(line for line in stand.walk.lines() if line.state is State.REST)
    stand.walk.set_current(resting.key)
    press(cap)
    assert isinstance(stand.round.panel, EntryForm)


def test_large_text_gives_the_lines_the_foots_room_beside_a_panel(
    stand: Stand,
) -> None:
    foot = stand.round.sheet.foot
    control(Key.Key_M)
    assert foot.isVisible()
    press(Key.Key_Escape)
    for _ in range(6):
        stand.desk.theme.larger()
    control(Key.Key_M)
    assert not foot.isVisible()
    press(Key.Key_Escape)
    assert foot.isVisible()


def test_what_is_read_at_the_side_stands_alone_in_large_text(
    stand: Stand, qtbot: QtBot
) -> None:
    control(Key.Key_M)
    assert stand.round.sheet.isVisible()
    for _ in range(6):
        stand.desk.theme.larger()
    assert not stand.round.sheet.isVisible()
    qtbot.waitUntil(lambda: panel(stand).width() == stand.round.width())
    press(Key.Key_Escape)
    assert stand.round.sheet.isVisible()
    assert stand.walk.hasFocus()


@pytest.mark.parametrize("scale", [1.6, 2.0, 2.5])
def test_a_form_does_not_push_the_window_out_of_the_screen(
    stand: Stand, scale: float
) -> None:
    stand.desk.theme.set_scale(scale)
    stand.window.resize(1280, 800)
    for cap in ("V", "G", "X", "E"):
        press(cap)
        assert isinstance(stand.round.panel, EntryForm)
        assert (stand.window.width(), stand.window.height()) == (1280, 800)
        press(Key.Key_Escape)
    control(Key.Key_K)
    press("pyri")
    assert (stand.window.width(), stand.window.height()) == (1280, 800)


def test_a_box_at_rest_says_so_in_large_text(stand: Stand) -> None:
    for _ in range(6):
        stand.desk.theme.larger()
    lines = stand.walk.lines()
    row = next(at for at, line in enumerate(lines) if line.state is State.REST)
    delegate = stand.walk.itemDelegate()
    assert isinstance(delegate, LineDelegate)
    ruler = QFontMetricsF(stand.desk.theme.look.faces.species)
    first = {text: slot.width for slot, text in delegate.rows(row)[0]}
    assert ruler.horizontalAdvance("Leave alone") <= first["Leave alone"]


def test_a_sleeve_offers_another_branch(stand: Stand) -> None:
    sleeve = stand.go_to("B21-04 S1")
    assert "B" in {offer.cap for offer in sleeve.keys if not offer.unseen}
    box = stand.go_to("B21-06 B")
    assert "B" not in {offer.cap for offer in box.keys if not offer.unseen}
