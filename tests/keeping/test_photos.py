"""Photos beside a thing: their day, their caption, their entry, and their page."""

from __future__ import annotations

import datetime as dt
import os
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from rearing.keeping import boxes, leaf, photos
from rearing.keeping.notes import add_note
from rearing.keeping.photos import add_photo, photos_of
from rearing.problems import AskFirst, Refusal, UnreadableFile
from rearing.records.journal import Entry
from rearing.records.pictures import find, folder_of, look_over, offer
from rearing.records.rows import PhotoRow
from rearing.terms import BoxKind
from tests.keeping.karst_book import LATER, at, on, picture, said, when
from tests.records.drawn_pictures import camera_picture
from tests.records.drawn_pictures import picture as drawn

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids

GREEN, RED = drawn(shade="green"), drawn(shade="red")


def beside_box(book: Book, ids: Ids, source: bytes = GREEN, **values: object) -> int:
    given = {"on": on(6, 20), **values}
    return add_photo(
        book,
        LATER,
        subject="box",
        subject_id=ids.box,
        source=source,
        **given,  # type: ignore[arg-type]  # as the verb's own
    ).new_id


def test_a_photo_is_entered_with_its_file_beside_the_book(book: Book, ids: Ids) -> None:
    photo_id = beside_box(book, ids, caption=" horns lost ")

    row = book.one(PhotoRow, photo_id)
    assert (row.on, row.at, row.caption) == (on(6, 20), None, "horns lost")
    assert (row.width, row.height, row.size) == (60, 40, len(GREEN))
    (photo,) = photos_of(book, "box", ids.box, on(6, 20))
    path = find(book.path, photo.named)
    assert path is not None
    assert path.read_bytes() == GREEN
    assert said(book).startswith("Photo beside ")
    assert said(book).endswith(", about 20 June: horns lost")
    assert photo.is_about


def test_the_cameras_clock_gives_day_and_moment_in_the_homes_zone(
    book: Book, ids: Ids
) -> None:
    # taken at 23:40 in London: already the next day at home
    source = camera_picture("2021:06:12 23:40:00", offset="+01:00")

    row = book.one(PhotoRow, beside_box(book, ids, source, on=None))

    assert row.on == on(6, 13)
    assert row.at == dt.datetime(2021, 6, 12, 22, 40, tzinfo=dt.UTC)


def test_a_camera_without_a_zone_is_taken_to_show_the_homes_time(
    book: Book, ids: Ids
) -> None:
    source = camera_picture("2021:06:12 23:40:00")

    row = book.one(PhotoRow, beside_box(book, ids, source, on=None))

    assert (row.on, row.at) == (on(6, 12), at(6, 12, 23, 40))


def test_without_a_camera_the_day_of_the_file_is_only_about(tmp_path: Path) -> None:
    file = tmp_path / "scan.jpg"
    file.write_bytes(GREEN)
    os.utime(file, (1_623_540_000, 1_623_540_000))  # 12 June 2021, 23:20 UTC

    found = photos.taken(offer(file), ZoneInfo("Europe/Ljubljana"), on(7, 1))

    assert (found.on, found.at, found.is_about) == (on(6, 13), None, True)
    assert photos.taken(offer(file), dt.UTC, on(6, 1)).on == on(6, 1), "never to come"
    pasted = photos.taken(offer(GREEN), dt.UTC, on(7, 1))
    assert (pasted.on, pasted.is_about) == (on(7, 1), True)


def test_the_keepers_day_stands_over_the_cameras(book: Book, ids: Ids) -> None:
    source = camera_picture("2021:06:12 23:40:00")

    same = book.one(PhotoRow, beside_box(book, ids, source, on=on(6, 12)))
    assert same.at == at(6, 12, 23, 40)
    book.take_back(LATER)
    other = book.one(PhotoRow, beside_box(book, ids, source, on=on(6, 1)))
    assert (other.on, other.at) == (on(6, 1), None)
    assert said(book).endswith(", about 1 June")


