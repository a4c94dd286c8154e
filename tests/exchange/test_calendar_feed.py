"""The calendar, read back by a parser that did not write it (vobject)."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st

from rearing.exchange.calendar_feed import calendar_of, write_calendar
from rearing.keeping.coming import Coming
from rearing.problems import Refusal

if TYPE_CHECKING:
    from pathlib import Path

NOW = dt.datetime(2021, 6, 12, 21, 5, 7, 891, tzinfo=dt.timezone(dt.timedelta(hours=2)))
HATCH = Coming(
    key="hatch B21-07 pot 1",
    first=dt.date(2021, 6, 11),
    last=dt.date(2021, 6, 18),
    title="B21-07 pot 1: hatch (S. pyri, 153 eggs)",
    words="First Fri 11 June; half Mon 14 June, at 18° ± 1°. Not seen: expected.",
)
# published: RFC 5545, 3.1: lines of at most 75 octets, ended by CR and LF; and what
# 3.6.1 and 3.8 want of an event
LONGEST_OCTETS = 75


def events_of(content: bytes) -> list[Any]:
    return list(vobject.readOne(content.decode("utf-8")).vevent_list)


def test_an_event_is_read_back_as_it_was_told() -> None:
    (event,) = events_of(calendar_of([HATCH], home="Hiša", now=NOW))

    assert event.summary.value == HATCH.title
    assert event.description.value == HATCH.words
    assert event.dtstart.value == dt.date(2021, 6, 11)
    assert event.dtend.value == dt.date(2021, 6, 19)
    assert event.dtstamp.value == dt.datetime(2021, 6, 12, 19, 5, 7, tzinfo=dt.UTC)
    assert event.transp.value == "TRANSPARENT"


def test_the_calendar_says_what_the_standard_wants() -> None:
    read = vobject.readOne(calendar_of([HATCH], home="", now=NOW).decode())

    assert read.version.value == "2.0"
    assert read.prodid.value.startswith("-//Rearing//")
    assert read.method.value == "PUBLISH"
    read.validate(raiseException=True)


def test_an_events_name_stays_while_its_days_move() -> None:
    later = Coming(
        HATCH.key, dt.date(2021, 6, 14), dt.date(2021, 6, 20), HATCH.title, "Later."
    )
    names = {
        events_of(calendar_of([one], home="Hiša", now=now))[0].uid.value
        for one, now in ((HATCH, NOW), (later, NOW + dt.timedelta(days=3)))
    }
    assert len(names) == 1
    other = events_of(calendar_of([HATCH], home="Another", now=NOW))[0].uid.value
    assert other not in names
    assert "B21" not in other


TEXT = st.text(
    st.characters(exclude_categories=["Cs", "Cc"], include_characters="\n"),
    min_size=1,
    max_size=300,
)


@given(TEXT, TEXT, st.dates(dt.date(1990, 1, 1), dt.date(2100, 1, 1)))
def test_any_text_comes_back_and_every_line_is_short(
    title: str, words: str, day: dt.date
) -> None:
    content = calendar_of([Coming("k", day, day, title, words)], home="h", now=NOW)

    lines = content.split(b"\r\n")
    assert lines[-1] == b""
    assert all(b"\n" not in line and len(line) <= LONGEST_OCTETS for line in lines)
    (event,) = events_of(content)
    assert (event.summary.value, event.description.value) == (title, words)
    assert event.dtend.value - event.dtstart.value == dt.timedelta(days=1)


def test_without_events_it_is_still_a_calendar() -> None:
    read = vobject.readOne(calendar_of([], home="", now=NOW).decode())
    assert not hasattr(read, "vevent_list")


def test_a_calendar_is_written_over_but_nothing_else_is(tmp_path: Path) -> None:
    path, book = tmp_path / "coming.ics", tmp_path / "Season.rearing"
    write_calendar(path, calendar_of([], home="", now=NOW))
    write_calendar(path, calendar_of([HATCH], home="", now=NOW))
    assert len(events_of(path.read_bytes())) == 1
    book.write_bytes(b"SQLite format 3\0")
    with pytest.raises(Refusal, match=r"no calendar\. Nothing was written"):
        write_calendar(book, b"BEGIN:VCALENDAR\r\n")
    assert book.read_bytes().startswith(b"SQLite")
    with pytest.raises(Refusal, match="is a folder"):
        write_calendar(tmp_path, b"")
    assert sorted(x.name for x in tmp_path.iterdir()) == [
        "Season.rearing",
        "coming.ics",
    ]
