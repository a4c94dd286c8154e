"""The list of females and one female's page, as on a day (invented season)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import mothers as verbs
from rearing.keeping.females import mother, mother_lines, mothers
from rearing.records.book import Book
from rearing.sheets.shelf import load_all
from rearing.terms import Sex, Sire
from tests.desk.karst_season import ON, Season, day, entry, write_season

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

Kept = tuple[Book, Season]
SHELF = load_all()


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[Kept]:
    with Book.make(tmp_path / "karst.rearing") as book:
        yield book, write_season(book)


def test_lines_agree_with_the_pages(kept: Kept) -> None:
    book, _ = kept
    lines, pages = mother_lines(book, SHELF, ON), mothers(book, SHELF, ON)
    assert [line.id for line in lines] == [page.row.id for page in pages]
    for line, page in zip(lines, pages, strict=True):
        assert (line.eggs, line.sign, line.taxon) == (page.eggs, page.sign, page.taxon)
        assert line.is_here == page.is_here


def test_the_hatch_share_leaves_out_the_eggs_that_wait(kept: Kept) -> None:
    book, season = kept
    pyri = mother(book, SHELF, season.pyri, ON)
    assert (pyri.eggs, pyri.hatched, pyri.waiting) == (153, 35, 112)
    share = pyri.hatch_share
    assert share is not None
    assert share.share == pytest.approx(35 / 41)


def test_before_anything_hatched_there_is_no_share(kept: Kept) -> None:
    book, season = kept
    assert mother(book, SHELF, season.pyri, day(6, 5)).hatch_share is None


def test_a_pot_closed_later_stands_at_its_place_before(kept: Kept) -> None:
    book, season = kept
    line = mother(book, SHELF, season.tau, day(5, 20)).pots[0]
    assert line.pot.row.closed_on is None
    assert line.place == "Hall shelf"
    assert line.window is not None


def test_a_known_sire_is_named_by_his_code(kept: Kept) -> None:
    book, season = kept
    sire = verbs.record_emergence(
        book, entry(ON), brood_id=season.pyri_brood, sex=Sex.MALE, on=ON
    ).new_id
    verbs.record_pairing(
        book,
        entry(ON),
        dam_id=season.bagged,
        mate=verbs.Mate(Sire.KNOWN, sire),
        evening=ON,
    )
    assert mother(book, SHELF, season.bagged, ON).mates[sire].startswith("B21-02/♂")


def test_where_she_went_is_on_her_page_and_not_in_the_list(kept: Kept) -> None:
    book, season = kept
    line = next(x for x in mother_lines(book, SHELF, ON) if x.id == season.pyri)
    assert line.state == "released, Tue 1 June"
    assert mother(book, SHELF, season.pyri, ON).state == (
        "released at Terrace, Tue 1 June"
    )
