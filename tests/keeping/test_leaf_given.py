"""The leaf a brood was given; weights computed by hand from the entries."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.desk.pages.brood_leaf import leaf_words
from rearing.keeping import care
from rearing.keeping.boxes import When
from rearing.keeping.leaf_given import leaf_given
from rearing.records.book import Book
from rearing.terms import Visit
from tests.desk.karst_season import ON, Season, day, entry, write_season

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

Kept = tuple[Book, Season]


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[Kept]:
    with Book.make(tmp_path / "karst.rearing") as book:
        yield book, write_season(book)


def test_weights_of_all_boxes_add_up_by_day_and_host(kept: Kept) -> None:
    book, season = kept
    given = leaf_given(book, (season.box_a, season.box_b), ON)
    assert given.by_host == {"beech": 120}
    assert [(one.on, one.grams) for one in given.days] == [(day(6, 24), 120)]
    assert (given.feedings, given.weighed, given.grams) == (2, 2, 120)


def test_a_feeding_without_a_weight_is_wanting_and_not_nought(kept: Kept) -> None:
    book, season = kept
    care.visit(
        book,
        entry(ON),
        what=Visit.FED,
        when=When(ON),
        box_id=season.box_a,
        leaf=care.Leaf("oak"),
        sure=True,
    )
    given = leaf_given(book, (season.box_a,), ON)
    assert given.by_host == {"beech": 60, "oak": 0}
    assert (given.feedings, given.weighed) == (2, 1)
    assert given.days[-1].unweighed == 1
    assert [one.words for one in given.stretches] == [
        "beech, 24 June, 60 g",
        "oak, 25 June, not weighed",
    ]
    assert leaf_words(given).endswith(
        "In turn: beech, 24 June, 60 g; oak, 25 June, not weighed."
    )


def test_cleaning_gives_no_leaf_and_later_days_are_not_known(kept: Kept) -> None:
    book, season = kept
    care.visit(book, entry(ON), what=Visit.CLEANED, when=When(ON), box_id=season.box_a)
    assert leaf_given(book, (season.box_a,), ON).feedings == 1
    assert leaf_given(book, (season.box_a,), day(6, 23)).days == ()
