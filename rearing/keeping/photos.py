"""Photos beside anything that has a page: put in, dated, captioned, and found again.

The file lies beside the book before the book speaks of it (`put_beside`, which long
jobs may do elsewhere), and stays there whatever becomes of the entry.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.beside import around, name_of, refuse_unknown, shortened
from rearing.keeping.facts import home
from rearing.keeping.moments import counted, day_words, refuse_future, span_words
from rearing.problems import Refusal
from rearing.records import pictures
from rearing.records import tables as t
from rearing.records.pictures import Named, Offered
from rearing.records.rows import PhotoRow

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched


@dataclass(frozen=True, slots=True)
class Taken:
    """When a picture was taken, and how that is known.

    `at` is the moment by the camera's clock. Without it `on` is only about: the day
    the keeper says, the day the file was written on, or the day it was put in.
    """

    on: dt.date
    at: dt.datetime | None

    @property
    def is_about(self) -> bool:
        """True where no camera wrote it."""
        return self.at is None


@dataclass(frozen=True, slots=True)
class NewPhoto:
    """A picture that lies beside the book, and the day it is to be entered for."""

    named: Named
    width: int
    height: int
    size: int
    taken: Taken


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo on the page where it is looked at; `where` is "" beside the thing."""

    id: int
    thing: tuple[str, int]
    on: dt.date
    at: dt.datetime | None
    where: str
    caption: str
    named: Named
    width: int
    height: int

    @property
    def is_about(self) -> bool:
        """True where no camera wrote the day."""
        return self.at is None


def about(words: str, at: dt.datetime | None) -> str:
    """Return a day in words, with *about* where no camera's clock says it."""
    return words if at is not None else f"about {words}"


def taken(offered: Offered, zone: dt.tzinfo, today: dt.date) -> Taken:
    """Return when a picture was taken, in the home's zone.

    A camera that wrote no zone is taken to have shown the home's time.
    """
    clock = offered.seen.taken
    if clock is not None:
        aware = clock if clock.tzinfo is not None else clock.replace(tzinfo=zone)
        at = aware.astimezone(dt.UTC)
        return Taken(at.astimezone(zone).date(), at)
    if offered.file_day is not None:
        # only about, so a file copied later than the day that is shown is no question
        return Taken(min(offered.file_day.astimezone(zone).date(), today), None)
    return Taken(today, None)


def put_beside(book: Path, offered: Offered, when: Taken) -> NewPhoto:
    """Put a picture beside a book, and return what `add_photos` takes."""
    named = pictures.put(book, offered)
    seen = offered.seen
    return NewPhoto(named, seen.width, seen.height, offered.size, when)


def add_photo(
    book: Book,
    entry: Entry,
    *,
    subject: str,
    subject_id: int,
    source: Path | bytes,
    on: dt.date | None = None,
    caption: str | None = None,
    sure: bool = False,
) -> Touched:
    """Put one picture beside a thing; without `on` its own day is taken."""
    refuse_unknown(subject)
    offered = pictures.offer(source)
    when = taken(offered, home(book).zone, entry.on)
    if on is not None:
        when = on_another(when, on)
    refuse_future(when.on, entry.on, sure=sure, field="on")
    name_of(book, subject, subject_id)
    return add_photos(
        book,
        entry,
        subject=subject,
        subject_id=subject_id,
        photos=(put_beside(book.path, offered, when),),
        caption=caption,
        sure=sure,
    )


def on_another(when: Taken, on: dt.date) -> Taken:
    """Return the keeper's own day; the camera's clock counts where it agrees."""
    return when if when.on == on else replace(when, on=on, at=None)


def add_photos(
    book: Book,
    entry: Entry,
    *,
    subject: str,
    subject_id: int,
    photos: Sequence[NewPhoto],
    caption: str | None = None,
    sure: bool = False,
) -> Touched:
    """Enter pictures that lie beside the book, all of them in one entry."""
    refuse_unknown(subject)
    name = name_of(book, subject, subject_id)
    for photo in photos:
        refuse_future(photo.taken.on, entry.on, sure=sure, field="on")
        if pictures.find(book.path, photo.named) is None:
            raise ValueError(f"{photo.named.path} does not lie beside the book")
    fresh = _fresh(book, subject, subject_id, photos)
    if not fresh:
        raise Refusal(f"The same picture stands beside {name} already.")
    words = _written(caption)
    with book.change(entry) as pen:
        for photo in fresh:
            pen.new_id = pen.add(
                t.Photo,
                subject=subject,
                subject_id=subject_id,
                on=photo.taken.on,
                at=photo.taken.at,
                content=photo.named.content,
                suffix=photo.named.suffix,
                width=photo.width,
                height=photo.height,
                size=photo.size,
                caption=words,
            )
        pen.subjects.add((subject, subject_id))
        pen.say(_sentence(name, fresh, len(photos) - len(fresh), words))
    return pen.touched


