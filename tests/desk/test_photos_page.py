"""Photos on the pages: seen, opened large, captioned and put away by keys."""

from __future__ import annotations

import datetime as dt
import gc
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from rearing.desk.pages.broods_page import BroodsPage
from rearing.desk.pages.mothers_page import MothersPage
from rearing.desk.pages.picture_face import PictureFace
from rearing.desk.theme import View
from rearing.desk.widgets.picture_strip import MOST
from rearing.keeping.photos import add_photo, photos_of
from rearing.records.pictures import find, folder_of
from rearing.records.rows import PhotoRow
from tests.desk.karst_pages import is_asking, press
from tests.desk.karst_season import ON
from tests.desk.photo_brood import put, with_photos
from tests.records.drawn_pictures import picture

if TYPE_CHECKING:
    from PySide6.QtGui import QImage

    from tests.desk.karst_pages import Karst

Key = Qt.Key


@pytest.fixture
def tau(karst: Karst) -> BroodsPage:
    return with_photos(karst)


def face_of(page: BroodsPage | MothersPage) -> PictureFace:
    face = page.covered_by
    assert isinstance(face, PictureFace)
    return face


def colours(image: QImage) -> set[tuple[int, int, int]]:
    found = set()
    for x in range(0, image.width(), 3):
        for y in range(0, image.height(), 3):
            at = image.pixelColor(x, y)
            found.add((at.red(), at.green(), at.blue()))
    return found


GREEN = (34, 139, 34)
"""The pictures' own colour, as Qt and Pillow both name forestgreen."""


def has_green(image: QImage) -> bool:
    return any(g > r + 60 and g > b + 60 for r, g, b in colours(image))


# on the page


def test_the_strip_has_the_broods_and_its_boxes_photos_newest_first(
    tau: BroodsPage,
) -> None:
    cells = tau.photos.strip.cells()

    assert [cell.day for cell in cells] == ["about Thu 24 June", "about Sun 20 June"]
    assert cells[1].caption == "A: horns lost"
    section = next(s for s in tau.sheet.sheet.sections() if s.name == "Photos")
    assert not section.isHidden()
    assert "2 pictures" in tau.photos.strip.accessibleName()
    assert has_green(tau.photos.strip.grab().toImage())


def test_a_brood_without_photos_has_no_such_section(
    karst: Karst, tau: BroodsPage
) -> None:
    tau.open(karst.season.pyri_brood)

    section = next(s for s in tau.sheet.sheet.sections() if s.name == "Photos")
    assert section.isHidden()
    tau.photos.look()
    assert "Ctrl+I puts one in" in tau.notices.words
    assert tau.covered_by is None


def test_arrows_go_along_the_strip_and_say_where_they_are(tau: BroodsPage) -> None:
    tau.photos.strip.setFocus()
    press(tau, Key.Key_Right, Key.Key_Right)
    assert tau.photos.strip.at == 1
    assert "about Sun 20 June: A: horns lost" in tau.photos.strip.accessibleName()
    press(tau, Key.Key_Left)
    assert tau.photos.strip.at == 0


def test_many_photos_leave_the_older_ones_to_the_arrows(
    karst: Karst, tau: BroodsPage
) -> None:
    for number in range(MOST):
        add_photo(
            karst.book,
            karst.session.entry(),
            subject="brood",
            subject_id=karst.season.tau_brood,
            source=picture((50 + number, 40)),
            on=dt.date(2021, 6, 1),
        )
    tau.refresh(None)

    assert len(tau.photos.strip.cells()) == MOST
    assert f"{MOST + 2} pictures" in tau.photos.strip.accessibleName()
    tau.photos.look()
    assert len(face_of(tau).cells) == MOST + 2


def test_at_a_box_its_own_photo_is_the_first_to_be_looked_at(
    karst: Karst, tau: BroodsPage
) -> None:
    with karst.bot.waitActive(tau):
        tau.activateWindow()
    tau.sheet.boxes.setFocus()
    tau.sheet.boxes.set_current(("box", karst.season.box_a))
    tau.photos.look()

    assert face_of(tau).caption.text() == "A: horns lost"


# large


def test_enter_opens_a_picture_and_esc_comes_back_to_the_strip(
    tau: BroodsPage,
) -> None:
    tau.photos.strip.setFocus()
    press(tau, Key.Key_Return)

    face = face_of(tau)
    assert face.hasFocus()
    assert face.header.heading.code == "B21-01"
    assert face.header.heading.under == "picture 1 of 2"
    assert has_green(face.grab().toImage())
    press(tau, Key.Key_Right, Key.Key_Right)
    assert (face.at, tau.photos.strip.at) == (1, 1)
    assert face.caption.text() == "A: horns lost"
    press(tau, Key.Key_Escape)
    assert tau.covered_by is None
    assert tau.photos.strip.hasFocus()
    assert tau.brood_id is not None, "Esc did not close the brood as well"


def test_letters_at_a_picture_do_nothing_to_the_page_beneath(
    karst: Karst, tau: BroodsPage
) -> None:
    before = karst.book.journal(most=1)[0].id
    tau.photos.look()
    press(tau, "b", "n", "z", "w")

    assert not is_asking(tau)
    assert karst.book.journal(most=1)[0].id == before


