from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF
from PySide6.QtTest import QTest

from rearing.desk.theme import View
from rearing.desk.widgets.line_layout import cell_face, lay_out
from rearing.desk.widgets.line_rows import rows_of
from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, Pencil, State
from rearing.desk.widgets.marks import GRID, Mark, mark_path
from rearing.desk.widgets.ruled_list import RuledList
from rearing.desk.widgets.writing import wrap

if TYPE_CHECKING:
    from pytestqt.modeltest import ModelTester
    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

Key = Qt.Key
COLUMNS = (
    Column("Box", Ink.CODE),
    Column("Species", Ink.SPECIES),
    Column("To do", Ink.VERB),
    Column("Why", Ink.TEXT, stretch=True),
    Column("Number", Ink.NUMBER),
    Column("Known", Ink.KNOWN),
)
KEYS = (
    KeyOffer("F", "fed"),
    KeyOffer("C", "fed and cleaned"),
    KeyOffer("0–9", "type a count", quiet=True, answers="0123456789"),
    KeyOffer("Enter", "next box", quiet=True),
)


def line(code: str, group: str, state: State = State.DUE, until: str = "") -> Line:
    cells = (code, "L. populi", "Fresh leaf", "Aspen cut Wednesday", "28", "counted")
    return Line(
        code,
        (*cells[:5], Pencil("by the book")),
        f"{code}: fresh leaf",
        group,
        mark=Mark.BARS if state is State.REST else Mark.SQUARE,
        state=state,
        keys=() if state is State.REST else KEYS,
        until=until,
    )


LINES = (
    line("B21-06 A", "Kitchen", State.DONE),
    line("B21-06 B", "Kitchen"),
    line("B21-04 B", "Hall", State.REST, until="until Sat 26, night"),
    line("B21-08 A", "Attic"),
)


@pytest.fixture
def ruled(qtbot: QtBot, theme: Theme) -> RuledList:
    made = RuledList(theme, COLUMNS, "Boxes")
    qtbot.addWidget(made)
    made.resize(1000, 400)
    made.set_lines(LINES, current="B21-06 B")
    made.show()
    return made


def test_the_model_is_sound(ruled: RuledList, qtmodeltester: ModelTester) -> None:
    qtmodeltester.check(ruled.model())  # type: ignore[no-untyped-call]  # not ours


def test_a_line_is_heard_as_a_sentence(ruled: RuledList) -> None:
    index = ruled.model().index(1, 0)
    heard = ruled.model().data(index, Qt.ItemDataRole.AccessibleTextRole)
    assert heard == "B21-06 B: fresh leaf"
    assert ruled.accessibleName() == "Boxes"


def test_an_offered_key_speaks_for_the_current_line(
    qtbot: QtBot, ruled: RuledList
) -> None:
    with qtbot.waitSignal(ruled.key_pressed) as pressed:
        QTest.keyClick(ruled, Key.Key_F)
    assert pressed.args == ["B21-06 B", "f"]
    with qtbot.waitSignal(ruled.key_pressed) as counted:
        QTest.keyClick(ruled, Key.Key_7)
    assert counted.args == ["B21-06 B", "7"]


