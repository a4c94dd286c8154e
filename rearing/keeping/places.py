"""Places in the order they are walked, and what their temperature rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import PlaceRow

if TYPE_CHECKING:
    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched


def add_place(
    book: Book,
    entry: Entry,
    *,
    name: str,
    walking_order: int | None = None,
    set_point_c: float | None = None,
    spread_c: float | None = None,
    outdoors: bool = False,
    leaf_life_days: float | None = None,
    note: str | None = None,
) -> Touched:
    """Add a place; without a number it comes last in the round."""
    name = name.strip()
    _refuse_odd(name, set_point_c)
    standing = book.all(PlaceRow)
    if any(place.name == name for place in standing):
        raise Refusal(f"There is a place {name} already.", field="name")
    last = max((place.walking_order for place in standing), default=0)
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.Place,
            name=name,
            walking_order=walking_order if walking_order is not None else last + 1,
            set_point_c=set_point_c,
            spread_c=spread_c,
            outdoors=outdoors,
            leaf_life_days=leaf_life_days,
            note=note,
        )
        pen.say(f"Added the place {name}")
    return pen.touched


def change_place(
    book: Book, entry: Entry, /, *, place_id: int, **values: object
) -> Touched:
    """Change a place's name, order, set point, spread or leaf life."""
    place = book.one(PlaceRow, place_id)
    name = values.get("name", place.name)
    set_point = values.get("set_point_c", place.set_point_c)
    _refuse_odd(str(name), set_point if isinstance(set_point, int | float) else None)
    if any(row.name == name and row.id != place_id for row in book.all(PlaceRow)):
        raise Refusal(f"There is a place {name} already.", field="name")
    with book.change(entry) as pen:
        pen.change(t.Place, place_id, **values)
        pen.say(f"Changed the place {place.name}")
    return pen.touched


def places(book: Book) -> tuple[PlaceRow, ...]:
    """Return the places in walking order."""
    return book.all(PlaceRow, order=(t.Place.walking_order, t.Place.id))


def _refuse_odd(name: str, set_point_c: float | None) -> None:
    if not name.strip():
        raise Refusal("A place needs a name.", field="name")
    if set_point_c is not None and not -30 <= set_point_c <= 50:
        raise Refusal(
            f"{set_point_c:g} °C is no temperature for stock; is it °F?",
            field="set_point_c",
        )
