"""The season page by keys: ribbons, days, reading, what-if, and work behind it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QImage, QMouseEvent
from PySide6.QtTest import QTest

from rearing.desk.help_panel import HelpPanel
from rearing.desk.pages.season_page import SeasonPage
from rearing.desk.pages.season_suppose import SupposeForm
from rearing.desk.pages.season_words import week_words
from rearing.desk.session import Session
from rearing.desk.tasks import Tasks
from rearing.desk.theme import View
from rearing.keeping import places
from rearing.keeping.season_rows import season_rows
from rearing.records.book import Book
from rearing.records.rows import StayRow
from rearing.sheets.shelf import load_all
from tests.desk.karst_season import ON, ZONE, day, entry, write_season

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme
    from tests.desk.karst_season import Season

Key = Qt.Key
SHELF = load_all()


def evening() -> dt.datetime:
    return dt.datetime(2021, 6, 25, 20, tzinfo=ZONE)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.make(tmp_path / "karst.rearing") as made:
        yield made


@pytest.fixture
def ids(book: Book) -> Season:
    written = write_season(book)
    places.add_place(book, entry(ON), name="Cellar", set_point_c=12)
    return written


def opened(
    qtbot: QtBot, theme: Theme, book: Book, tasks: Tasks | None = None
) -> SeasonPage:
    session = Session(book, SHELF, evening, on=ON)
    page = SeasonPage(session, theme, tasks)
    session.changed.connect(page.refresh)
    qtbot.addWidget(page)
    page.resize(1140, 750)
    page.show()
    qtbot.waitUntil(lambda: page.sheet.view is not None)
    if tasks is None:
        qtbot.waitUntil(lambda: bool(page.sheet.view and page.sheet.view.is_forecast))
    page.focus_first()
    return page


def press(page: SeasonPage, *keys: Key) -> None:
    for key in keys:
        QTest.keyClick(page.sheet, key)


def test_each_brood_has_a_ribbon_and_its_dates_are_read(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    ribbon = page.sheet.current()
    assert ribbon is not None
    assert ribbon.brood_id == ids.tau_brood
    words = page.sheet.words()
    assert words.startswith(f"{ribbon.code} Aglia tau, ")
    assert "So far about: laid 8 May, L1 " in words
    assert "Expected: " in words
    assert "wander " in words
    assert page.sheet.accessibleDescription() == words


def test_down_goes_through_the_broods_to_the_leaf(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    press(page, Key.Key_Down)
    ribbon = page.sheet.current()
    assert ribbon is not None
    assert ribbon.brood_id == ids.pyri_brood
    press(page, Key.Key_Down)
    assert page.sheet.current() is None
    assert page.sheet.words().startswith("Leaf to cut. Fullest week, ")
    press(page, Key.Key_Down, Key.Key_Up)
    assert page.sheet.current() == ribbon


def test_days_move_by_weeks_and_months_and_home_is_today(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    scale = page.sheet.scale()
    assert scale is not None
    assert scale.first < ON < scale.last
    moves = {
        Key.Key_Right: 7,
        Key.Key_PageDown: 37,
        Key.Key_Left: 30,
        Key.Key_PageUp: 0,
        Key.Key_Home: 0,
    }
    for key, days in moves.items():
        press(page, key)
        moved = page.sheet.scale()
        assert moved is not None
        assert (moved.first - scale.first).days == days
    wide = (scale.last - scale.first).days
    QTest.keyClicks(page.sheet, "+")
    closer = page.sheet.scale()
    assert closer is not None
    assert (closer.last - closer.first).days < wide


def test_enter_asks_for_the_broods_page(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    with qtbot.waitSignal(page.go_asked) as asked:
        press(page, Key.Key_Down, Key.Key_Return)
    assert asked.args == ["brood", ids.pyri_brood]


def test_r_reads_everything_of_a_brood_and_of_the_leaf(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    press(page, Key.Key_R)
    assert isinstance(page.panel, HelpPanel)
    words = page.panel.words
    for group in season_rows(book, SHELF, ON).ribbons[0].groups:
        assert group.group in words
        assert group.temperatures.rstrip(".") in words
    assert "first " in words
    assert "half " in words
    page.close_panel()
    press(page, Key.Key_End, Key.Key_R)
    assert isinstance(page.panel, HelpPanel)
    assert "a day expected: " in page.panel.words


def supposing(page: SeasonPage, place: str, qtbot: QtBot) -> SupposeForm:
    press(page, Key.Key_W)
    form = page.panel
    assert isinstance(form, SupposeForm)
    box = form.input("place").focus_part()
    QTest.keyClicks(box, place)
    qtbot.waitUntil(lambda: page.sheet.supposed is not None)
    return form


def test_w_shows_both_and_esc_forgets_without_moving_anything(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    stays = book.all(StayRow)
    form = supposing(page, "Cell", qtbot)
    now, then = page.sheet.current(), page.sheet.supposed
    assert now is not None
    assert then is not None
    assert then.brood_id == now.brood_id
    assert then.groups != now.groups
    assert " later" in page.sheet.words()
    QTest.keyClick(form, Key.Key_Escape)
    assert page.sheet.supposed is None
    assert page.panel is None
    assert book.all(StayRow) == stays


def test_enter_carries_every_box_of_the_brood(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    form = supposing(page, "Cell", qtbot)
    then = page.sheet.supposed
    assert then is not None
    form.accept()
    assert form.message() == ""
    qtbot.waitUntil(lambda: page.panel is None)
    cellar = {place for place, name in places_of(book) if name == "Cellar"}
    for box_id in (ids.sleeve, ids.box_a, ids.box_b):
        stands = [s for s in book.all(StayRow) if s.box_id == box_id and not s.to_at]
        assert {stay.place_id for stay in stands} <= cellar
    qtbot.waitUntil(lambda: shown_groups(page) == then.groups)


def places_of(book: Book) -> list[tuple[int, str]]:
    from rearing.records.rows import PlaceRow

    return [(row.id, row.name) for row in book.all(PlaceRow)]


def shown_groups(page: SeasonPage) -> object:
    ribbon = page.sheet.current()
    return ribbon.groups if ribbon is not None else None


def test_a_day_still_to_come_is_asked_about_before_it_is_written(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    stays = book.all(StayRow)
    form = supposing(page, "Cell", qtbot)
    field = form.input("from").focus_part()
    field.setText("2.7.")  # type: ignore[attr-defined]
    form.accept()
    assert form.question.isVisible()
    assert book.all(StayRow) == stays


def test_w_on_the_leaf_says_where_to_go_first(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    press(page, Key.Key_End, Key.Key_W)
    assert page.panel is None
    assert not page.notices.isHidden()


def hover(page: SeasonPage, x: float, y: float) -> None:
    at = QPointF(x, y)
    event = QMouseEvent(
        QMouseEvent.Type.MouseMove,
        at,
        page.sheet.viewport().mapToGlobal(at),
        Qt.MouseButton.NoButton,
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
    )
    page.sheet.mouseMoveEvent(event)


def test_the_mouse_says_what_the_keys_say(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    plan, view = page.sheet.plan(), page.sheet.view
    assert plan is not None
    assert view is not None
    second = plan.rows.top() + plan.top_of(1) + 4
    hover(page, 300, second)
    hovered = page.sheet.words()
    QTest.mouseClick(
        page.sheet.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(300, int(second))
    )
    assert page.sheet.words() == hovered
    assert page.sheet.current() == view.ribbons[1]
    week = next(week for week in view.weeks if week.total is not None)
    scale = page.sheet.scale()
    assert scale is not None
    hover(page, scale.x(week.sunday), plan.leaf.center().y())
    assert week_words(week, ON) in page.sheet.words()


def test_an_empty_book_says_what_to_do_first(
    qtbot: QtBot, theme: Theme, book: Book
) -> None:
    page = opened(qtbot, theme, book)
    assert "No brood" in page.quiet.words
    assert "Ctrl+3" in page.quiet.words
    assert page.quiet.isVisible()


def test_what_was_seen_is_there_before_the_windows_and_the_last_ones_stay(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    tasks = Tasks()
    try:
        page = opened(qtbot, theme, book, tasks)
        first = page.sheet.view
        assert first is not None
        assert first.ribbons
        qtbot.waitUntil(lambda: bool(page.sheet.view and page.sheet.view.is_forecast))
        good = page.sheet.view
        places.add_place(book, entry(ON), name="Loft", set_point_c=20)
        page.refresh()
        qtbot.waitUntil(lambda: "being worked out" in page.head.heading.under)
        assert page.sheet.view is good
        assert page.head.heading.under.startswith("Windows as of 20:00")
        qtbot.waitUntil(lambda: page.sheet.view is not good)
        assert page.sheet.view == good
    finally:
        page.close()
        tasks.close()


def test_a_page_put_away_is_not_called_by_its_job(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    tasks = Tasks()
    try:
        page = opened(qtbot, theme, book, tasks)
        page.hide()
        qtbot.waitUntil(lambda: not tasks.busy)
        assert page.sheet.view is not None
        assert not page.sheet.view.is_forecast
        page.show()
        qtbot.waitUntil(lambda: bool(page.sheet.view and page.sheet.view.is_forecast))
    finally:
        page.close()
        tasks.close()


def test_another_day_shows_what_was_known_then(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season
) -> None:
    page = opened(qtbot, theme, book)
    page._session.show_on(day(5, 15))
    qtbot.waitUntil(lambda: bool(page.sheet.view and page.sheet.view.on == day(5, 15)))
    qtbot.waitUntil(lambda: bool(page.sheet.view and page.sheet.view.is_forecast))
    assert page.sheet.view is not None
    assert [one.brood_id for one in page.sheet.view.ribbons] == [ids.tau_brood]


def painted(page: SeasonPage) -> QImage:
    image = QImage(page.sheet.viewport().size(), QImage.Format.Format_ARGB32)
    page.sheet.viewport().render(image)
    return image


def colours_in(image: QImage, left: int, right: int, top: int, bottom: int) -> set[str]:
    return {
        image.pixelColor(x, y).name()
        for x in range(left, right)
        for y in range(top, bottom)
    }


@pytest.mark.parametrize("view", [View.DAY, View.DARK])
def test_ink_lies_before_today_and_pencil_beyond(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season, view: View
) -> None:
    theme.set_view(view)
    page = opened(qtbot, theme, book)
    plan, scale = page.sheet.plan(), page.sheet.scale()
    assert plan is not None
    assert scale is not None
    image = painted(page)
    middle = int(plan.rows.top()) + theme.look.px(20)
    today = int(scale.edge(ON + dt.timedelta(days=1)))
    larva = theme.look.colour("larva").name()
    before = colours_in(image, today - 40, today - 6, middle - 2, middle + 2)
    beyond = colours_in(image, today + 8, today + 40, middle - 6, middle + 6)
    assert larva in before
    assert larva not in beyond
    assert len(beyond) > 3  # faded and hatched
    line = colours_in(image, today - 1, today + 2, 6, 10)
    assert theme.look.colour("madder").name() in line


@pytest.mark.parametrize("scale", [0.8, 1.6, 2.5])
def test_the_sheet_paints_at_any_text_size(
    qtbot: QtBot, theme: Theme, book: Book, ids: Season, scale: float
) -> None:
    theme.set_scale(scale)
    page = opened(qtbot, theme, book)
    press(page, Key.Key_Down)
    plan = page.sheet.plan()
    assert plan is not None
    assert plan.rows.height() > 0
    assert plan.left < plan.right
    colours = colours_in(painted(page), 0, 1000, 100, 140)
    assert len(colours) > 5