def test_no_other_letter_does_anything(qtbot: QtBot, ruled: RuledList) -> None:
    with (
        qtbot.assertNotEmitted(ruled.key_pressed),
        qtbot.assertNotEmitted(ruled.moved),
    ):
        QTest.keyClicks(ruled, "bBn")
        QTest.keyClick(ruled, Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    ruled.set_current("B21-04 B")
    with qtbot.assertNotEmitted(ruled.key_pressed):
        QTest.keyClick(ruled, Key.Key_F)


def test_arrows_walk_and_enter_chooses(qtbot: QtBot, ruled: RuledList) -> None:
    with qtbot.waitSignal(ruled.moved) as moved:
        QTest.keyClick(ruled, Key.Key_Down)
    assert moved.args == ["B21-04 B"]
    QTest.keyClick(ruled, Key.Key_Down)
    with qtbot.waitSignal(ruled.chosen) as chosen:
        QTest.keyClick(ruled, Key.Key_Return)
    assert chosen.args == ["B21-08 A"]


def test_the_next_due_line_skips_what_rests(ruled: RuledList) -> None:
    assert ruled.go_next_due()
    assert ruled.current_key() == "B21-08 A"
    assert not ruled.go_next_due()


def test_the_current_line_is_found_again_after_a_refresh(ruled: RuledList) -> None:
    ruled.set_lines((line("B21-01 A", "Cellar"), *LINES))
    assert ruled.current_key() == "B21-06 B"
    ruled.set_lines([one for one in LINES if one.key != "B21-06 B"])
    assert ruled.current_key() is not None
    ruled.set_lines(())
    assert ruled.current_line() is None


def test_only_the_current_line_grows(ruled: RuledList) -> None:
    heights = [
        ruled.visualRect(ruled.model().index(row, 0)).height() for row in range(4)
    ]
    assert heights[1] > 1.8 * heights[0]
    assert heights[0] == heights[2] == heights[3]


def test_a_cap_can_be_clicked(qtbot: QtBot, ruled: RuledList) -> None:
    ruled.grab()
    rect = ruled.visualRect(ruled.currentIndex())
    places = ruled.places()
    at = QPoint(int(places.first[0].x) + 8, rect.bottom() - places.key_height // 2)
    with qtbot.waitSignal(ruled.key_pressed) as pressed:
        QTest.mouseClick(ruled.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert pressed.args == ["B21-06 B", "F"]


def test_large_text_moves_the_reason_to_a_second_row(ruled: RuledList) -> None:
    assert ruled.places().below == ()
    before = ruled.whole_height()
    ruled.resize(620, 400)
    assert [[slot.column for slot in row] for row in ruled.places().below] == [[3]]
    assert ruled.whole_height() > before


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(
    width=st.integers(200, 1800),
    scale=st.sampled_from([0.8, 1.0, 1.6, 2.5]),
    words=st.text("mnoi ", max_size=60),
)
def test_columns_never_overlap_and_never_leave_the_page(
    theme: Theme, width: int, scale: float, words: str
) -> None:
    theme.set_scale(scale)
    lines = (*LINES, Line("x", (words,) * 6, words, "Attic"))
    places = lay_out(COLUMNS, lines, theme.look, float(width))
    rows = (places.first, *places.below)
    assert sorted(slot.column for row in rows for slot in row) == list(range(6))
    for row in rows:
        ends = [slot.x + slot.width for slot in row]
        starts = [slot.x for slot in row]
        assert all(end <= start for end, start in zip(ends, starts[1:], strict=False))
        assert all(end <= max(width, starts[0] + 1) + 0.01 for end in ends)


def test_a_whole_list_is_as_high_as_its_lines(qtbot: QtBot, theme: Theme) -> None:
    made = RuledList(theme, COLUMNS, "Boxes", whole=True)
    qtbot.addWidget(made)
    made.resize(1000, 50)
    made.set_lines(LINES)
    small = made.height()
    assert small == made.whole_height()
    theme.set_scale(2.0)
    assert made.height() > 1.8 * small


@pytest.mark.parametrize("view", [View.DAY, View.DARK, View.RED])
def test_resting_lines_are_hatched_not_only_coloured(
    ruled: RuledList, theme: Theme, view: View
) -> None:
    theme.set_view(view)
    image = ruled.grab().toImage()
    right = int(ruled.places().width) // 2 + 150

    def shades(row: int) -> set[int]:
        rect = ruled.visualRect(ruled.model().index(row, 0))
        y = rect.top() + 4
        return {image.pixel(x, y) for x in range(right, right + 40)}

    assert len(shades(2)) > 1
    assert len(shades(3)) == 1


@pytest.mark.parametrize("mark", [mark for mark in Mark if mark is not Mark.NONE])
def test_every_mark_fills_its_grid(mark: Mark) -> None:
    box = mark_path(mark).boundingRect()
    assert max(box.width(), box.height()) >= 0.7 * GRID
    assert box.left() >= -1
    assert box.bottom() <= GRID + 1


def test_no_two_marks_look_alike() -> None:
    paths = [mark_path(mark) for mark in Mark]
    assert all(
        one != other for at, one in enumerate(paths) for other in paths[at + 1 :]
    )


def test_a_reason_too_long_goes_on_under_itself_on_every_line(
    qtbot: QtBot, theme: Theme
) -> None:
    made = RuledList(theme, COLUMNS, "Boxes")
    qtbot.addWidget(made)
    made.resize(1000, 400)
    reason = "Aspen cut Wednesday; it lasts two days at 20°, so it ends tonight. " * 4
    cells = ("B21-06 C", "L. populi", "Fresh leaf", reason, "28", "counted")
    made.set_lines([*LINES, Line("long", cells, reason, "Attic", keys=KEYS)])
    made.show()
    places = made.places()
    first, *more = rows_of(made.line_at(4), COLUMNS, places, theme.look)
    slot, begins = next(piece for piece in first if piece[0].column == 3)
    told = [begins, *(text for row in more for _, text in row)]
    assert " ".join(told) == reason.strip()
    assert len(told) > 2
    assert all(one == slot for row in more for one, _ in row)
    ruler = QFontMetricsF(theme.look.faces.body)
    assert all(ruler.horizontalAdvance(text) <= slot.width for text in told)
    height = made.visualRect(made.model().index(4, 0)).height()
    assert height == places.line_height + len(more) * places.below_height
    made.set_current("long")
    grown = made.visualRect(made.currentIndex()).height()
    assert grown == height + places.key_height


def test_only_what_is_due_is_loud(theme: Theme) -> None:
    weight = QFont.Tag("wght")
    heavy = {
        state: cell_face(theme.look, Ink.VERB, "Look", state).variableAxisValue(weight)
        for state in State
    }
    for quiet in (State.QUIET, State.ANSWERED, State.DONE, State.REST):
        assert heavy[quiet] < heavy[State.DUE]


def test_a_row_with_nothing_in_it_takes_no_room(ruled: RuledList) -> None:
    silent = replace(LINES[3], cells=(*LINES[3].cells[:3], "", *LINES[3].cells[4:]))
    ruled.set_lines([*LINES[:3], silent], current=LINES[0].key)
    ruled.resize(620, 400)
    places = ruled.places()
    assert len(places.below) == 1
    heights = [ruled.visualRect(ruled.model().index(row, 0)).height() for row in (1, 3)]
    assert heights == [places.line_height + places.below_height, places.line_height]


def test_the_reason_of_a_resting_line_keeps_clear_of_when_it_ends(
    ruled: RuledList, theme: Theme
) -> None:
    reason = "Moulting rest, thirteen of twenty-one since Friday in the evening " * 2
    rests = replace(LINES[2], cells=(*LINES[2].cells[:3], reason, "", ""))
    ruled.set_lines([LINES[0], rests])
    places = ruled.places()
    rows = rows_of(rests, COLUMNS, places, theme.look)
    told = [text for row in rows for slot, text in row if slot.column == 3]
    assert " ".join(told) == reason.strip()
    ruler = QFontMetricsF(theme.look.faces.pencil_strong)
    begins = places.width - places.edge - ruler.horizontalAdvance(rests.until)
    assert all(slot.x + slot.width < begins for row in rows for slot, _ in row)


@given(st.lists(st.text("mi", min_size=1, max_size=30), max_size=20))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
def test_wrapping_loses_no_word(theme: Theme, words: list[str]) -> None:
    face = theme.look.faces.body
    lines = wrap(" ".join(words), face, 120)
    assert " ".join(lines).split() == words
    ruler = QFontMetricsF(face)
    assert all(
        ruler.horizontalAdvance(text) <= 120 or " " not in text for text in lines
    )


def test_the_topmost_line_names_its_group_when_scrolled(
    qtbot: QtBot, theme: Theme
) -> None:
    made = RuledList(theme, COLUMNS, "Boxes")
    qtbot.addWidget(made)
    made.set_lines([line(f"B21-{n:02d} A", "Kitchen") for n in range(40)])
    made.resize(900, 300)
    made.show()
    made.set_current("B21-30 A")

    def margin_ink() -> int:
        image = made.grab().toImage()
        ink = QColor(theme.look.tokens.ink).rgb()
        wide = int(made.places().margin) - 4
        return sum(image.pixel(x, y) == ink for x in range(wide) for y in range(28))

    assert made.first_in_sight() > 0
    assert margin_ink() > 10


def test_end_brings_the_keys_of_the_last_line_into_sight(
    qtbot: QtBot, ruled: RuledList
) -> None:
    many = [line(f"B21-06 {number}", "Kitchen") for number in range(30)]
    cells = (*LINES[1].cells[:3], "Aspen cut Wednesday " * 20, *LINES[1].cells[4:])
    ruled.set_lines([*many, replace(LINES[1], key="told in full", cells=cells)])
    ruled.setFocus()
    QTest.keyClick(ruled, Key.Key_End)
    assert ruled.currentIndex().row() == 30

    def shows_its_keys() -> bool:
        last = ruled.visualRect(ruled.currentIndex())
        return last.bottom() <= ruled.viewport().height()

    qtbot.waitUntil(shows_its_keys)


def test_a_heading_makes_room_above_its_line_and_none_elsewhere(
    ruled: RuledList,
) -> None:
    ruled.set_lines([LINES[0], replace(LINES[1], heading="The others"), LINES[3]])
    plain = ruled.places().line_height
    ruled.set_current(LINES[0].key)
    rects = [ruled.visualRect(ruled.model().index(row, 0)) for row in range(3)]
    assert rects[1].height() > 2 * plain > rects[2].height()
    assert ruled.whole_height() == rects[2].bottom() + 1


def test_nothing_is_written_against_the_scroll_bar(ruled: RuledList) -> None:
    places = ruled.places()
    assert max(s.x + s.width for s in places.first) <= places.width - places.edge
    assert places.edge > 0


def test_few_words_stay_beside_the_figures(theme: Theme) -> None:
    columns = (
        Column("Box", Ink.CODE),
        Column("Here", Ink.NUMBER),
        Column("Known", Ink.KNOWN, stretch=True),
    )
    few, many = (
        [Line(key=1, cells=("T1", "26", known), sentence=known)]
        for known in ("by the book", "by the book, not counted since May")
    )
    room = theme.look.px(200)
    assert not lay_out(columns, few, theme.look, room).below
    assert lay_out(columns, many, theme.look, room).below
