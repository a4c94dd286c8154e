"""Each verb of boxes, places, photos and the night once, as the small book allows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping import (
    apart,
    away_days,
    boxes,
    facts,
    following,
    lamp_counting,
    lamp_paper,
    lamp_second_look,
    leaf,
    measurements,
    notes,
    photos,
    places,
    reach,
    remarks,
    sleeves,
    splitting,
    taken_down,
    tools,
)
from rearing.keeping.housing import NewBox
from rearing.keeping.lamp import Call
from rearing.records.pictures import offer
from rearing.terms import BoxKind, Measured, Sex, Stage
from tests.keeping.karst_book import LATER, at, on, when
from tests.records.drawn_pictures import picture as drawn

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.records.book import Book
    from rearing.records.journal import Touched
    from tests.keeping.karst_book import Ids

GREEN = drawn(shade="green")


def _set_apart(book: Book, ids: Ids) -> Touched:
    return apart.set_apart(book, LATER, box_id=ids.box, since=on(6, 12), why="limp")


def _end_apart(book: Book, ids: Ids) -> Touched:
    row = _set_apart(book, ids).new_id
    return apart.end_apart(book, LATER, set_apart_id=row, on=on(6, 15))


def _away(book: Book, _: Ids) -> Touched:
    return away_days.add_away(book, LATER, first=on(7, 21), last=on(7, 23))


def _change_away(book: Book, ids: Ids) -> Touched:
    away = _away(book, ids).new_id
    return away_days.change_away(
        book, LATER, away_id=away, first=on(7, 21), last=on(7, 24)
    )


def _drop_away(book: Book, ids: Ids) -> Touched:
    return away_days.drop_away(book, LATER, away_id=_away(book, ids).new_id)


def _split_box(book: Book, ids: Ids) -> Touched:
    parts = splitting.Parts((10, 20), BoxKind.BOTTLE, ids.hall)
    return splitting.split_box(
        book, LATER, box_id=ids.box, into=parts, when=when(6, 14)
    )


def _join(book: Book, ids: Ids) -> Touched:
    new = _split_box(book, ids).new_id
    return splitting.join_boxes(
        book, LATER, box_id=new, to_box_id=new - 1, when=when(6, 15)
    )


def _hung(book: Book, ids: Ids) -> int:
    tree = leaf.add_tree(book, LATER, name="By the well", host="pear").new_id
    return boxes.open_box(
        book,
        LATER,
        brood_id=ids.brood,
        kind=BoxKind.SLEEVE,
        place_id=ids.hall,
        when=when(6, 12),
        tree_id=tree,
    ).new_id


def _move_sleeve(book: Book, ids: Ids) -> Touched:
    sleeve = _hung(book, ids)
    other = leaf.add_tree(book, LATER, name="By the wall", host="pear").new_id
    return sleeves.move_sleeve(
        book, LATER, box_id=sleeve, tree_id=other, when=when(6, 15), number=0
    )


def _take_down(book: Book, ids: Ids) -> Touched:
    sleeve = _hung(book, ids)
    boxes.move_animals(
        book,
        LATER,
        origin=boxes.Origin(box_id=ids.box),
        to_box_id=sleeve,
        number=8,
        when=when(6, 12),
    )
    new = NewBox(BoxKind.BOX, ids.shelf)
    return taken_down.take_down(
        book, LATER, box_id=sleeve, into=new, when=when(6, 15), number=7
    )


def _tools(book: Book, ids: Ids) -> Touched:
    return tools.set_tools(book, LATER, box_id=ids.box, tools="red forceps")


def _measure(book: Book, ids: Ids) -> Touched:
    return measurements.measure(
        book,
        LATER,
        box_id=ids.box,
        what=Measured.LENGTH,
        values=(11.0, 12.5),
        on=on(6, 15),
        stage=Stage.L2,
    )


def _correct_measurement(book: Book, ids: Ids) -> Touched:
    row = _measure(book, ids).new_id
    return measurements.correct_measurement(
        book, LATER, measurement_id=row, value=12.0, stage=Stage.L2
    )


def _photo(book: Book, ids: Ids) -> Touched:
    return photos.add_photo(
        book, LATER, subject="box", subject_id=ids.box, source=GREEN, on=on(6, 20)
    )


def _photos(book: Book, ids: Ids) -> Touched:
    day = photos.Taken(on(6, 20), None)
    new = photos.put_beside(book.path, offer(GREEN), day)
    return photos.add_photos(
        book, LATER, subject="box", subject_id=ids.box, photos=(new,)
    )


def _correct_photo(book: Book, ids: Ids) -> Touched:
    row = _photo(book, ids).new_id
    return photos.correct_photo(book, LATER, photo_id=row, caption="L2", on=on(6, 20))


def _photo_away(book: Book, ids: Ids) -> Touched:
    return photos.put_photo_away(book, LATER, photo_id=_photo(book, ids).new_id)


def _correct_note(book: Book, ids: Ids) -> Touched:
    note = notes.add_note(
        book, LATER, subject="box", subject_id=ids.box, text="x", on=on(6, 12)
    ).new_id
    return remarks.correct_note(book, LATER, note_id=note, text="y", on=on(6, 12))


def _bare(book: Book, _: Ids) -> Touched:
    return reach.set_bare(book, LATER, host="pear", day=on(11, 5))


def _follow(book: Book, ids: Ids) -> Touched:
    return following.follow_place(book, LATER, place_id=ids.hall, other_id=None)


def _sheet(book: Book, ids: Ids) -> Touched:
    counts = (lamp_paper.PaperCount("Aglia tau", Sex.MALE, 2),)
    checks = (lamp_paper.PaperCheck(at(5, 29, 1), 12.0, counts),)
    return lamp_paper.record_sheet(book, LATER, night_id=ids.night, checks=checks)


def _call_again(book: Book, ids: Ids) -> Touched:
    (counted,) = lamp_second_look.counted_kinds(book, ids.night)
    return lamp_second_look.call_again(
        book,
        LATER,
        counted=counted,
        number=1,
        call=Call("Saturnia pavoniella", Sex.FEMALE),
    )


def _keys(book: Book, ids: Ids) -> Touched:
    return lamp_counting.choose_keys(
        book, LATER, night_id=ids.night, keys=("Aglia tau", "Saturnia pyri")
    )


def _count(book: Book, ids: Ids) -> Touched:
    return lamp_counting.count(
        book,
        LATER,
        night_id=ids.night,
        at=at(5, 29, 1),
        taxon="Aglia tau",
        sex=Sex.MALE,
    )


def _close_check(book: Book, ids: Ids) -> Touched:
    return lamp_counting.close_check(
        book, LATER, night_id=ids.night, at=at(5, 29, 1), temperature_c=11.5
    )


def _dark(book: Book, ids: Ids) -> Touched:
    return lamp_counting.go_dark(book, LATER, night_id=ids.night, at=at(5, 29, 1))


def _light(book: Book, ids: Ids) -> Touched:
    _dark(book, ids)
    return lamp_counting.light_again(
        book, LATER, night_id=ids.night, at=at(5, 29, 1, 20), why="fuse"
    )


def _put_out(book: Book, ids: Ids) -> Touched:
    return lamp_counting.put_out(
        book, LATER, night_id=ids.night, at=at(5, 29, 2, 30), end_c=9.0
    )


def _note(book: Book, ids: Ids) -> Touched:
    return notes.add_note(
        book, LATER, subject="box", subject_id=ids.box, text="x", on=on(6, 12)
    )


def _place(book: Book, _: Ids) -> Touched:
    return places.add_place(book, LATER, name="Cellar")


def _change_place(book: Book, ids: Ids) -> Touched:
    return places.change_place(book, LATER, place_id=ids.hall, name="Landing")


def _home(book: Book, _: Ids) -> Touched:
    return facts.set_home(
        book, LATER, name="New", zone_name="Europe/Rome", keeper="N. K."
    )


MORE_VERBS: dict[Callable[..., Touched], Callable[[Book, Ids], Touched]] = {
    notes.add_note: _note,
    places.add_place: _place,
    places.change_place: _change_place,
    facts.set_home: _home,
    apart.set_apart: _set_apart,
    apart.end_apart: _end_apart,
    away_days.add_away: _away,
    away_days.change_away: _change_away,
    away_days.drop_away: _drop_away,
    splitting.split_box: _split_box,
    splitting.join_boxes: _join,
    sleeves.move_sleeve: _move_sleeve,
    taken_down.take_down: _take_down,
    tools.set_tools: _tools,
    measurements.measure: _measure,
    measurements.correct_measurement: _correct_measurement,
    photos.add_photo: _photo,
    photos.add_photos: _photos,
    photos.correct_photo: _correct_photo,
    photos.put_photo_away: _photo_away,
    remarks.correct_note: _correct_note,
    reach.set_bare: _bare,
    following.follow_place: _follow,
    lamp_paper.record_sheet: _sheet,
    lamp_second_look.call_again: _call_again,
    lamp_counting.choose_keys: _keys,
    lamp_counting.count: _count,
    lamp_counting.close_check: _close_check,
    lamp_counting.go_dark: _dark,
    lamp_counting.light_again: _light,
    lamp_counting.put_out: _put_out,
}