def _fresh(
    book: Book, subject: str, subject_id: int, photos: Sequence[NewPhoto]
) -> list[NewPhoto]:
    """Return each picture once, without those that stand beside the thing already."""
    there = {
        row.content
        for row in book.all(
            PhotoRow, t.Photo.subject == subject, t.Photo.subject_id == subject_id
        )
    }
    fresh = {photo.named.content: photo for photo in photos}
    return [photo for content, photo in fresh.items() if content not in there]


def _sentence(
    name: str, fresh: Sequence[NewPhoto], again: int, caption: str | None
) -> str:
    days = sorted(photo.taken.on for photo in fresh)
    what = "Photo" if len(fresh) == 1 else f"{len(fresh)} photos"
    unsure = sum(photo.taken.is_about for photo in fresh)
    span = span_words(days[0], days[-1])
    if unsure == len(fresh):
        span = f"about {span}"
    elif unsure:
        span += f", {unsure} of them only about"
    said = f"{what} beside {name}, {span}"
    if caption:
        said += f": {shortened(caption)}"
    if again:
        said += f" ({counted(again, 'picture')} stood there already)"
    return said


def correct_photo(
    book: Book,
    entry: Entry,
    *,
    photo_id: int,
    caption: str | None,
    on: dt.date,
    sure: bool = False,
) -> Touched:
    """Write another caption under a photo, or give it another day."""
    before = book.one(PhotoRow, photo_id)
    words = _written(caption)
    if words == before.caption and on == before.on:
        raise Refusal("Caption and day are as they were.", field="caption")
    refuse_future(on, entry.on, sure=sure, field="on")
    when = on_another(Taken(before.on, before.at), on)
    name = name_of(book, before.subject, before.subject_id)
    with book.change(entry) as pen:
        pen.change(t.Photo, photo_id, caption=words, on=when.on, at=when.at)
        pen.subjects.add((before.subject, before.subject_id))
        pen.say(f"Photo beside {name}: {_corrected(before, words, on)}")
    return pen.touched


def _corrected(before: PhotoRow, caption: str | None, on: dt.date) -> str:
    said = []
    if caption != before.caption:
        was = f" in place of “{shortened(before.caption)}”" if before.caption else ""
        said.append(f"“{shortened(caption)}”{was}" if caption else f"no caption{was}")
    if on != before.on:
        # another day than the camera's is the keeper's word
        was = about(day_words(before.on), before.at)
        said.append(f"about {day_words(on)} in place of {was}")
    return ", ".join(said)


def put_photo_away(book: Book, entry: Entry, *, photo_id: int) -> Touched:
    """Take a photo from beside its thing; the file stays where it lies."""
    before = book.one(PhotoRow, photo_id)
    name = name_of(book, before.subject, before.subject_id)
    with book.change(entry) as pen:
        pen.remove(t.Photo, photo_id)
        pen.subjects.add((before.subject, before.subject_id))
        words = f" “{shortened(before.caption)}”" if before.caption else ""
        day = about(day_words(before.on), before.at)
        pen.say(
            f"Photo{words} of {day} no longer beside {name}; its file "
            f"stays in {pictures.folder_of(book.path).name}"
        )
    return pen.touched


def photos_of(
    book: Book, subject: str, subject_id: int, on: dt.date
) -> tuple[Photo, ...]:
    """Return the photos of a thing's whole page up to a day, newest first."""
    names = around(book, subject, subject_id)
    found = book.all(
        PhotoRow,
        t.Photo.subject.in_({kind for kind, _ in names}),
        t.Photo.subject_id.in_({row_id for _, row_id in names}),
        t.Photo.on <= on,
        order=(t.Photo.on.desc(), t.Photo.at.desc(), t.Photo.id.desc()),
    )
    return tuple(
        _photo(row, names[row.subject, row.subject_id])
        for row in found
        if (row.subject, row.subject_id) in names
    )


def photos_of_all(book: Book, subject: str, on: dt.date) -> tuple[Photo, ...]:
    """Return the photos beside all things of a kind up to a day, newest first."""
    refuse_unknown(subject)
    found = book.all(
        PhotoRow,
        t.Photo.subject == subject,
        t.Photo.on <= on,
        order=(t.Photo.on.desc(), t.Photo.at.desc(), t.Photo.id.desc()),
    )
    ids = {row.subject_id for row in found}
    names = {row_id: name_of(book, subject, row_id) for row_id in ids}
    return tuple(_photo(row, names[row.subject_id]) for row in found)


def _photo(row: PhotoRow, where: str) -> Photo:
    return Photo(
        id=row.id,
        thing=(row.subject, row.subject_id),
        on=row.on,
        at=row.at,
        where=where,
        caption=row.caption or "",
        named=Named(row.content, row.suffix),
        width=row.width,
        height=row.height,
    )


def pictures_spoken_of(book: Book) -> tuple[Named, ...]:
    """Return every picture the book speaks of, once."""
    rows = book.all(PhotoRow)
    return tuple(dict.fromkeys(Named(row.content, row.suffix) for row in rows))


def _written(caption: str | None) -> str | None:
    return (caption or "").strip() or None
