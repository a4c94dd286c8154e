"""Photos put in: chosen from the list, written, dropped and pasted; dated, refused."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDragEnterEvent, QDropEvent, QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from rearing.desk import entries
from rearing.desk.photo_entry import PhotoEntry
from rearing.desk.theme import View
from rearing.desk.widgets.form import EntryForm
from rearing.records.pictures import folder_of
from rearing.records.rows import PhotoRow
from tests.desk.entry_desk import enter, entered, fill
from tests.desk.karst_pages import press
from tests.desk.karst_season import ON
from tests.desk.photo_brood import with_photos
from tests.records.drawn_pictures import camera_picture

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.desk.pages.broods_page import BroodsPage
    from tests.desk.karst_pages import Karst

Key = Qt.Key


@pytest.fixture
def tau(karst: Karst) -> BroodsPage:
    return with_photos(karst)


def chosen(page: BroodsPage, karst: Karst, *files: Path) -> EntryForm:
    """Choose files from the list, for the box A, and return the form that asks more."""
    box = karst.season.box_a
    page.open_panel(entries.photo(karst.session, karst.theme, "box", box))
    press(page, Key.Key_Return)
    karst.bot.waitUntil(lambda: entry_of(page).dialog is not None)
    dialog = entry_of(page).dialog
    assert dialog is not None
    assert dialog.testOption(dialog.Option.DontUseNativeDialog)
    dialog.filesSelected.emit([str(file) for file in files])
    dialog.reject()
    form = page.panel
    assert isinstance(form, EntryForm)
    return form


def entry_of(page: BroodsPage) -> PhotoEntry:
    return page.findChildren(PhotoEntry)[-1]


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    first, second = tmp_path / "IMG_1.jpg", tmp_path / "IMG_2.jpg"
    first.write_bytes(camera_picture("2021:06:22 21:40:00"))
    second.write_bytes(camera_picture("2021:06:23 07:05:00"))
    return first, second


def test_one_photo_is_offered_with_the_cameras_day(
    karst: Karst, tau: BroodsPage, files: tuple[Path, Path]
) -> None:
    form = chosen(tau, karst, files[0])
    assert form.accessibleName() == "1 photo beside B21-01 A"
    entered(form, caption="third moult")

    row = karst.book.all(PhotoRow)[-1]
    assert (row.on, row.caption) == (dt.date(2021, 6, 22), "third moult")
    assert row.at == dt.datetime(2021, 6, 22, 19, 40, tzinfo=dt.UTC)
    assert karst.last() == "Photo beside B21-01 A, 22 June: third moult"
    assert len(tau.photos.strip.cells()) == 3


def test_the_list_of_files_gives_red_light_only_in_red(
    karst: Karst, tau: BroodsPage
) -> None:
    karst.theme.set_view(View.RED)
    entry = PhotoEntry(tau, karst.session, karst.theme, "box", karst.season.box_a)
    entry.choose()
    dialog = entry.dialog
    assert dialog is not None
    for part in dialog.findChildren(QLineEdit):
        part.setReadOnly(True)  # no caret: the style turns it over, black to white
    image = dialog.grab().toImage()
    dialog.reject()
    brightest = max(
        max(image.pixelColor(x, y).green(), image.pixelColor(x, y).blue())
        for x in range(image.width())
        for y in range(image.height())
    )
    # edges and handles are a dim grey of the style's own; an icon would be above 0xA0
    assert brightest < 0x60


def test_several_keep_each_its_own_day(
    karst: Karst, tau: BroodsPage, files: tuple[Path, Path]
) -> None:
    form = chosen(tau, karst, *files)
    hint = form.input("on").focus_part().accessibleDescription()
    assert "each its own: Tue 22 June to Wed 23 June" in hint
    entered(form)

    assert karst.last() == "2 photos beside B21-01 A, 22 to 23 June"
    assert [row.on.day for row in karst.book.all(PhotoRow)[-2:]] == [22, 23]


def test_what_is_no_picture_is_said_and_the_others_go_in(
    karst: Karst, tau: BroodsPage, files: tuple[Path, Path], tmp_path: Path
) -> None:
    (tmp_path / "notes.txt").write_text("no picture")
    form = chosen(tau, karst, files[0], tmp_path / "notes.txt")

    assert "notes.txt is not a picture" in form.caution
    entered(form)
    assert karst.last().startswith("Photo beside B21-01 A")


def test_nothing_but_what_is_no_picture_is_refused_on_the_page(
    karst: Karst, tau: BroodsPage, tmp_path: Path
) -> None:
    (tmp_path / "notes.txt").write_text("no picture")
    entry = PhotoEntry(tau, karst.session, karst.theme, "box", karst.season.box_a)
    entry.begin(str(tmp_path / "notes.txt"))

    assert "notes.txt is not a picture" in tau.notices.words
    assert tau.panel is None


def test_a_written_file_needs_no_list(
    karst: Karst, tau: BroodsPage, files: tuple[Path, Path]
) -> None:
    box = karst.season.box_a
    form = entries.photo(karst.session, karst.theme, "box", box)
    tau.open_panel(form)
    press(tau, str(files[0]), Key.Key_Return)
    karst.bot.waitUntil(lambda: tau.panel is not None and tau.panel is not form)
    assert isinstance(tau.panel, EntryForm)
    entered(tau.panel)
    assert karst.last() == "Photo beside B21-01 A, 22 June"


def test_a_day_to_come_is_asked_about(
    karst: Karst, tau: BroodsPage, files: tuple[Path, Path]
) -> None:
    form = chosen(tau, karst, files[0])
    fill(form, on="1.7.2021")
    enter(form)
    assert "still to come" in form.question.words
    QTest.keyClick(form.question, Key.Key_Y)

    assert karst.book.all(PhotoRow)[-1].on == dt.date(2021, 7, 1)


def test_a_trouble_with_the_disk_leaves_the_book_as_it_is(
    karst: Karst, tau: BroodsPage, files: tuple[Path, Path]
) -> None:
    form = chosen(tau, karst, files[0])
    before = karst.book.journal(most=1)[0].id
    folder = folder_of(karst.book.path)
    folder.rename(folder.with_name("elsewhere"))
    folder.write_text("in the way")
    entered(form)

    assert "can't be written" in tau.notices.words
    assert karst.book.journal(most=1)[0].id == before


def dropped(page: BroodsPage, mime: QMimeData) -> bool:
    """Drag something over the page and drop it; tell whether the page took it."""
    how = (
        Qt.DropAction.CopyAction,
        mime,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    over = QDragEnterEvent(QPoint(40, 40), *how)
    QApplication.sendEvent(page, over)
    drop = QDropEvent(QPointF(40, 40), *how)
    QApplication.sendEvent(page, drop)
    return over.isAccepted() and drop.isAccepted()


def test_files_dropped_on_the_page_go_beside_what_is_in_the_hand(
    karst: Karst, tau: BroodsPage, files: tuple[Path, Path]
) -> None:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(file)) for file in files])
    with karst.bot.waitActive(tau):
        tau.activateWindow()
    tau.sheet.boxes.setFocus()
    tau.sheet.boxes.set_current(("box", karst.season.box_b))

    assert dropped(tau, mime)
    assert isinstance(tau.panel, EntryForm)
    assert tau.panel.accessibleName() == "2 photos beside B21-01 B"


def test_what_is_no_file_is_not_taken(tau: BroodsPage) -> None:
    mime = QMimeData()
    mime.setText("only words")

    assert not dropped(tau, mime)
    assert tau.panel is None


def test_a_copied_picture_is_pasted(karst: Karst, tau: BroodsPage) -> None:
    image = QImage(30, 20, QImage.Format.Format_RGB32)
    image.fill(QColor("navy"))
    QGuiApplication.clipboard().setImage(image)
    tau.sheet.sheet.setFocus()
    QTest.keyClick(tau, Key.Key_V, Qt.KeyboardModifier.ControlModifier)

    assert isinstance(tau.panel, EntryForm)
    assert tau.panel.accessibleName() == "1 photo beside B21-01"
    entered(tau.panel)
    row = karst.book.all(PhotoRow)[-1]
    assert (row.on, row.suffix, row.width, row.height) == (ON, ".png", 30, 20)


def test_a_drop_where_nothing_is_in_the_hand_says_what_to_do(
    karst: Karst, tau: BroodsPage, files: tuple[Path, Path]
) -> None:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(files[0]))])
    tau.close_brood()

    assert not dropped(tau, mime)
    assert "Ctrl+I asks which" in tau.notices.words