def test_of_several_it_is_said_how_many_days_are_only_about(
    book: Book, ids: Ids
) -> None:
    clock = at(6, 18, 21, 0)
    new = [
        photos.put_beside(book.path, offer(data), photos.Taken(on(6, day), moment))
        for data, day, moment in ((GREEN, 20, None), (RED, 18, clock))
    ]
    photos.add_photos(book, LATER, subject="box", subject_id=ids.box, photos=new)
    assert said(book).endswith(", 18 to 20 June, 1 of them only about")
    kept = photos_of(book, "box", ids.box, on(6, 20))
    assert [photo.is_about for photo in kept] == [True, False]


def test_a_camera_that_runs_ahead_is_asked_about(book: Book, ids: Ids) -> None:
    source = camera_picture("2031:01:01 00:00:00")

    with pytest.raises(AskFirst, match="still to come") as asked:
        beside_box(book, ids, source, on=None)
    assert asked.value.field == "on"
    assert not folder_of(book.path).exists()
    assert beside_box(book, ids, source, on=None, sure=True)


def test_several_are_one_entry_and_are_taken_back_together(
    book: Book, ids: Ids
) -> None:
    before = picture(book)
    new = [
        photos.put_beside(book.path, offer(data), photos.Taken(day, None))
        for data, day in ((GREEN, on(6, 20)), (RED, on(6, 18)), (GREEN, on(6, 20)))
    ]

    touched = photos.add_photos(
        book, LATER, subject="brood", subject_id=ids.brood, photos=new
    )

    assert ("brood", ids.brood) in touched.subjects
    assert touched.sentence.startswith("2 photos beside ")
    assert ", about 18 to 20 June" in touched.sentence
    book.take_back(LATER)
    assert picture(book) == before
    lying = look_over(book.path, ()).without_row
    assert len(lying) == 2, "taking back leaves the files"
    book.do_again(LATER)
    assert len(photos_of(book, "brood", ids.brood, on(6, 20))) == 2


def test_the_same_picture_stands_once_beside_one_thing(book: Book, ids: Ids) -> None:
    beside_box(book, ids)

    with pytest.raises(Refusal, match=r"stands beside .* already"):
        beside_box(book, ids)
    again = [
        photos.put_beside(book.path, offer(data), photos.Taken(on(6, 20), None))
        for data in (GREEN, RED)
    ]
    touched = photos.add_photos(
        book, LATER, subject="box", subject_id=ids.box, photos=again
    )
    assert "(1 picture stood there already)" in touched.sentence
    add_photo(
        book, LATER, subject="moth", subject_id=ids.moth, source=GREEN, on=on(6, 20)
    )
    assert len(photos.pictures_spoken_of(book)) == 2


def test_what_is_no_picture_leaves_no_trace(book: Book, ids: Ids) -> None:
    before = picture(book)

    with pytest.raises(UnreadableFile):
        beside_box(book, ids, b"Date;Temp")
    with pytest.raises(ValueError, match="window"):
        add_photo(book, LATER, subject="window", subject_id=1, source=GREEN)
    with pytest.raises(Refusal, match="no longer in the book"):
        add_photo(book, LATER, subject="tree", subject_id=99, source=GREEN, on=on(6, 1))

    assert picture(book) == before
    assert not folder_of(book.path).exists()


def test_an_entry_never_speaks_of_a_file_that_is_not_there(
    book: Book, ids: Ids
) -> None:
    when_taken = photos.Taken(on(6, 20), None)
    new = photos.put_beside(book.path, offer(GREEN), when_taken)
    (folder_of(book.path) / new.named.path).unlink()

    with pytest.raises(ValueError, match="does not lie beside the book"):
        photos.add_photos(book, LATER, subject="box", subject_id=ids.box, photos=(new,))


def test_a_caption_is_corrected_and_the_journal_says_from_what(
    book: Book, ids: Ids
) -> None:
    photo_id = beside_box(book, ids, caption="L4")
    before = picture(book)

    photos.correct_photo(
        book, LATER, photo_id=photo_id, caption="L5, horns lost", on=on(6, 21)
    )

    row = book.one(PhotoRow, photo_id)
    assert (row.caption, row.on) == ("L5, horns lost", on(6, 21))
    assert "“L5, horns lost” in place of “L4”" in said(book)
    assert "about Mon 21 June in place of about Sun 20 June" in said(book)
    book.take_back(LATER)
    assert picture(book) == before
    with pytest.raises(Refusal, match="as they were"):
        photos.correct_photo(book, LATER, photo_id=photo_id, caption="L4", on=on(6, 20))
    with pytest.raises(AskFirst):
        photos.correct_photo(book, LATER, photo_id=photo_id, caption="", on=on(8, 1))
    photos.correct_photo(book, LATER, photo_id=photo_id, caption="", on=on(6, 20))
    assert book.one(PhotoRow, photo_id).caption is None
    assert "no caption in place of “L4”" in said(book)


