from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from rearing.desk import entries
from rearing.records.book import Book
from rearing.records.rows import (
    CutRow,
    NoteRow,
    PlaceRow,
    SiteRow,
    TreeRow,
)
from tests.desk import entry_book
from tests.desk.entry_desk import Desk, enter, entered, fill

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

Key = Qt.Key


# what stands


def test_the_home_keeps_the_day_its_sample_is_shown_on(desk: Desk) -> None:
    form = desk.open("home")
    fill(form, zone_name="Ljubljana")
    enter(form)
    assert "not a time zone" in form.message("zone_name")
    entered(form, name="Upper house", zone_name="Europe/Rome")
    assert (desk.session.home.name, desk.session.home.zone_name) == (
        "Upper house",
        "Europe/Rome",
    )


def test_a_site_needs_its_degrees(desk: Desk) -> None:
    form = desk.open("site")
    fill(form, name="Quarry rim")
    enter(form)
    assert form.message("latitude")
    entered(form, latitude="45,4", longitude="13.8", elevation_m="310")
    site = desk.book.all(SiteRow)[-1]
    assert (site.latitude, site.longitude, site.zone) == (
        45.4,
        13.8,
        "Europe/Ljubljana",
    )


def test_a_place_is_added_and_changed(desk: Desk) -> None:
    entered(desk.open("place"), name="Cellar", set_point_c="11")
    cellar = desk.book.all(PlaceRow)[-1]
    assert (cellar.set_point_c, cellar.walking_order) == (11, 4)
    form = desk.open("change_place", cellar.id)
    entered(form, name="Deep cellar", set_point_c="")
    changed = desk.book.one(PlaceRow, cellar.id)
    assert (changed.name, changed.set_point_c) == ("Deep cellar", None)
    form = desk.open("change_place", cellar.id)
    fill(form, name="Hall shelf")
    enter(form)
    assert "already" in form.message("name")


def test_trees_are_added_closed_and_cut(desk: Desk) -> None:
    entered(desk.open("tree"), name="Pear by the road", host="pear")
    form = desk.open("close_tree", desk.book.all(TreeRow)[-1].id)
    entered(form, until="20.6.", why="sprayed")
    form = desk.open("cut")
    fill(form, tree="Pear by the road · pear, closed until 20 June", grams="300")
    enter(form)
    assert not form.question.isHidden()
    QTest.keyClick(form.question, Key.Key_Y)
    cut = desk.book.all(CutRow)[-1]
    assert (cut.host, cut.grams) == ("pear", 300)


def test_a_note_stands_beside_its_box(desk: Desk) -> None:
    entered(desk.open("note", "box", desk.ids.box), text="two lie apart")
    note = desk.book.all(NoteRow)[-1]
    assert (note.subject, note.subject_id, note.text) == (
        "box",
        desk.ids.box,
        "two lie apart",
    )


def test_an_empty_book_says_what_to_do_first(
    qtbot: QtBot, theme: Theme, tmp_path: Path
) -> None:
    with Book.make(tmp_path / "new.rearing") as book:
        session = entry_book.session(book)
        for name in ("night", "female", "eggs", "pairing", "open_box", "carry"):
            form = getattr(entries, name)(session, theme)
            qtbot.addWidget(form)
            assert form._caution.text(), name
            form.accept()
        assert session.book.journal() == ()
