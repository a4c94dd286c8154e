from __future__ import annotations

from datetime import date, time
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from rearing.desk.theme import View
from rearing.desk.widgets.fields import (
    AmountField,
    Answers,
    ChoiceField,
    CountField,
    DayField,
    Field,
    MomentField,
    NoteField,
    SearchField,
    TextField,
    YesNoField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.desk.widgets.inputs import LineInput, NoteInput, SearchInput
from rearing.problems import AskFirst, Refusal, StorageTrouble
from rearing.terms import Quality

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

TODAY = date(2021, 6, 12)
Key = Qt.Key
ASK: tuple[Field, ...] = (
    MomentField("seen", "&Night of", day=date(2021, 6, 11), at=time(23, 10)),
    CountField("eggs", "&Eggs", ask_quality=True, required=True),
    AmountField("mass", "&Mass", unit="g"),
    ChoiceField("kind", "&Kind", options=((1, "box"), (2, "pot")), value=1),
    SearchField(
        "taxon", "&Species", options=(("t1", "Aglia tau"), ("t2", "Saturnia pyri"))
    ),
    DayField("due", "&Due"),
    TextField("who", "&Counted by"),
    NoteField("note", "N&ote"),
    YesNoField("free", "&Released"),
)


def opened(
    qtbot: QtBot,
    theme: Theme,
    keep: Callable[[Answers], object],
    *,
    stay: bool = False,
) -> EntryForm:
    form = EntryForm(
        theme, "Eggs of W21-05", ASK, keep, today=TODAY, columns=2, stay=stay
    )
    qtbot.addWidget(form)
    form.resize(900, 500)
    form.show()
    form.focus_first()
    return form


def press(widget: QWidget, text: str) -> None:
    QTest.keyClicks(widget, text)


def test_answers_come_back_as_what_they_are(qtbot: QtBot, theme: Theme) -> None:
    kept: list[Answers] = []
    form = opened(qtbot, theme, kept.append)
    press(form.input("eggs").focus_part(), "~38")
    press(form.input("mass").focus_part(), "7,25")
    press(form.input("taxon").focus_part(), "pyri")
    press(form.input("due").focus_part(), "24.6.")
    press(form.input("note").focus_part(), "on the net")
    QTest.keyClick(form.input("free").focus_part(), Key.Key_Space)
    with qtbot.waitSignals([form.kept, form.closed]):
        QTest.keyClick(form.input("who").focus_part(), Key.Key_Return)
    (answers,) = kept
    assert answers.count("eggs") == 38
    assert answers.quality("eggs") is Quality.ABOUT
    assert answers.amount("mass") == 7.25
    assert answers.choice("kind") == 1
    assert answers.choice("taxon") == "t2"
    assert answers.day("due") == date(2021, 6, 24)
    assert answers.day("seen") == date(2021, 6, 11)
    assert answers.time_of_day("seen") == time(23, 10)
    assert answers.text("note") == "on the net"
    assert answers.text("who") == ""
    assert answers.yes("free")
    assert not answers.sure


def test_a_missing_answer_is_asked_for_where_it_is_missing(
    qtbot: QtBot, theme: Theme
) -> None:
    kept: list[Answers] = []
    form = opened(qtbot, theme, kept.append)
    form.accept()
    assert kept == []
    assert form.message("eggs") == "This one is needed."
    assert form.focusWidget() is form.input("eggs").focus_part()


def test_zero_is_an_answer(qtbot: QtBot, theme: Theme) -> None:
    kept: list[Answers] = []
    form = opened(qtbot, theme, kept.append)
    press(form.input("eggs").focus_part(), "0")
    form.accept()
    assert [answers.count("eggs") for answers in kept] == [0]


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        ("eggs", "many", "is not a whole number"),
        ("eggs", "999999999", "is more than"),
        ("mass", "heavy", "is not a number"),
        ("taxon", "a", "may be one of 2"),
        ("taxon", "wolf", "is not among them"),
        ("due", "32.13.", "is not a day"),
    ],
)
def test_what_cannot_be_understood_is_said_under_its_field(
    qtbot: QtBot, theme: Theme, key: str, typed: str, words: str
) -> None:
    kept: list[Answers] = []
    form = opened(qtbot, theme, kept.append)
    if key != "eggs":
        press(form.input("eggs").focus_part(), "5")
    press(form.input(key).focus_part(), typed)
    form.accept()
    assert words in form.message(key)
    assert kept == []


