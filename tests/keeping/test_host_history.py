"""What was eaten, host by host, and the question before another host after L2.

That some larvae past L2 refuse a new plant to death, and that a better plant in the
last instar can help: the handbook's 4.2 after studies of host switching. Days and
grams are invented.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care, leaf
from rearing.keeping.host_history import host_stretches
from rearing.keeping.hosts import Kin, same_by_name
from rearing.keeping.housing import NewBox, move_into_new
from rearing.keeping.larder import CutNow, cuts_now, keeps_days, lying, lying_g
from rearing.keeping.splitting import join_boxes
from rearing.problems import AskFirst
from rearing.records import tables as t
from rearing.records.rows import BoxVisitRow
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, Stage, Visit
from tests.keeping.karst_book import LATER, on, picture, when
from tests.keeping.test_verbs_boxes import new_box

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids

KIN = Kin(load_all())


def feed(
    book: Book,
    ids: Ids,
    day: int,
    host: str,
    grams: float | None = None,
    *,
    cut_id: int | None = None,
    sure: bool = False,
) -> None:
    care.visit(
        *(book, LATER),
        what=Visit.FED,
        when=when(6, day),
        box_id=ids.box,
        leaf=care.Leaf(host, grams, cut_id),
        same_host=KIN,
        sure=sure,
    )


def look(book: Book, ids: Ids, day: int, stage: Stage) -> None:
    seen = {stage: care.Seen(30)}
    care.look_at_stages(book, LATER, box_id=ids.box, seen=seen, when=when(6, day))


def test_a_new_host_after_l2_is_asked_about_and_taken_after_a_yes(
    book: Book, ids: Ids
) -> None:
    feed(book, ids, 12, "blackthorn")
    look(book, ids, 20, Stage.L3)
    with pytest.raises(AskFirst) as asked:
        feed(book, ids, 21, "ash")
    assert asked.value.field == "host"
    assert asked.value.sentence.startswith(
        "These have eaten blackthorn since 12 June and are L3 already. Some refuse"
    )
    assert asked.value.sentence.endswith("Give ash all the same?")
    feed(book, ids, 21, "ash", sure=True)
    # from then on ash is what they eat
    feed(book, ids, 22, "ash")
    with pytest.raises(AskFirst, match="eaten ash since 21 June"):
        feed(book, ids, 23, "blackthorn")


def test_up_to_l2_a_new_host_is_no_question(book: Book, ids: Ids) -> None:
    feed(book, ids, 12, "blackthorn")
    look(book, ids, 15, Stage.L2)
    feed(book, ids, 16, "ash")
    assert len(book.all(BoxVisitRow, t.BoxVisit.host == "ash")) == 1


def test_another_species_of_the_genus_is_no_change(book: Book, ids: Ids) -> None:
    feed(book, ids, 12, "downy oak")
    look(book, ids, 20, Stage.L4)
    for host in ("sessile oak", "oak"):
        feed(book, ids, 21, host)
    assert KIN.genus("wild cherry") == "Prunus"
    assert KIN("blackthorn", "wild cherry")
    assert not KIN("blackthorn", "ash")
    assert not same_by_name("blackthorn", "wild cherry")


def test_without_a_look_time_tells(book: Book, ids: Ids) -> None:
    """Put on leaf on 11 June; ten days on they are taken to be past L2."""
    feed(book, ids, 12, "blackthorn")
    feed(book, ids, 20, "ash")
    with pytest.raises(AskFirst, match="probably past L2, 11 days on"):
        feed(book, ids, 22, "birch")


def test_hosts_one_after_the_other_with_their_grams(book: Book, ids: Ids) -> None:
    feed(book, ids, 12, "blackthorn", 40)
    feed(book, ids, 14, "blackthorn")
    feed(book, ids, 16, "ash", 700)
    feed(book, ids, 18, "ash", 500)
    visits = book.all(BoxVisitRow, order=(t.BoxVisit.on,))
    assert [one.words for one in host_stretches(visits)] == [
        "blackthorn, 12 to 14 June, 40 g at 1 of 2 feedings",
        "ash, 16 to 18 June, 1.20 kg",
    ]


# what lies cut


def only(book: Book, day: int) -> CutNow:
    (one,) = cuts_now(book, on(6, day))
    return one


def test_what_is_left_of_a_cut_and_until_when_it_keeps(book: Book, ids: Ids) -> None:
    """A fridge bag about a week: Food and water, shamrockgardens.org."""
    cut = leaf.cut_leaf(
        *(book, LATER),
        host="ash",
        on=on(6, 12),
        grams=900,
        storage="fridge bag",
    ).new_id
    feed(book, ids, 13, "ash", 250, cut_id=cut)
    feed(book, ids, 14, "ash", 150)
    one = only(book, 14)
    assert one.left_g == 500
    assert one.left_words == "500 g left by the book"
    assert one.age_words == "2 days old, keeps to 19 June"
    feed(book, ids, 15, "ash", None, cut_id=cut)
    assert only(book, 15).left_words == "500 g at most, 1 feeding not weighed"
    late = only(book, 20)
    assert late.is_old
    assert late.age_words == "8 days old, too long kept"
    assert lying_g([late], "ash") is None
    leaf.throw_away(book, LATER, cut_id=cut, on=on(6, 20))
    assert only(book, 20).left_words == "gone 20 June"
    assert cuts_now(book, on(6, 23)) == ()
    assert only(book, 14).left_g == 500


def test_feedings_that_name_no_cut_come_from_the_oldest(book: Book, ids: Ids) -> None:
    for day, grams in ((12, 100), (13, 300)):
        leaf.cut_leaf(book, LATER, host="ash", on=on(6, day), grams=grams)
    feed(book, ids, 13, "ash", 150)
    newer, older = cuts_now(book, on(6, 13))
    assert (older.left_g, newer.left_g) == (0, 250)
    assert lying_g((newer, older), "ash") == 250
    assert lying((newer, older)) == {"ash": (250, 0)}


def test_a_cut_nobody_weighed_stays_unknown(book: Book, ids: Ids) -> None:
    leaf.cut_leaf(book, LATER, host="ash", on=on(6, 12))
    feed(book, ids, 13, "ash", 80)
    one = only(book, 13)
    assert one.left_g is None
    assert one.left_words == "not weighed"
    assert lying([one]) == {"ash": (0, 1)}


def test_how_it_is_stored_says_how_long_it_keeps() -> None:
    """5 in the drawer, 3 for a branch: Keeping leaves fresh, chiisananegai.com."""
    assert keeps_days("box in the vegetable drawer") == 5
    assert keeps_days("bagged branch") == 3
    assert keeps_days("Fridge") == 7
    assert keeps_days(None) == 5
    assert keeps_days("freezer") is None


def test_moving_to_another_host_is_asked_about_too(book: Book, ids: Ids) -> None:
    """In a box that stands, a new one, a sleeve's tree, and where all are joined."""
    feed(book, ids, 12, "hawthorn")
    look(book, ids, 20, Stage.L4)
    other = new_box(book, ids)
    care.visit(
        *(book, LATER),
        what=Visit.FED,
        when=when(6, 19),
        box_id=other,
        leaf=care.Leaf("walnut"),
    )
    tree = leaf.add_tree(book, LATER, name="Walnut", host="walnut").new_id
    before = picture(book)
    sleeve = NewBox(BoxKind.SLEEVE, ids.shelf, tree_id=tree)
    words = "eaten hawthorn since .* L4 already.*Give walnut all the same"
    with pytest.raises(AskFirst, match=words) as asked:
        boxes.move_animals(
            *(book, LATER),
            origin=boxes.Origin(box_id=ids.box),
            to_box_id=other,
            number=4,
            when=when(6, 21),
        )
    assert asked.value.field == "to_box"
    with pytest.raises(AskFirst, match=words) as asked:
        move_into_new(
            book, LATER, box_id=ids.box, number=4, into=sleeve, when=when(6, 21)
        )
    assert asked.value.field == "tree"
    with pytest.raises(AskFirst, match=words):
        join_boxes(book, LATER, box_id=ids.box, to_box_id=other, when=when(6, 21))
    assert picture(book) == before
    join_boxes(
        book, LATER, box_id=ids.box, to_box_id=other, when=when(6, 21), sure=True
    )


def test_moving_on_the_same_host_small_or_to_a_tub_is_no_question(
    book: Book, ids: Ids
) -> None:
    feed(book, ids, 12, "hawthorn")
    look(book, ids, 20, Stage.L4)
    for new, stage in (
        (NewBox(BoxKind.BOX, ids.shelf, host="hawthorn"), Stage.L4),
        (NewBox(BoxKind.BOX, ids.shelf), Stage.L4),
        (NewBox(BoxKind.TUB, ids.shelf, host="walnut"), Stage.L5),
        (NewBox(BoxKind.BOX, ids.shelf, host="walnut"), Stage.L2),
    ):
        move_into_new(
            *(book, LATER),
            box_id=ids.box,
            number=4,
            into=new,
            when=when(6, 21),
            stage=stage,
        )
