"""Who shared what with a sick box, and how long it is kept apart."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care, leaf, places
from rearing.keeping.care import Leaf, Lost
from rearing.keeping.tracing import Shared, box_named, kept_apart, trace
from rearing.problems import Refusal
from rearing.records.book import Book
from rearing.records.rows import BoxRow
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, Cause, Visit
from tests.keeping.karst_book import LATER, at, on, when

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator

    from rearing.keeping.tracing import Neighbour
    from tests.keeping.karst_book import Ids

SHELF = load_all()


@dataclass(frozen=True, slots=True)
class Ward:
    """A book with a sick box A, and B to D that shared something with it."""

    book: Book
    sick: BoxRow

    def neighbours(self, day: dt.date, days: int = 14) -> dict[str, Neighbour]:
        found = trace(self.book, SHELF, self.sick, day, days=days)
        return {one.code.partition(" ")[2]: one for one in found.neighbours}


@pytest.fixture
def ward(filled: tuple[Path, Ids], tmp_path: Path) -> Iterator[Ward]:
    path, ids = filled
    with Book.open(Path(shutil.copy(path, tmp_path))) as book:
        porch = places.add_place(book, LATER, name="Porch").new_id
        made = [
            boxes.open_box(
                *(book, LATER),
                brood_id=ids.brood,
                kind=BoxKind.BOX,
                place_id=place,
                when=when(6, 12),
            ).new_id
            for place in (ids.hall, porch, porch)
        ]
        cut = leaf.cut_leaf(book, LATER, host="ash", on=on(6, 13), grams=90).new_id
        for box, minute in ((made[0], 0), (ids.box, 10), (made[1], 20)):
            care.visit(
                *(book, LATER),
                what=Visit.FED,
                when=boxes.When(on(6, 14), at(6, 14, 20, minute)),
                box_id=box,
                leaf=Leaf("ash", cut_id=cut if box != made[0] else None),
            )
        care.lose(
            *(book, LATER),
            box_id=ids.box,
            lost=Lost(1, Cause.VIRUS),
            when=when(6, 20),
        )
        yield Ward(book, book.one(BoxRow, ids.box))


def told(one: Neighbour) -> dict[Shared, str]:
    return {tie.shared: tie.words for tie in one.ties}


def test_each_kind_of_tie_is_told_the_gravest_first(ward: Ward) -> None:
    found = ward.neighbours(on(6, 20))

    assert list(found) == ["C", "B", "D"]
    assert [tie.shared for tie in found["C"].ties] == [
        *(Shared.CUT, Shared.MOTHER, Shared.LEAF, Shared.TOOLS),
    ]
    assert told(found["B"])[Shared.SHELF] == "both on Hall shelf to 20 June"
    assert told(found["D"]) == {Shared.MOTHER: "both of B21-01"}


def test_who_was_handled_before_it_shared_the_day_and_not_its_tools(
    ward: Ward,
) -> None:
    found = ward.neighbours(on(6, 20))

    assert told(found["C"])[Shared.TOOLS] == "handled after it on 1 day"
    assert Shared.TOOLS not in told(found["B"])
    assert told(found["B"])[Shared.DAY] == "handled on the same 1 day"


def test_leaf_of_the_same_day_is_not_yet_the_same_branch(ward: Ward) -> None:
    found = ward.neighbours(on(6, 20))

    assert told(found["B"])[Shared.LEAF] == "ash of the same 1 day"
    assert Shared.CUT not in told(found["B"])
    assert told(found["C"])[Shared.CUT] == "leaf of 1 same cut of ash"


def test_only_the_days_asked_for_count(ward: Ward) -> None:
    assert Shared.CUT in told(ward.neighbours(on(6, 27), days=14)["C"])
    # 14 June is the fourteenth day back, counted with the day itself
    assert Shared.CUT not in told(ward.neighbours(on(6, 28), days=14)["C"])
    assert Shared.SHELF in told(ward.neighbours(on(6, 28), days=1)["B"])


def test_animals_that_went_over_are_the_gravest_tie(ward: Ward) -> None:
    other = box_named(ward.book, "b21-01 d", on(6, 20))
    boxes.move_animals(
        *(ward.book, LATER),
        origin=boxes.Origin(box_id=ward.sick.id),
        to_box_id=other.id,
        number=5,
        when=when(6, 18),
    )
    found = ward.neighbours(on(6, 20))

    assert next(iter(found)) == "D"
    assert found["D"].gravest is Shared.ANIMALS
    assert told(found["D"])[Shared.ANIMALS] == "5 went there 18 June"
    back = trace(ward.book, SHELF, other, on(6, 20))
    assert back.neighbours[0].ties[0].words == "5 came from there 18 June"


def test_quarantine_ends_14_days_after_the_last_death_and_moves(ward: Ward) -> None:
    """14 days: common practice, no source."""
    (apart,) = kept_apart(ward.book, SHELF, on(6, 20))
    assert (apart.died_on, apart.until) == (on(6, 20), on(7, 4))
    care.lose(
        *(ward.book, LATER),
        box_id=ward.sick.id,
        lost=Lost(2, Cause.VIRUS),
        when=when(6, 30),
    )
    (later,) = kept_apart(ward.book, SHELF, on(7, 1))
    assert later.until == on(7, 14)
    # as on the day before that death it ended earlier
    assert kept_apart(ward.book, SHELF, on(6, 29))[0].until == on(7, 4)
    assert trace(ward.book, SHELF, ward.sick, on(7, 1)).apart == later
    assert kept_apart(ward.book, SHELF, on(7, 14)) == (later,)
    assert kept_apart(ward.book, SHELF, on(7, 15)) == ()


def test_a_cause_that_is_not_catching_keeps_nobody_apart(ward: Ward) -> None:
    other = box_named(ward.book, "B21-01 B", on(6, 20))
    boxes.move_animals(
        *(ward.book, LATER),
        origin=boxes.Origin(box_id=ward.sick.id),
        to_box_id=other.id,
        number=3,
        when=when(6, 16),
    )
    lost = Lost(1, Cause.DROWNED)
    care.lose(*(ward.book, LATER), box_id=other.id, lost=lost, when=when(6, 20))
    assert [x.box_id for x in kept_apart(ward.book, SHELF, on(6, 20))] == [ward.sick.id]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("B99-01 A", "There is no brood “B99-01”"),
        ("B21-01 Z", "B21-01 has no box “Z”"),
        ("B21-01", "B21-01 has no box “”"),
    ],
)
def test_a_name_on_no_label_is_refused(ward: Ward, name: str, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        box_named(ward.book, name, on(6, 20))


def test_at_least_one_day_is_looked_back(ward: Ward) -> None:
    with pytest.raises(Refusal, match="at least one day"):
        trace(ward.book, SHELF, ward.sick, on(6, 20), days=0)
