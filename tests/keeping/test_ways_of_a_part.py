"""Ways back are followed once for all that is held, but not what is only supposed."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.season_facts import season_facts
from rearing.keeping.way_back import WaysBack
from rearing.records.book import Book
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from rearing.keeping.season_facts import SeasonFacts

ON = dt.date(2021, 6, 26)


@pytest.fixture(scope="module")
def facts(built_copy: Path) -> Iterator[SeasonFacts]:
    with Book.open(built_copy) as book:
        yield season_facts(book, load_all(), ON)


def test_ways_of_a_part_are_those_of_it_alone(facts: SeasonFacts) -> None:
    whole = facts.held
    told = 0
    for brood_id in {box.brood.id for box in whole.boxes}:
        own = tuple(box for box in whole.boxes if box.brood.id == brood_id)
        part = replace(whole, boxes=own)
        alone = WaysBack((*part.ever_boxes, *own))
        for box in own:
            way = facts.warmth.ways.of_part(part).of(box)
            assert way == alone.of(box)
            assert facts.warmth.ways.of_part(part).of(box) is way
            told += way is not None
    assert told


def test_a_box_that_is_supposed_elsewhere_has_a_way_of_its_own(
    facts: SeasonFacts,
) -> None:
    whole = facts.held
    ways = facts.warmth.ways.of_part(whole)
    box = next(box for box in whole.boxes if ways.of(box) is not None)
    unplaced = replace(box, stays=())
    supposed = facts.warmth.ways.of_part(replace(whole, boxes=(unplaced,)))
    assert supposed.of(unplaced) is None
    assert ways.of(unplaced) is None
    assert ways.of(box) is not None
