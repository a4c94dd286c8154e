"""What the book knows of itself: the home's name, its time zone, the sample's day."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.moments import zone_of
from rearing.records import tables as t
from rearing.records.rows import FactRow

if TYPE_CHECKING:
    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched


@dataclass(frozen=True, slots=True)
class Home:
    """The keeper's home, and the day a sample book is opened as on."""

    name: str
    zone_name: str
    keeper: str
    as_on: dt.date | None

    @property
    def zone(self) -> dt.tzinfo:
        """The time zone the book's days are told in."""
        return zone_of(self.zone_name)


def home(book: Book) -> Home:
    """Return what the book says of its home; UTC where nothing was set."""
    facts = {fact.name: fact.value for fact in book.all(FactRow)}
    as_on = facts.get("as on")
    return Home(
        name=facts.get("home", ""),
        zone_name=facts.get("zone", "UTC"),
        keeper=facts.get("keeper", ""),
        as_on=None if as_on is None else dt.date.fromisoformat(as_on),
    )


def set_home(
    book: Book,
    entry: Entry,
    *,
    name: str,
    zone_name: str,
    keeper: str = "",
    as_on: dt.date | None = None,
) -> Touched:
    """Set the home's name and its time zone."""
    zone_of(zone_name)
    values = {"home": name, "zone": zone_name, "keeper": keeper}
    if as_on is not None:
        values["as on"] = as_on.isoformat()
    standing = {fact.name: fact for fact in book.all(FactRow)}
    with book.change(entry) as pen:
        for key, value in values.items():
            if key in standing:
                pen.change(t.Fact, standing[key].id, value=value)
            else:
                pen.add(t.Fact, name=key, value=value)
        pen.say(f"Set the home to {name}, {zone_name}")
    return pen.touched
