"""Two broods in one box: asked once, then a line whose animals are one of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import apart, boxes, care, eggs, lamp, mothers, splitting
from rearing.keeping.apart import apart_now
from rearing.keeping.boxes import Origin
from rearing.keeping.descent import chain, generation_words, generations
from rearing.keeping.fates import INTO_ANOTHER_BROOD, End, fates
from rearing.keeping.holding import holding
from rearing.keeping.housing import Hatch, Into, NewBox, put_on_leaf
from rearing.keeping.mixing import sources_of
from rearing.keeping.round import round_of
from rearing.keeping.season import season
from rearing.keeping.tracing import Shared, trace
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import (
    BoxRow,
    BoxVisitRow,
    BroodRow,
    EggPotRow,
    LayingRow,
    MixedFromRow,
    StayRow,
)
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, Cause, EggFate, Sex, Stage, Visit
from tests.keeping.karst_book import LATER, on, picture, when
from tests.keeping.test_verbs_boxes import move, new_box, number, other_brood

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


@pytest.fixture
def theirs(book: Book, ids: Ids) -> int:
    """Return a box of B21-02 with seven in it."""
    brood_id = other_brood(book, ids)
    pot = next(pot for pot in book.all(EggPotRow) if pot.brood_id == brood_id)
    return put_on_leaf(
        book,
        LATER,
        pot_id=pot.id,
        number=7,
        into=Into(new=NewBox(BoxKind.BOX, ids.shelf, host="ash")),
        when=when(6, 11),
        hatch=Hatch(on(6, 11)),
    ).new_id


def mixed(book: Book, ids: Ids, theirs: int) -> int:
    move(book, Origin(box_id=ids.box), theirs, 4, when(6, 14), sure=True)
    return book.all(BoxRow)[-1].id


def test_mixing_is_asked_about_once(book: Book, ids: Ids, theirs: int) -> None:
    before = picture(book)
    with pytest.raises(AskFirst, match="mixes B21-01 into a box of B21-02") as asked:
        move(book, Origin(box_id=ids.box), theirs, 4, when(6, 14))
    assert asked.value.field == "to_box"
    assert picture(book) == before
    line = mixed(book, ids, theirs)
    move(book, Origin(box_id=ids.box), line, 3, when(6, 15))
    assert number(book, line) == 14


def test_the_box_goes_on_as_a_line_of_its_own(
    book: Book, ids: Ids, theirs: int
) -> None:
    before = picture(book)
    touched = move(book, Origin(box_id=ids.box), theirs, 4, when(6, 14), sure=True)
    assert touched.sentence == (
        "4 L2 from B21-01 A into M21-01 A, Mon 14 June; the two are mixed"
    )
    old, new = book.one(BoxRow, theirs), book.all(BoxRow)[-1]
    assert (old.closed_on, old.closed_why) == (on(6, 14), "into M21-01")
    assert (new.kind, new.host, new.label) == (old.kind, old.host, "A")
    assert number(book, new.id) == 11
    assert number(book, theirs) == 0
    stays = {stay.box_id: stay for stay in book.all(StayRow)}
    assert stays[new.id].place_id == stays[theirs].place_id == ids.shelf
    assert stays[theirs].to_at == stays[new.id].from_at
    book.take_back(LATER)
    assert picture(book) == before


def test_eggs_and_larvae_of_both_still_add_up(
    book: Book, ids: Ids, theirs: int
) -> None:
    line = mixed(book, ids, theirs)
    care.count_box(book, LATER, box_id=line, number=10, when=when(6, 20))
    for brood in book.all(BroodRow):
        told = fates(book, brood, on(7, 1))
        eggs = sum(told.egg_fates.values()) + told.waiting
        assert told.eggs == eggs
        came = sum(one.number for one in told.came)
        assert came == told.all_alive + sum(one.number for one in told.ended)
    (gone,) = (
        one
        for one in fates(book, book.one(BroodRow, ids.brood), on(7, 1)).ended
        if one.why == INTO_ANOTHER_BROOD
    )
    assert (gone.number, gone.end) == (4, End.LEFT)


def test_its_lineage_is_one_of_them(book: Book, ids: Ids, theirs: int) -> None:
    line = book.one(BroodRow, book.one(BoxRow, mixed(book, ids, theirs)).brood_id)
    assert [x.code for x in sources_of(book)[line.id]] == ["B21-01", "B21-02"]
    (link,) = chain(book, line, on(7, 1))
    assert link.words == "one of B21-01, B21-02"
    assert link.beneath.startswith("mixed 14 June; night of ")
    assert generation_words(generations(book, line)) == "1 generation since the wild"


def test_a_moth_of_the_line_leads_back_to_both(
    book: Book, ids: Ids, theirs: int
) -> None:
    line = book.one(BroodRow, book.one(BoxRow, mixed(book, ids, theirs)).brood_id)
    moth_id = mothers.record_emergence(
        book, LATER, brood_id=line.id, sex=Sex.FEMALE, on=on(7, 15)
    ).new_id
    laying = eggs.record_eggs(
        book,
        LATER,
        parents=eggs.Parents(moth_id),
        evening=on(7, 16),
        number=30,
        pot=eggs.Pot(place_id=ids.shelf),
    ).new_id
    brood = book.one(BroodRow, book.one(LayingRow, laying).brood_id)
    words = [link.words for link in chain(book, brood, on(7, 18))]
    assert words == ["one of B21-01, B21-02", "M21-01", "M21-01/♀01"]
    assert generations(book, brood).mother_side == 2


def test_a_third_brood_makes_a_line_of_three(book: Book, ids: Ids, theirs: int) -> None:
    line = mixed(book, ids, theirs)
    third = other_brood(book, ids)
    pot = next(pot for pot in book.all(EggPotRow) if pot.brood_id == third)
    into = Into(box_id=line)
    with pytest.raises(AskFirst, match="into a box of M21-01"):
        put_on_leaf(book, LATER, pot_id=pot.id, number=2, into=into, when=when(6, 16))
    put_on_leaf(
        book, LATER, pot_id=pot.id, number=2, into=into, when=when(6, 16), sure=True
    )
    three = book.all(BoxRow)[-1]
    assert book.one(BroodRow, three.brood_id).code == "M21-02"
    assert len(sources_of(book)[three.brood_id]) == 3
    assert number(book, three.id) == 13


def test_the_same_two_make_no_second_line(book: Book, ids: Ids, theirs: int) -> None:
    line = mixed(book, ids, theirs)
    other = new_box(book, ids)
    move(book, Origin(box_id=ids.box), other, 5, when(6, 14))
    rest = new_box(book, ids, book.one(BoxRow, theirs).brood_id, day=14)
    with pytest.raises(Refusal, match="B21-02 B is empty, so nothing would be mixed"):
        move(book, Origin(box_id=other), rest, 2, when(6, 15), sure=True)
    splitting.join_boxes(
        book, LATER, box_id=other, to_box_id=line, when=when(6, 16), sure=True
    )
    assert len(book.all(MixedFromRow)) == 2
    assert number(book, line) == 16


def test_two_species_are_not_mixed(book: Book, ids: Ids, theirs: int) -> None:
    moth = book.one(BroodRow, book.one(BoxRow, theirs).brood_id).mother_id
    lamp.redetermine_moth(
        book,
        LATER,
        moth_id=moth or 0,
        call=lamp.Call("Saturnia pavoniella", Sex.FEMALE),
        on=on(6, 12),
    )
    with pytest.raises(Refusal, match="told apart by looking"):
        move(book, Origin(box_id=ids.box), theirs, 4, when(6, 14), sure=True)


def test_the_line_has_its_round_and_its_windows(
    book: Book, ids: Ids, theirs: int
) -> None:
    line = mixed(book, ids, theirs)
    shelf = load_all()
    lines = round_of(book, shelf, on(6, 15)).lines
    codes = {x.id: x.code for x in lines if x.kind == "box"}
    assert codes[line] == "M21-01 A"
    assert theirs not in codes
    told = season(book, shelf, on(6, 15))
    brood_id = book.one(BoxRow, line).brood_id
    assert any(one.windows for one in told if one.brood_id == brood_id)
    assert holding(book, on(6, 15)).taxon(book.one(BroodRow, brood_id)) == (
        "Saturnia pyri"
    )


def test_mixing_ends_no_quarantine(book: Book, ids: Ids, theirs: int) -> None:
    lost = care.Lost(1, Cause.VIRUS, Stage.L1)
    care.lose(book, LATER, box_id=theirs, lost=lost, when=when(6, 13))
    line = mixed(book, ids, theirs)
    kept = {one.box_id: one.until for one in apart_now(book, load_all(), on(6, 15))}
    assert kept == {line: on(6, 27)}
    # what was taken out long before is not suspected
    boxes.close_box(book, LATER, box_id=line, when=when(6, 20))
    assert not apart_now(book, load_all(), on(6, 21))


def test_what_was_entered_later_goes_on_in_the_line(
    book: Book, ids: Ids, theirs: int
) -> None:
    """Fed, counted and looked at on the 16th; only then the mixing of the 14th."""
    care.count_box(book, LATER, box_id=theirs, number=11, when=when(6, 16))
    care.visit(book, LATER, what=Visit.FED, when=when(6, 16), box_id=theirs)
    seen = {Stage.L2: care.Seen(11)}
    care.look_at_stages(book, LATER, box_id=theirs, seen=seen, when=when(6, 16))
    care.count_box(book, LATER, box_id=theirs, number=7, when=when(6, 13))
    before = picture(book)
    line = mixed(book, ids, theirs)
    held = {box.row.id: box for box in holding(book, on(6, 20), all_ever=True).boxes}
    # the eleven that were four too many by the book are explained now
    assert (held[line].standing.number, held[line].standing.unaccounted) == (11, 0)
    assert (held[theirs].standing.number, held[theirs].standing.unaccounted) == (0, 0)
    assert held[line].last_look is not None
    assert [v.box_id for v in book.all(BoxVisitRow) if v.on == on(6, 16)] == [line]
    book.take_back(LATER)
    assert picture(book) == before


def test_what_a_later_count_leaves_unaccounted_is_said(
    book: Book, ids: Ids, theirs: int
) -> None:
    care.count_box(book, LATER, box_id=theirs, number=7, when=when(6, 16))
    with pytest.raises(AskFirst, match="the count of 7 on Wed 16 June leaves 4 unacc"):
        move(book, Origin(box_id=ids.box), theirs, 4, when(6, 14))


def test_what_went_on_as_of_one_brood_stands_in_the_way(
    book: Book, ids: Ids, theirs: int
) -> None:
    rest = new_box(book, ids, book.one(BoxRow, theirs).brood_id, day=14)
    move(book, Origin(box_id=theirs), rest, 2, when(6, 16))
    with pytest.raises(Refusal) as refused:
        move(book, Origin(box_id=ids.box), theirs, 4, when(6, 14), sure=True)
    assert refused.value.field == "on"
    assert refused.value.sentence.startswith(
        "On Wed 16 June 2 went from B21-02 A into B21-02 B, as of B21-02 alone. "
        "Enter the mixing as of that day or later"
    )
    move(book, Origin(box_id=ids.box), theirs, 4, when(6, 16), sure=True)


def test_a_line_begins_with_its_earliest_mixing(
    book: Book, ids: Ids, theirs: int
) -> None:
    other = new_box(book, ids)
    move(book, Origin(box_id=ids.box), other, 5, when(6, 12))
    mixed(book, ids, theirs)
    rest = new_box(book, ids, book.one(BoxRow, theirs).brood_id, day=12)
    care.count_box(book, LATER, box_id=rest, number=3, when=when(6, 12))
    move(book, Origin(box_id=other), rest, 2, when(6, 13), sure=True)
    codes = {box.code: box for box in holding(book, on(6, 13)).boxes}
    assert codes["M21-01 B"].standing.number == 5
    assert {row.on for row in book.all(MixedFromRow)} == {on(6, 13)}


def test_a_box_counted_and_mixed_on_one_day_is_empty_then(
    book: Book, ids: Ids, theirs: int
) -> None:
    care.count_box(book, LATER, box_id=theirs, number=6, when=when(6, 14))
    line = mixed(book, ids, theirs)
    assert (number(book, theirs), number(book, line)) == (0, 10)


def test_a_box_the_keeper_set_apart_stays_so(book: Book, ids: Ids, theirs: int) -> None:
    apart.set_apart(book, LATER, box_id=theirs, since=on(6, 12), why="from elsewhere")
    line = mixed(book, ids, theirs)
    kept = {one.box_id: one.words for one in apart_now(book, load_all(), on(6, 15))}
    assert list(kept) == [line]
    assert kept[line].startswith("From elsewhere")


def test_nothing_is_put_or_counted_into_a_box_that_went_on(
    book: Book, ids: Ids, theirs: int
) -> None:
    mixed(book, ids, theirs)
    pot = next(pot for pot in book.all(EggPotRow) if pot.brood_id != ids.brood)
    eggs.record_fate(
        book, LATER, pot_id=pot.id, fate=EggFate.HATCHED, number=2, on=on(6, 12)
    )
    with pytest.raises(Refusal, match="2 would be left behind in it"):
        move(book, Origin(pot_id=pot.id), theirs, 2, when(6, 12))
    with pytest.raises(Refusal, match="comes before its closing"):
        move(book, Origin(pot_id=pot.id), theirs, 2, when(6, 14))
    with pytest.raises(Refusal, match="2 would be left behind in it"):
        care.count_box(book, LATER, box_id=theirs, number=9, when=when(6, 12))


def test_a_mixed_line_is_tied_to_the_mothers_it_may_have(
    book: Book, ids: Ids, theirs: int
) -> None:
    rest = new_box(book, ids, book.one(BoxRow, theirs).brood_id, day=14)
    line = mixed(book, ids, theirs)
    third = new_box(book, ids, other_brood(book, ids), day=14)

    def mother(box_id: int, near_id: int) -> list[str]:
        # long after anything was moved
        told = trace(book, load_all(), book.one(BoxRow, box_id), on(7, 18), days=7)
        near = [one for one in told.neighbours if one.box_id == near_id]
        ties = near[0].ties if near else ()
        return [tie.words for tie in ties if tie.shared is Shared.MOTHER]

    words = "may have the same mother: M21-01 is one of B21-01, B21-02"
    assert mother(rest, line) == mother(line, ids.box) == [words]
    assert mother(line, third) == mother(rest, ids.box) == []


def test_a_virus_death_is_watched_for_in_the_line_it_may_be_of(
    book: Book, ids: Ids, theirs: int
) -> None:
    """The line stands in another room, and was mixed days before."""
    rest = new_box(book, ids, book.one(BoxRow, theirs).brood_id, day=12)
    pot = next(pot for pot in book.all(EggPotRow) if pot.brood_id != ids.brood)
    put_on_leaf(
        book,
        LATER,
        pot_id=pot.id,
        number=2,
        into=Into(box_id=rest),
        when=when(6, 12),
    )
    line = mixed(book, ids, theirs)
    lost = care.Lost(1, Cause.VIRUS, Stage.L2)
    care.lose(book, LATER, box_id=rest, lost=lost, when=when(6, 25))
    lines = round_of(book, load_all(), on(6, 26), everything=True).lines
    told = next(x for x in lines if x.kind == "box" and x.id == line)
    assert "Virus in B21-02 B 25 June: look for limp ones" in str(told)
