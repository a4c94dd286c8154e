"""What was counted sharpens the windows; the sample's story is its own invention."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import season as seasons
from rearing.keeping.holding import holding, standing_only
from rearing.keeping.sightings import sighted_boxes, sighted_pots
from rearing.keeping.way_back import WaysBack, places_of
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.rows import BroodRow
from rearing.science.seen import Passed, StageCount
from rearing.sheets.shelf import load_all
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from rearing.keeping.holding import Holding
    from rearing.keeping.sightings import Sighted

DAY = dt.timedelta(days=1)


@pytest.fixture(scope="module")
def book(built_copy: Path) -> Iterator[Book]:
    with Book.open(built_copy) as opened:
        yield opened


def held_on(book: Book, on: dt.date) -> Holding:
    return standing_only(holding(book, on, all_ever=True))


def sighted(book: Book, code: str, on: dt.date, *labels: str) -> Sighted | None:
    held = held_on(book, on)
    boxes = [b for b in held.boxes if b.brood.code == code and b.row.label in labels]
    assert len(boxes) == len(labels)
    sheet = load_all().sheet_for(held.taxon(boxes[0].brood))
    return sighted_boxes(boxes, WaysBack(held.ever_boxes), sheet, held.home.zone)


def forecast(book: Book, code: str, on: dt.date, group: str) -> seasons.Forecast:
    brood = book.find(BroodRow, t.Brood.code == code)
    assert brood is not None
    found = seasons.season(book, load_all(), on, brood_id=brood.id)
    return next(one for one in found if one.group.startswith(group))


def test_cages_begin_at_the_hatch_of_the_boxes_they_were_filled_from(
    book: Book,
) -> None:
    """Story 4: cage 1 was filled from box A, hatched on 27 and 28 April."""
    found = sighted(book, "B20-03", dt.date(2021, 6, 12), "cage 1")
    assert found is not None
    days = [dt.datetime.fromtimestamp(s.at_s, dt.UTC).date() for s in found.starts]
    assert days == [dt.date(2021, 4, 27), dt.date(2021, 4, 28)]
    assert {start.stage for start in found.starts} == {Stage.L1}
    assert sum(start.number for start in found.starts) == found.number == 15


def test_two_looks_of_one_day_count_once(book: Book) -> None:
    """Story 4: on 30 May cage 1 was looked at before and after some were given."""
    found = sighted(book, "B20-03", dt.date(2021, 6, 12), "cage 1")
    assert found is not None
    looks = [one for one in found.seen if isinstance(one, StageCount)]
    assert [dict(look.counts) for look in looks] == [
        {"L1": 4, "L2": 19},
        {"L2": 2, "L3": 19},
        {"L3": 2, "L4": 10, "L5": 3},
        {"L4": 2, "L5": 13},
        {"L5": 15},
    ]
    assert found.words == "Sharpened by 5 looks, the last 11 June"


def test_wanderers_in_tubs_are_evidence_for_those_still_in_the_cage(
    book: Book,
) -> None:
    """B21-01: 26 had gone down from cage 1 by 3 June, 4 followed on 5 June."""
    found = sighted(book, "B21-01", dt.date(2021, 6, 4), "cage 1")
    assert found is not None
    passed = [one for one in found.seen if isinstance(one, Passed)]
    assert [one.number for one in passed] == [4, 7, 9, 6]
    assert {(one.event, one.of) for one in passed} == {("wander", 30)}
    assert (found.number, found.left_at) == (4, "wander")
    told = forecast(book, "B21-01", dt.date(2021, 6, 4), "cage 1, cage 2")
    wander = told.window("wander")
    assert wander is not None
    assert wander.first is not None
    # 15 of cage 2's, 4 of its own; 42 of both are in tubs.
    assert (told.number, wander.number) == (19, 19)
    assert "and 42 gone down, the last 4 June" in told.sharpened_by
    # Those left had not gone down by the evening before.
    assert wander.first.low.date() >= dt.date(2021, 6, 3)


def test_a_look_after_larvae_were_taken_out_is_of_others(book: Book) -> None:
    """B21-04: sleeve S1 was filled from a box that was looked at later without it."""
    found = sighted(book, "B21-04", dt.date(2021, 6, 12), "S1")
    assert found is not None
    assert found.words.endswith("the last 3 June")


def test_larvae_of_unknown_hatch_begin_at_the_last_look(book: Book) -> None:
    """Pupae that were sorted by weight have no single way back (B20-02)."""
    assert sighted(book, "B20-02", dt.date(2021, 4, 20), "heavy") is None


def test_the_way_back_joins_the_places_in_their_order(book: Book) -> None:
    held = held_on(book, dt.date(2021, 6, 12))
    box = next(
        b for b in held.boxes if b.brood.code == "B20-03" and b.row.label == "cage 2"
    )
    way = WaysBack(held.ever_boxes).of(box)
    assert way is not None
    names = [held.places[place].name for place in places_of(way.stays)]
    assert names == ["Kitchen shelf", "North shed"]


def test_pots_are_conditioned_only_once_they_hatch(book: Book) -> None:
    """B21-07 began to hatch on 13 June: before, its window must be able to close."""
    zone = held_on(book, dt.date(2021, 6, 12)).home.zone
    for on, number in ((dt.date(2021, 6, 12), 0), (dt.date(2021, 6, 14), 77)):
        pots = [p for p in held_on(book, on).pots if p.brood.code == "B21-07"]
        found = sighted_pots(pots, zone)
        seen = () if found is None else found.seen
        passed = sum(x.number for x in seen if isinstance(x, Passed))
        assert passed == number
    told = forecast(book, "B21-07", dt.date(2021, 6, 14), "pot")
    hatch = told.window("hatch")
    assert hatch is not None
    assert hatch.number == 76
    assert told.sharpened_by == "Sharpened by 77 hatched, the last 14 June"


def test_counted_larvae_moult_nearer_to_their_day_than_by_the_sheet(
    book: Book,
) -> None:
    """B21-03: on 16 June 31 of 41 were in L4, on 11 June 1 of 28 that were looked at.

    The invented scenario's own counts.
    """
    told = forecast(book, "B21-03", dt.date(2021, 6, 12), "A, B, C")
    half = told.window("L4")
    assert half is not None
    assert half.half is not None
    assert dt.date(2021, 6, 12) <= half.half.middle.date() <= dt.date(2021, 6, 16)
    assert "Sharpened by 2 looks, the last 4 June" in told.assumption


def test_no_window_denies_what_a_look_found(book: Book) -> None:
    """B21-02: on 26 May none of 58 was in L5."""
    told = forecast(book, "B21-02", dt.date(2021, 6, 12), "cage 1")
    window = told.window("L5")
    assert window is not None
    assert window.first is not None
    assert window.first.low.date() >= dt.date(2021, 5, 26)


def test_the_same_day_gives_the_same_windows(book: Book) -> None:
    on = dt.date(2021, 6, 12)
    assert seasons.season(book, load_all(), on) == seasons.season(book, load_all(), on)