def test_a_caption_is_written_at_the_picture(karst: Karst, tau: BroodsPage) -> None:
    tau.photos.look()
    press(tau, "c", "on the bench", Key.Key_Return)

    assert "“on the bench”" in karst.last()
    assert face_of(tau).caption.text() == "on the bench"
    assert face_of(tau).hasFocus()
    assert tau.photos.strip.cells()[0].caption == "on the bench"
    karst.session.take_back()
    assert face_of(tau).caption.text() == "No caption yet: C writes one."


def test_a_photo_is_put_away_and_taken_back(karst: Karst, tau: BroodsPage) -> None:
    tau.photos.look()
    press(tau, Key.Key_Delete)
    assert face_of(tau).header.heading.under == "picture 1 of 1"
    press(tau, Key.Key_Delete)

    assert tau.covered_by is None
    assert karst.book.all(PhotoRow) == ()
    karst.session.take_back()
    karst.session.take_back()
    assert len(tau.photos.strip.cells()) == 2
    assert len(list(folder_of(karst.book.path).glob("??/*.jpg"))) == 2


def test_turning_to_another_brood_leaves_the_picture(
    karst: Karst, tau: BroodsPage
) -> None:
    tau.photos.look()
    tau.show_target("brood", karst.season.pyri_brood)

    assert tau.covered_by is None
    assert tau.brood_id == karst.season.pyri_brood


def test_leaving_the_page_leaves_the_picture(tau: BroodsPage) -> None:
    tau.photos.look()
    tau.hide()
    tau.show()

    assert tau.covered_by is None


@pytest.mark.parametrize("is_open", [False, True])
def test_a_page_that_is_let_go_hides_without_a_fault(
    karst: Karst, *, is_open: bool
) -> None:
    put(karst, "brood", karst.season.tau_brood, 24)
    page = BroodsPage(karst.session, karst.theme)
    page.refresh(None)
    page.open(karst.season.tau_brood)
    page.show()
    if is_open:
        page.photos.open()
    with karst.bot.captureExceptions() as faults:
        del page
        gc.collect()
    assert faults == []


def test_a_missing_file_is_said_and_the_caption_stays(
    karst: Karst, tau: BroodsPage
) -> None:
    for photo in photos_of(karst.book, "brood", karst.season.tau_brood, ON):
        file = find(karst.book.path, photo.named)
        assert file is not None
        file.unlink()
    tau.refresh(None)
    tau.photos.look()

    image = face_of(tau).grab().toImage()
    assert not has_green(image)
    said = karst.session.pictures.large(tau.photos.strip.cells()[0].named, 9, 9)
    assert isinstance(said, str)
    assert "its folder of pictures goes with it" in said


# at the lamp


def test_no_picture_is_shown_in_red_unless_asked(karst: Karst, tau: BroodsPage) -> None:
    karst.theme.set_view(View.RED)
    QApplication.sendPostedEvents()
    assert all(max(g, b) <= 0x14 for _, g, b in colours(strip_image(tau)))

    tau.photos.look()
    face = face_of(tau)
    assert is_kept_dark(face)
    dark = face.grab().toImage()
    press(tau, Key.Key_Return)
    assert not is_kept_dark(face)
    shown = face.grab().toImage()
    assert shown != dark
    assert all(max(g, b) <= 0x14 for _, g, b in colours(shown)), "red light only"
    press(tau, Key.Key_Right)
    assert is_kept_dark(face), "each is asked for anew"


def is_kept_dark(face: PictureFace) -> bool:
    return face.is_kept_dark


def strip_image(page: BroodsPage) -> QImage:
    return page.photos.strip.grab().toImage()


# females and nights


def test_a_female_and_a_night_have_their_photos(karst: Karst) -> None:
    put(karst, "moth", karst.season.tau, 10, "on the sheet")
    put(karst, "lamp_night", karst.season.hollow_night, 11, "the lamp")
    page = karst.open(MothersPage)
    page.show_target("moth", karst.season.tau)

    assert [c.caption for c in page.photos.strip.cells()] == ["on the sheet"]
    assert page.in_hand() == ("moth", karst.season.tau)
    page.look_at_photos()
    assert face_of(page).caption.text() == "on the sheet"
    press(page, Key.Key_Escape)
    page.show_target("lamp_night", karst.season.hollow_night)
    assert page.in_hand() == ("lamp_night", karst.season.hollow_night)
    page.look_at_photos()
    assert face_of(page).caption.text() == "the lamp"


def test_the_strip_is_handed_out_as_a_table(tau: BroodsPage) -> None:
    shown = next(one for one in tau.tables() if one.where is tau.photos.strip)

    assert shown.table.name == "Photos of B21-01"
    assert shown.table.headings[0] == "day"
    first, second = shown.table.rows
    assert first[:5] == (dt.date(2021, 6, 24), "about", None, "", "")
    assert second[3:6] == ("A", "horns lost", 420)
    assert str(second[7]).endswith(".jpg")
