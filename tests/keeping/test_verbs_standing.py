from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import facts, leaf, notes, places
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import CutRow, PlaceRow, TreeRow
from tests.keeping.karst_book import LATER, on

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


def test_a_place_comes_last_in_the_round_unless_told(book: Book) -> None:
    touched = places.add_place(book, LATER, name=" Cellar ", set_point_c=11)
    assert touched.sentence == "Added the place Cellar"
    assert places.places(book)[-1].name == "Cellar"
    places.add_place(book, LATER, name="Door", walking_order=0)
    assert places.places(book)[0].name == "Door"


def test_a_place_has_a_name_of_its_own_and_a_warmth_for_stock(
    book: Book, ids: Ids
) -> None:
    for name, warm, field in (
        (" ", None, "name"),
        ("Hall shelf", None, "name"),
        ("Attic", 68.0, "set_point_c"),
    ):
        with pytest.raises(Refusal) as refused:
            places.add_place(book, LATER, name=name, set_point_c=warm)
        assert refused.value.field == field
        with pytest.raises(Refusal) as refused:
            places.change_place(
                book, LATER, place_id=ids.shelf, name=name, set_point_c=warm
            )
        assert refused.value.field == field


def test_a_place_changes_and_keeps_the_rest(book: Book, ids: Ids) -> None:
    touched = places.change_place(book, LATER, place_id=ids.shelf, set_point_c=21.5)
    assert touched.sentence == "Changed the place Kitchen shelf"
    changed = book.one(PlaceRow, ids.shelf)
    assert (changed.name, changed.set_point_c) == ("Kitchen shelf", 21.5)


def test_the_home_is_set_again_without_doubling(book: Book) -> None:
    facts.set_home(
        book,
        LATER,
        name="Hiša na robu",
        zone_name="Europe/Rome",
        keeper="N. K.",
        as_on=on(6, 12),
    )
    home = facts.home(book)
    assert (home.name, home.zone_name, home.keeper, home.as_on) == (
        "Hiša na robu",
        "Europe/Rome",
        "N. K.",
        on(6, 12),
    )
    with pytest.raises(Refusal):
        facts.set_home(book, LATER, name="x", zone_name="Nowhere/At all")


def tree(book: Book) -> int:
    touched = leaf.add_tree(book, LATER, name="By the well", host="blackthorn")
    assert touched.sentence == "Added the tree By the well, blackthorn"
    return touched.new_id


def test_trees_have_a_name_and_a_kind(book: Book) -> None:
    tree(book)
    for name, host in (("", "pear"), ("New", " "), ("By the well", "pear")):
        with pytest.raises(Refusal) as refused:
            leaf.add_tree(book, LATER, name=name, host=host)
        assert refused.value.field == "name"


def test_a_closed_tree_is_asked_about_until_its_day(book: Book) -> None:
    tree_id = tree(book)
    touched = leaf.close_tree(
        book, LATER, tree_id=tree_id, since=on(6, 10), until=on(6, 20), why="sprayed"
    )
    assert touched.sentence == "By the well closed until Sun 20 June: sprayed"
    for day in (on(6, 10), on(6, 19)):
        with pytest.raises(AskFirst, match="sprayed") as asked:
            leaf.cut_leaf(book, LATER, host="blackthorn", on=day, tree_id=tree_id)
        assert asked.value.field == "tree"
    for day in (on(6, 9), on(6, 20)):
        leaf.cut_leaf(book, LATER, host="blackthorn", on=day, tree_id=tree_id)
    assert len(book.all(CutRow)) == 2
    with pytest.raises(Refusal) as refused:
        leaf.close_tree(
            book, LATER, tree_id=tree_id, since=on(6, 20), until=on(6, 20), why="x"
        )
    assert refused.value.field == "until"
    assert book.one(TreeRow, tree_id).closed_until == on(6, 20)


def test_a_cut_is_of_some_leaf(book: Book) -> None:
    touched = leaf.cut_leaf(book, LATER, host="pear", on=on(6, 13), grams=300)
    assert touched.sentence == "Cut pear 300 g"
    for host, grams, field in (("pear", 0.0, "grams"), (" ", 5.0, "host")):
        with pytest.raises(Refusal) as refused:
            leaf.cut_leaf(book, LATER, host=host, on=on(6, 13), grams=grams)
        assert refused.value.field == field


def test_notes_are_read_back_up_to_a_day(book: Book, ids: Ids) -> None:
    touched = notes.add_note(
        book,
        LATER,
        subject="box",
        subject_id=ids.box,
        text=" two lie apart ",
        on=on(6, 13),
    )
    assert touched.sentence == "Note: two lie apart"
    assert ("box", ids.box) in touched.subjects
    assert [x.text for x in notes.notes_of(book, "box", ids.box, on(6, 13))] == [
        "two lie apart"
    ]
    assert notes.notes_of(book, "box", ids.box, on(6, 12)) == ()
    with pytest.raises(Refusal):
        notes.add_note(
            book, LATER, subject="box", subject_id=ids.box, text=" ", on=on(6, 13)
        )
    with pytest.raises(ValueError, match="window"):
        notes.add_note(
            book, LATER, subject="window", subject_id=1, text="x", on=on(6, 13)
        )