def test_a_refusal_keeps_what_was_typed_and_goes_after_mending(
    qtbot: QtBot, theme: Theme
) -> None:
    def keep(answers: Answers) -> None:
        if not answers.text("who"):
            raise Refusal("Say who counted.", field="who")

    form = opened(qtbot, theme, keep)
    press(form.input("eggs").focus_part(), "12")
    form.accept()
    assert form.message("who") == "Say who counted."
    assert form.focusWidget() is form.input("who").focus_part()
    assert form.isVisible()
    press(form.input("who").focus_part(), "M")
    with qtbot.waitSignal(form.closed):
        form.accept()
    assert form.message("who") == ""


def test_a_refusal_of_no_field_stands_at_the_top(qtbot: QtBot, theme: Theme) -> None:
    def keep(_answers: Answers) -> None:
        raise Refusal("The box is closed.")

    form = opened(qtbot, theme, keep)
    press(form.input("eggs").focus_part(), "12")
    form.accept()
    assert form.message() == "The box is closed."


def test_a_full_disk_is_told_and_the_entry_can_be_tried_again(
    qtbot: QtBot, theme: Theme
) -> None:
    disk = ["full"]

    def keep(_answers: Answers) -> None:
        if disk:
            raise StorageTrouble("The disk is full. This entry was not written.")

    form = opened(qtbot, theme, keep)
    press(form.input("eggs").focus_part(), "12")
    form.accept()
    assert form.message() == "The disk is full. This entry was not written."
    assert form.isVisible()
    disk.clear()
    with qtbot.waitSignal(form.closed):
        form.accept()


@pytest.mark.parametrize(
    ("key", "taken"),
    [(Key.Key_Y, True), (Key.Key_N, False), (Key.Key_Return, False)],
    ids=["yes", "no", "a second Enter"],
)
def test_a_doubtful_entry_is_asked_about_in_place(
    qtbot: QtBot, theme: Theme, key: Qt.Key, taken: bool
) -> None:
    kept: list[Answers] = []

    def keep(answers: Answers) -> None:
        if not answers.sure:
            raise AskFirst("More than 200 eggs. Enter it all the same?")
        kept.append(answers)

    form = opened(qtbot, theme, keep)
    press(form.input("eggs").focus_part(), "201")
    form.accept()
    assert form.question.words.startswith("More than 200")
    assert kept == []
    QTest.keyClick(form.focusWidget(), key)
    assert [answers.count("eggs") for answers in kept] == ([201] if taken else [])
    assert form.question.words == ""


def test_escape_leaves_and_enters_nothing(qtbot: QtBot, theme: Theme) -> None:
    kept: list[Answers] = []
    form = opened(qtbot, theme, kept.append)
    press(form.input("eggs").focus_part(), "12")
    with qtbot.waitSignal(form.closed):
        QTest.keyClick(form.input("eggs").focus_part(), Key.Key_Escape)
    assert kept == []


