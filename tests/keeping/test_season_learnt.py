"""What finished broods teach the next one; the sample's story is its own invention."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.keeping.females import mothers
from rearing.keeping.holding import holding, standing_only
from rearing.keeping.notes import add_note
from rearing.keeping.ready_warmth import ReadyWarmth
from rearing.keeping.season import Forecaster, season
from rearing.keeping.warmth import Warmth
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import BroodRow
from rearing.science.stages import StageHeat
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from rearing.keeping.season import Forecast

PYRI = "Saturnia pyri"
STAGES = tuple(
    StageHeat(name, 9.0, 2.5, float(np.log(k)), ln_k_sd=0.3, group=group)
    for name, k, group in (
        ("egg", 150.0, ""),
        *((f"L{i}", 80.0, "larva") for i in range(1, 6)),
        ("wandering", 50.0, ""),
        ("pupa", 300.0, ""),
    )
)


@pytest.fixture(scope="module")
def book(built_copy: Path) -> Iterator[Book]:
    with Book.open(built_copy) as opened:
        yield opened


def brood_id(book: Book, code: str) -> int:
    found = book.find(BroodRow, t.Brood.code == code)
    assert found is not None
    return found.id


def forecasts(book: Book, code: str, on: dt.date) -> tuple[Forecast, ...]:
    return season(book, load_all(), on, brood_id=brood_id(book, code))


def warmth_on(book: Book, on: dt.date) -> Warmth:
    held = standing_only(holding(book, on, all_ever=True))
    return Warmth(book, load_all(), held)


def days_of(told: Forecast) -> tuple[object, ...]:
    """The hatch, to the second."""
    hatch = told.window("hatch")
    assert hatch is not None
    return hatch.number, hatch.first, hatch.half, hatch.last


def test_only_broods_finished_by_the_day_teach(book: Book) -> None:
    """The brood of 2020 is in pupae in June 2021; those of that May come later."""
    own = brood_id(book, "B21-07")
    for on, broods in ((dt.date(2021, 6, 12), 1), (dt.date(2022, 4, 1), 3)):
        found = warmth_on(book, on).lessons.learnt(PYRI, STAGES, own)
        # Its own larvae are pupae in 2022: a brood is no lesson to itself.
        assert found is not None
        assert found.broods == broods


def test_a_first_brood_goes_by_the_sheet(book: Book) -> None:
    on = dt.date(2020, 6, 10)
    lessons = warmth_on(book, on).lessons
    assert lessons.learnt(PYRI, STAGES, brood_id(book, "B20-02")) is None
    (told,) = forecasts(book, "B20-02", on)
    assert told.learnt_from == 0
    assert "Learnt" not in told.assumption


def test_a_lesson_narrows_what_the_sheet_left_open(book: Book) -> None:
    found = warmth_on(book, dt.date(2021, 6, 12)).lessons.learnt(
        PYRI, STAGES, brood_id(book, "B21-07")
    )
    assert found is not None
    egg = found.paces[0]
    assert egg.high / egg.low < egg.sheet_high / egg.sheet_low


def test_the_assumption_says_from_how_many(book: Book) -> None:
    (told,) = forecasts(book, "B21-07", dt.date(2021, 6, 12))
    assert told.learnt_from == 1
    assert "Learnt from 1 brood of yours." in told.assumption


def test_frozen_lessons_are_those_read_from_the_book(book: Book) -> None:
    held = standing_only(holding(book, dt.date(2021, 6, 12), all_ever=True))
    shelf = load_all()
    pots = [pot for pot in held.pots if pot.brood.code == "B21-07"]
    read = Forecaster(held, shelf, Warmth(book, shelf, held)).pots(pots)
    frozen = Forecaster(held, shelf, ReadyWarmth(book, shelf, held)).pots(pots)
    assert read is not None
    assert read == frozen


def test_round_mothers_and_season_read_one_answer(book: Book) -> None:
    on, shelf = dt.date(2021, 6, 12), load_all()
    (told,) = forecasts(book, "B21-07", on)
    standing = holding(book, on)  # as the round has it: what is closed was not read
    pots = [pot for pot in standing.pots if pot.brood.code == "B21-07"]
    forecaster = Forecaster(standing, shelf, Warmth(book, shelf, standing))
    found = forecaster.pots(pots, until="hatch")
    assert found is not None
    assert found.learnt_from == told.learnt_from == 1
    assert days_of(found) == days_of(told)


def test_the_rounds_and_the_mothers_pots_have_the_same_windows(book: Book) -> None:
    on, shelf = dt.date(2021, 6, 12), load_all()
    standing = holding(book, on)
    rounds = Forecaster(standing, shelf, Warmth(book, shelf, standing))
    told = {
        line.pot.row.id: line.forecast
        for one in mothers(book, shelf, on)
        for line in one.pots
        if line.forecast is not None
    }
    assert len(told) >= 8
    for pot in standing.pots:
        if pot.row.id in told:
            found = rounds.pots([pot], until="hatch")
            assert found is not None
            assert days_of(found) == days_of(told[pot.row.id])


def test_what_was_learnt_is_read_once_until_something_is_entered(book: Book) -> None:
    on, shelf = dt.date(2021, 6, 12), load_all()
    own = brood_id(book, "B21-07")
    held = standing_only(holding(book, on, all_ever=True))
    first = Warmth(book, shelf, held).lessons.learnt(PYRI, STAGES, own)
    again = Warmth(book, shelf, held).lessons.learnt(PYRI, STAGES, own)
    assert first is again
    entry = Entry(dt.datetime(2021, 6, 12, 20, tzinfo=dt.UTC), "Vida")
    add_note(book, entry, subject="brood", subject_id=own, text="seen", on=on)
    after = Warmth(book, shelf, held).lessons.learnt(PYRI, STAGES, own)
    assert after is not first
    assert after is not None
    assert first is not None
    assert after.broods == first.broods


def test_the_book_reopened_as_on_the_same_day_has_the_same_windows(book: Book) -> None:
    on = dt.date(2021, 6, 12)
    told = season(book, load_all(), on)
    with Book.open(book.path) as again:
        read = season(again, load_all(), on)
    assert [one.windows for one in read] == [one.windows for one in told]
