"""What a place may be after its last reading; all series are computed here."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.keeping.ahead import Ahead, Read, ahead
from rearing.keeping.holding import holding, standing_only
from rearing.keeping.warmth import Warmth
from rearing.records.book import Book
from rearing.records.rows import PlaceRow
from rearing.science.futures import Kind
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from numpy.typing import NDArray

HOUR_S = 3600.0
AHEAD_H = 60 * 24


def place(
    number: int,
    name: str,
    *,
    set_point_c: float | None = None,
    spread_c: float | None = None,
    outdoors: bool = False,
) -> PlaceRow:
    return PlaceRow(
        id=number,
        version=1,
        name=name,
        walking_order=number,
        set_point_c=set_point_c,
        spread_c=spread_c,
        outdoors=outdoors,
        leaf_life_days=None,
        note=None,
    )


def air(days: int, seed: int = 3) -> NDArray[np.float64]:
    """Air of a year's course, with weather of some days and a daily swing."""
    hour = np.arange(days * 24)
    rng = np.random.default_rng(seed)
    weather = np.repeat(np.convolve(rng.normal(0, 2, days + 4), np.ones(5) / 2), 24)
    course = 10 - 9 * np.cos(2 * np.pi * hour / 8766)
    swing = 4 * np.sin(2 * np.pi * hour / 24)
    return np.asarray(course + swing + weather[96 : 96 + len(hour)])


def ahead_of(read: Read, *, followed: tuple[Read, Ahead] | None = None) -> Ahead:
    end_s = (read.end_s if followed is None else followed[0].end_s) + AHEAD_H * HOUR_S
    return ahead(read, read.end_s, end_s, assumed_c=18.0, followed=followed)


def test_a_set_point_is_kept_with_its_spread() -> None:
    shelf = place(1, "Shelf", set_point_c=20.0, spread_c=1.0)
    found = ahead_of(Read(shelf, 0.0, np.zeros(0)))
    assert found.words == "its set point 20° ± 1°"
    assert found.kind is Kind.SET_POINT
    means = found.scenarios.celsius.mean(axis=1)
    assert abs(means.mean() - 20.0) < 0.3
    assert 0.4 < means.std() < 1.2


def test_years_on_file_are_the_futures_of_a_place_without_a_set_point() -> None:
    series = air(3 * 365 + 160)
    found = ahead_of(Read(place(1, "Terrace", outdoors=True), 0.0, series))
    assert found.words == "then as 3 past years went on here from such a day"
    assert found.scenarios.celsius.shape[1] == AHEAD_H
    # Day 160 to 220 of the course lie on average where the years on file have them.
    usual = np.mean([series[(365 * y + 160) * 24 :][:AHEAD_H].mean() for y in (0, 1)])
    assert abs(found.scenarios.celsius.mean() - usual) < 1.5


def test_a_short_series_goes_on_ever_less_surely() -> None:
    found = ahead_of(Read(place(1, "Terrace", outdoors=True), 0.0, air(40)))
    assert found.words == "then as in its last 7 days with readings, ever less surely"
    spread = found.scenarios.celsius.std(axis=0)
    assert spread[:6].mean() < 0.5 * spread[20 * 24 :].mean()


def test_a_room_without_a_set_point_does_not_follow_the_season() -> None:
    found = ahead_of(Read(place(1, "Cellar"), 0.0, 8.0 + 0 * air(40)))
    assert found.words == "then as in its last 7 days with readings, ± 1.5°"
    assert found.kind is Kind.LAST_DAYS
    assert found.scenarios.celsius.mean(axis=1).std() < 1.5
    assert abs(found.scenarios.celsius.mean() - 8.0) < 0.5


def test_a_shed_follows_the_air_where_both_were_read() -> None:
    """The shed is 2° above the air's mean and feels half of its swing; computed."""
    out = air(120)
    slow = np.convolve(np.pad(out, 12, mode="edge"), np.ones(24) / 24)[23:-24]
    shed = slow[: len(out)] + 2.0 + 0.5 * (out - slow[: len(out)])
    outside = Read(place(1, "Terrace", outdoors=True), 0.0, out)
    found = ahead_of(
        Read(place(2, "Shed"), 0.0, shed[: 100 * 24]),
        followed=(outside, ahead_of(outside)),
    )
    assert found.kind is Kind.RULE
    assert found.words.startswith("then as Terrace has it, by a rule from")
    # The 20 days only the air was read on are known up to the rule's own spread.
    known = found.scenarios.celsius[:, 24 : 19 * 24].mean(axis=0)
    assert np.abs(known - shed[101 * 24 : 119 * 24]).mean() < 0.5


def test_too_few_days_together_make_no_rule() -> None:
    outside = Read(place(1, "Terrace", outdoors=True), 0.0, air(60))
    shed = Read(
        place(2, "Shed", outdoors=True),
        54 * 24 * HOUR_S,
        air(60)[54 * 24 : 57 * 24] + 2,
    )
    found = ahead_of(shed, followed=(outside, ahead_of(outside)))
    assert found.kind is Kind.LAST_DAYS


@pytest.fixture(scope="module")
def book(built_copy: Path) -> Iterator[Book]:
    with Book.open(built_copy) as opened:
        yield opened


def test_tracks_of_boxes_at_one_place_share_their_arrays(book: Book) -> None:
    held = standing_only(holding(book, dt.date(2021, 6, 12), all_ever=True))
    warmth = Warmth(book, load_all(), held)
    kitchen = [b for b in held.boxes if len(b.stays) == 1 and b.stays[0].place_id == 1]
    one, other = (warmth.track_ahead(box.stays) for box in kitchen[:2])
    assert one.celsius is other.celsius
    assert one.futures is not None
    assert one.futures is other.futures
    assert one.hours == (warmth.end_s - warmth.start_s) / HOUR_S


def test_a_cage_that_was_moved_has_the_futures_of_where_it_stands(
    book: Book,
) -> None:
    held = standing_only(holding(book, dt.date(2021, 6, 12), all_ever=True))
    box = next(b for b in held.boxes if b.code == "B20-03 cage 2")
    warmth = Warmth(book, load_all(), held)
    track = warmth.track_ahead(box.stays)
    assert track.futures is not None
    moved = box.stays[-1].from_at.timestamp()
    hour = int((moved - track.start_s) // HOUR_S)
    kitchen, shed = (warmth.hours(stay.place_id).celsius for stay in box.stays)
    first = int((track.start_s - warmth.start_s) // HOUR_S)
    assert track.celsius[hour - 3] == kitchen[first + hour - 3]
    assert track.celsius[hour + 3] == shed[first + hour + 3]
    assert track.futures is warmth.ahead(box.stays[-1].place_id).scenarios.celsius
