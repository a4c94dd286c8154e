"""Photos of the trees on the Leaf page: one strip for all of them."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt

from rearing.desk.pages.leaf_page import LeafPage
from rearing.desk.pages.picture_face import PictureFace
from rearing.keeping import leaf
from rearing.keeping.photos import add_photo
from rearing.records.rows import TreeRow
from tests.desk.karst_pages import press
from tests.records.drawn_pictures import picture

if TYPE_CHECKING:
    from tests.desk.karst_pages import Karst


Key = Qt.Key


@pytest.fixture
def page(karst: Karst) -> LeafPage:
    for name in ("Beech", "Oak 1"):
        leaf.add_tree(karst.book, karst.session.entry(), name=name, host=name)
    for number, tree in enumerate(karst.book.all(TreeRow)):
        add_photo(
            karst.book,
            karst.session.entry(),
            subject="tree",
            subject_id=tree.id,
            source=picture((90 + number, 60)),
            on=dt.date(2021, 6, 20 + number),
            caption="in full leaf",
        )
    return karst.open(LeafPage)


def shown(page: LeafPage) -> bool:
    (section,) = (s for s in page.sheet.sheet.sections() if s.name == "Photos")
    return not section.isHidden()


def test_each_stands_under_its_trees_name(karst: Karst, page: LeafPage) -> None:
    names = [tree.name for tree in karst.book.all(TreeRow)]

    captions = [cell.caption for cell in page.photos.strip.cells()]

    assert captions == [f"{name}: in full leaf" for name in reversed(names)]
    assert shown(page)


def test_what_is_taken_back_goes_from_the_strip(karst: Karst, page: LeafPage) -> None:
    while page.photos.strip.cells():
        before = len(page.photos.strip.cells())
        karst.session.take_back(sure=True)
        assert len(page.photos.strip.cells()) == before - 1

    assert not shown(page)
    karst.session.do_again()
    assert shown(page)


def test_one_is_opened_and_captioned_in_the_page(karst: Karst, page: LeafPage) -> None:
    page.photos.look()
    face = page.covered_by
    assert isinstance(face, PictureFace)
    assert face.header.heading.code == "Trees"
    assert face.caption.text() == "Oak 1: in full leaf"
    press(page, Key.Key_Delete)
    assert face.caption.text() == "Beech: in full leaf"
    assert "no longer beside Oak 1" in karst.last()


def test_a_tree_in_the_hand_is_what_a_photo_stands_beside(
    karst: Karst, page: LeafPage
) -> None:
    karst.bot.waitUntil(lambda: page.view is not None)
    tree = karst.book.all(TreeRow)[-1]
    with karst.bot.waitActive(page):
        page.activateWindow()
    page.show_target("tree", tree.id)

    assert page.in_hand() == ("tree", tree.id)
