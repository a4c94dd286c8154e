"""What a young book still lacks before a round can be walked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.facts import home
from rearing.records import tables as t
from rearing.records.rows import (
    BoxRow,
    EggPotRow,
    LampNightRow,
    MothRow,
    PlaceRow,
    SiteRow,
)

if TYPE_CHECKING:
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class Beginnings:
    """Which of the first entries are made, in the order in which they are needed."""

    home: bool
    site: bool
    place: bool
    night: bool
    female: bool
    stock: bool

    @property
    def is_begun(self) -> bool:
        """True once there are eggs or larvae to look after."""
        return self.stock


def beginnings(book: Book) -> Beginnings:
    """Return what the book has so far."""
    return Beginnings(
        home=bool(home(book).name),
        site=bool(book.all(SiteRow)),
        place=bool(book.all(PlaceRow)),
        night=bool(book.all(LampNightRow)),
        female=bool(book.all(MothRow, t.Moth.night_id.is_not(None))),
        stock=bool(book.all(EggPotRow) or book.all(BoxRow)),
    )