def test_a_note_takes_enter_for_a_new_line(qtbot: QtBot, theme: Theme) -> None:
    kept: list[Answers] = []
    form = opened(qtbot, theme, kept.append)
    press(form.input("eggs").focus_part(), "3")
    note = form.input("note").focus_part()
    press(note, "one")
    QTest.keyClick(note, Key.Key_Return)
    press(note, "two")
    assert kept == []
    QTest.keyClick(note, Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert kept[0].text("note") == "one\ntwo"


def test_a_form_that_stays_begins_afresh(qtbot: QtBot, theme: Theme) -> None:
    kept: list[Answers] = []
    form = opened(qtbot, theme, kept.append, stay=True)
    for typed in ("38", "31", "17"):
        press(form.input("eggs").focus_part(), typed)
        QTest.keyClick(form.input("eggs").focus_part(), Key.Key_Return)
    assert [answers.count("eggs") for answers in kept] == [38, 31, 17]
    assert form.isVisible()


def test_up_and_down_step_the_day(qtbot: QtBot, theme: Theme) -> None:
    kept: list[Answers] = []
    form = opened(qtbot, theme, kept.append)
    due = form.input("due").focus_part()
    QTest.keyClick(due, Key.Key_Down)
    for _ in range(3):
        QTest.keyClick(due, Key.Key_Up)
    press(form.input("eggs").focus_part(), "1")
    form.accept()
    assert kept[0].day("due") == date(2021, 6, 15)


def test_tab_goes_through_every_field_and_its_parts(qtbot: QtBot, theme: Theme) -> None:
    form = opened(qtbot, theme, print)
    form.activateWindow()
    form.focus_first()
    names: list[str] = []
    for _ in range(13):
        focus = form.focusWidget()
        names.append(focus.accessibleName())
        QTest.keyClick(focus, Key.Key_Tab)
    assert names[:5] == [
        "Night of",
        "Night of, time of day",
        "Eggs",
        "Eggs, how exact",
        "Mass",
    ]
    assert {"Kind", "Species", "Due", "Counted by", "Note", "Released"} < set(names)
    assert all(names)


def test_the_foot_stands_below_the_fields_however_little_room_there_is(
    qtbot: QtBot, theme: Theme
) -> None:
    holder = QWidget()
    qtbot.addWidget(holder)
    holder.resize(900, 700)
    form = EntryForm(theme, "Eggs", ASK, lambda _: None, today=TODAY)
    form.setParent(holder)
    wanted = form.sizeHint().height()
    form.setGeometry(0, 0, 900, wanted - 120)
    with qtbot.waitActive(holder):
        holder.show()
        holder.activateWindow()
    fields, foot = form._scroll.geometry(), form._accept.geometry()
    assert fields.bottom() < foot.top()
    assert foot.bottom() < form.height()
    form._fields.focus_on("note")
    note = form.input("note")
    top = note.mapTo(form._scroll.viewport(), QPoint(0, 0)).y()
    assert 0 <= top < form._scroll.viewport().height()


@pytest.mark.parametrize("scale", [1.0, 1.5])
def test_the_longest_day_has_room_in_its_field(
    qtbot: QtBot, theme: Theme, scale: float
) -> None:
    theme.set_scale(scale)
    # computed: no month is longer than September, no weekday wider than Wed
    longest = date(2026, 9, 30)
    form = EntryForm(
        theme, "A day", [DayField("on", "&On", value=longest)], print, today=TODAY
    )
    qtbot.addWidget(form)
    form.show()
    line = form.input("on").focus_part()
    assert isinstance(line, QLineEdit)
    assert line.text() == "Wed 30 September 2026"
    kept = line.textMargins().left() + line.textMargins().right() + 4
    assert line.fontMetrics().horizontalAdvance(line.text()) <= line.width() - kept


def test_the_caret_in_red_is_never_white(qtbot: QtBot, theme: Theme) -> None:
    theme.set_view(View.RED)
    ground = QWidget()
    qtbot.addWidget(ground)
    column = QVBoxLayout(ground)
    many = SearchField("tree", "Tree", (("1", "Oak 1"),))
    fields = (LineInput("aspen"), NoteInput("wilted"), SearchInput(many))
    for field in fields:
        column.addWidget(field)
    ground.show()
    assert QTest.qWaitForWindowActive(ground)
    for field in fields:
        ground.setFocus()
        bare = ground.grab().toImage()
        field.setFocus()
        seen = ground.grab().toImage()
        assert seen != bare
        at = [(x, y) for x in range(seen.width()) for y in range(seen.height())]
        lit = {seen.pixelColor(x, y).name() for x, y in at}
        # the lamp's own palette: no blue, hardly any green
        assert all(int(name[3:5], 16) < 0x20 for name in lit)
        assert all(int(name[5:7], 16) < 0x08 for name in lit)


def test_columns_go_under_each_other_on_a_narrow_page(
    qtbot: QtBot, theme: Theme
) -> None:
    form = EntryForm(theme, "Fed", ASK, lambda _: None, today=TODAY, columns=2)
    qtbot.addWidget(form)
    form.fit_page(2000)
    wide = form.minimumSizeHint().width()
    form.fit_page(wide - 40)
    assert form.minimumSizeHint().width() < wide - 40
    form.fit_page(2000)
    assert form.minimumSizeHint().width() == wide
