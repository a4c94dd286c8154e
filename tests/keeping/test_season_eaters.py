"""What will eat, forecast by itself, has the windows it has among everything."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.leaf_need import leaf_need
from rearing.keeping.season import Forecaster
from rearing.keeping.season_facts import season_facts
from rearing.records.book import Book
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from rearing.keeping.season import Forecast
    from rearing.keeping.season_facts import SeasonFacts

ON = dt.date(2021, 6, 26)
SHELF = load_all()
BEYOND = {"pupate", "emerge"}


@pytest.fixture(scope="module")
def facts(built_copy: Path) -> Iterator[SeasonFacts]:
    with Book.open(built_copy) as book:
        yield season_facts(book, SHELF, ON)


@pytest.fixture(scope="module")
def everything(facts: SeasonFacts) -> tuple[Forecast, ...]:
    return Forecaster(facts.held, SHELF, facts.warmth).everything()


@pytest.fixture(scope="module")
def eaters(built_copy: Path) -> tuple[Forecast, ...]:
    # another opening, which has nothing from what was worked out for everything
    with Book.open(built_copy) as book:
        facts = season_facts(book, SHELF, ON)
        return Forecaster(facts.held, SHELF, facts.warmth).of_eaters()


def test_windows_up_to_wandering_are_the_same(
    everything: tuple[Forecast, ...], eaters: tuple[Forecast, ...]
) -> None:
    whole = {(one.code, one.group): one for one in everything}
    assert eaters
    for one in eaters:
        full = whole[one.code, one.group]
        assert one.windows == tuple(w for w in full.windows if w.event not in BEYOND)


def test_only_what_is_down_to_pupate_is_left_out(
    everything: tuple[Forecast, ...], eaters: tuple[Forecast, ...]
) -> None:
    told = {(one.code, one.group) for one in eaters}
    left_out = [one for one in everything if (one.code, one.group) not in told]
    assert left_out
    assert all(one.windows[0].event in BEYOND for one in left_out if one.windows)


def test_they_need_all_the_leaf_there_is_need_of(
    facts: SeasonFacts,
    everything: tuple[Forecast, ...],
    eaters: tuple[Forecast, ...],
) -> None:
    whole = leaf_need(facts, SHELF, everything)
    told = leaf_need(facts, SHELF, eaters)
    assert sum(grams.sum() for grams in told.by_host.values()) > 0
    for host, grams in whole.by_host.items():
        assert grams.sum() == pytest.approx(
            told.by_host[host].sum() if host in told.by_host else 0.0
        )
    assert [week.monday for week in told.weeks] == [x.monday for x in whole.weeks]
    needed = [week.total.high for week in told.weeks if week.total]
    assert needed == pytest.approx([x.total.high for x in whole.weeks if x.total])
