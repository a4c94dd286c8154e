"""What is coming in the sample season, and its calendar.

Every name and number is the invented scenario's own.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
import vobject

from rearing.exchange.calendar_feed import calendar_of
from rearing.keeping.coming import Coming, coming
from rearing.keeping.facts import home
from rearing.keeping.round_lines import Task

if TYPE_CHECKING:
    from tests.stories.reader import Reader

ON = dt.date(2021, 6, 12)
NOW = dt.datetime(2021, 6, 12, 20, tzinfo=dt.UTC)


@pytest.fixture(scope="module")
def ahead(season: Reader) -> dict[str, Coming]:
    return {one.key: one for one in coming(season.book, season.shelf, ON)}


def test_the_hatch_of_the_oak_hawk_moths_is_on_its_days(
    ahead: dict[str, Coming],
) -> None:
    """Story 3: they hatched from 17 to 19 June."""
    hatch = ahead["hatch B21-08 pot 1"]

    assert hatch.first <= dt.date(2021, 6, 17)
    assert hatch.last >= dt.date(2021, 6, 19)
    assert "72 eggs" in hatch.title
    assert "Hall shelf" in hatch.words
    assert "80% intervals" in hatch.words


def test_every_kind_of_thing_that_comes_is_there(ahead: dict[str, Coming]) -> None:
    kinds = {key.partition(" ")[0] for key in ahead}

    assert {"hatch", "L3", "L5", "wander", "pupate", "emerge"} <= kinds
    assert {"leaf", "tub", "apart", "tree"} <= kinds


@pytest.mark.parametrize("day", [20, 23, 29])
def test_leaf_is_due_where_the_round_asks_for_it(season: Reader, day: int) -> None:
    on = dt.date(2021, 6, day)
    told = [
        x
        for x in coming(season.book, season.shelf, on)
        if x.key.startswith("leaf ") and x.first == on
    ]
    due = {part.partition(",")[0] for one in told for part in one.words.split("; ")}

    lines = season.lines(on)
    leaf = {Task.FRESH_LEAF, Task.CLEAN_AND_LEAF}
    asked = {
        code for code, line in lines.items() if line.task in leaf and not line.done
    }
    resting = {code for code, x in lines.items() if x.task is Task.LEAVE_ALONE}
    assert asked
    assert asked == due
    assert not due & resting


def test_tub_quarantine_and_tree_are_as_told(ahead: dict[str, Coming]) -> None:
    """Story 4: flacherie to 11 June, Oak 2 closed until 15 June."""
    assert ahead["apart B20-03 cage 2"].first == dt.date(2021, 6, 25)
    assert ahead["tree Oak 2"].first == dt.date(2021, 6, 15)
    assert ahead["tub B21-01 T1"].title == "B21-01 T1: the tub may be opened"


def test_nothing_that_is_past_is_coming(ahead: dict[str, Coming]) -> None:
    assert all(one.last >= ON for one in ahead.values())


def test_the_calendar_names_nobody(season: Reader, ahead: dict[str, Coming]) -> None:
    facts = home(season.book)
    assert facts.keeper
    content = calendar_of(ahead.values(), home=facts.name, now=NOW).decode()

    for name in (facts.keeper, facts.name, "45.5", "school"):
        assert name not in content.replace("\r\n ", "")


def test_the_whole_season_is_parsed_back(
    season: Reader, ahead: dict[str, Coming]
) -> None:
    content = calendar_of(ahead.values(), home="Hiša", now=NOW).decode()
    read = vobject.readOne(content)

    events = {(x.summary.value, x.dtstart.value): x for x in read.vevent_list}
    assert len({event.uid.value for event in read.vevent_list}) == len(ahead)
    for one in ahead.values():
        event = events[one.title, one.first]
        assert event.description.value == one.words
        assert event.dtend.value == one.last + dt.timedelta(days=1)
    # the same things a day later have the same names
    later = coming(season.book, season.shelf, ON + dt.timedelta(days=1))
    kept = {one.key for one in later} & set(ahead)
    assert len(kept) > len(ahead) * 0.6