def test_a_photo_put_away_leaves_its_file_and_comes_back(book: Book, ids: Ids) -> None:
    photo_id = beside_box(book, ids, caption="thumb")
    (photo,) = photos_of(book, "box", ids.box, on(6, 20))
    before = picture(book)

    photos.put_photo_away(book, LATER, photo_id=photo_id)

    assert photos_of(book, "box", ids.box, on(6, 20)) == ()
    assert find(book.path, photo.named) is not None
    assert "its file stays in hisa.pictures" in said(book)
    book.take_back(LATER)
    assert picture(book) == before


def test_a_broods_page_has_those_of_its_boxes_pots_and_mother(
    book: Book, ids: Ids
) -> None:
    things = {
        "brood": (ids.brood, 21),
        "box": (ids.box, 20),
        "egg_pot": (ids.pot, 19),
        "moth": (ids.moth, 18),
        "lamp_night": (ids.night, 17),
    }
    for number, (subject, (row_id, day)) in enumerate(things.items()):
        add_photo(
            book,
            LATER,
            subject=subject,
            subject_id=row_id,
            source=drawn((40 + number, 30)),
            on=on(6, day),
        )

    found = photos_of(book, "brood", ids.brood, on(6, 30))

    assert [photo.on.day for photo in found] == [21, 20, 19, 18], "newest first"
    names = [photo.where for photo in found]
    assert names[0] == ""
    assert names[1] == "A"
    assert names[2].startswith("pot ")
    assert names[3]
    hers = photos_of(book, "moth", ids.moth, on(6, 30))
    assert [photo.where for photo in hers] == [names[2], ""]
    assert len(photos_of(book, "brood", ids.brood, on(6, 19))) == 2, "as on a day"


def test_a_photo_is_not_lost_when_its_box_closes(book: Book, ids: Ids) -> None:
    beside_box(book, ids)
    add_note(book, LATER, subject="box", subject_id=ids.box, text="dry", on=on(6, 20))
    other = boxes.open_box(
        book,
        LATER,
        brood_id=ids.brood,
        kind=BoxKind.CAGE,
        place_id=ids.hall,
        when=when(6, 21),
    ).new_id
    boxes.move_animals(
        book,
        LATER,
        origin=boxes.Origin(box_id=ids.box),
        to_box_id=other,
        number=30,
        when=when(6, 22),
    )
    boxes.close_box(book, LATER, box_id=ids.box, when=when(6, 22))

    (photo,) = photos_of(book, "brood", ids.brood, on(7, 20))

    assert photo.where == "A"


def test_a_tree_has_photos_of_its_own(book: Book) -> None:
    tree = leaf.add_tree(book, LATER, name="Oak 1", host="Quercus robur").new_id

    add_photo(book, LATER, subject="tree", subject_id=tree, source=GREEN, on=on(6, 20))

    assert said(book) == "Photo beside Oak 1, about 20 June"
    assert len(photos_of(book, "tree", tree, on(6, 20))) == 1


def test_photos_of_one_day_stand_by_the_cameras_clock(book: Book, ids: Ids) -> None:
    for number, clock in enumerate(("09:15", "21:40", "12:00")):
        source = camera_picture(f"2021:06:12 {clock}:00", size=(40 + number, 30))
        beside_box(book, ids, source, on=None)

    found = photos_of(book, "box", ids.box, on(6, 12))

    assert [photo.at for photo in found] == [
        at(6, 12, 21, 40),
        at(6, 12, 12),
        at(6, 12, 9, 15),
    ]


def test_an_entry_of_another_keeper_names_the_thing(book: Book, ids: Ids) -> None:
    entry = Entry(at(6, 20), "Ana")
    touched = add_photo(
        book, entry, subject="lamp_night", subject_id=ids.night, source=GREEN
    )
    assert touched.sentence == "Photo beside the night of Fri 28 May, about 20 June"
