"""The season's ribbons, leaf and suppositions, on an invented season on the Karst."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care, places
from rearing.keeping.boxes import Origin, When
from rearing.keeping.leaf_need import grams_of
from rearing.keeping.season import season
from rearing.keeping.season_facts import season_facts
from rearing.keeping.season_rows import (
    flown_words,
    season_rows,
    season_view,
    seen_view,
    suppose,
)
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.rows import PlaceRow
from rearing.terms import BoxKind, ExitKind, Stage, Visit
from tests.desk.karst_season import ON, ZONE, entry, write_season

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from rearing.keeping.season_rows import Ribbon, SeasonView
    from rearing.sheets.shelf import SheetShelf
    from tests.desk.karst_season import Season

EARLY = dt.date(2021, 6, 5)  # none of the eggs of Saturnia pyri has hatched
CUT_PER_EATEN = 1.6  # common practice, no source


@pytest.fixture
def written(tmp_path: Path) -> Iterator[tuple[Book, Season]]:
    with Book.make(tmp_path / "karst.rearing") as book:
        yield book, write_season(book)


def ribbon(view: SeasonView, brood_id: int) -> Ribbon:
    found = view.ribbon(brood_id)
    assert found is not None
    return found


def begins(one: Ribbon) -> dict[Stage, dt.date]:
    return {p.stage: dt.date.fromordinal(int(p.begin)) for p in one.pieces}


def test_a_ribbon_runs_from_the_eggs_through_every_stage_without_a_gap(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    one = ribbon(season_rows(book, shelf, ON), ids.tau_brood)
    assert [p.stage for p in one.pieces][:3] == [Stage.EGG, Stage.L1, Stage.L2]
    assert all(a.end == pytest.approx(b.begin) for a, b in pairwise(one.pieces))
    assert all(a.begin < b.begin for a, b in pairwise(one.pieces))
    # eggs of 7, 8 and 9 May: the middle one was laid on the 8th
    assert begins(one)[Stage.EGG] == dt.date(2021, 5, 8)


def test_stages_to_come_begin_at_the_middles_of_their_windows(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    one = ribbon(season_rows(book, shelf, EARLY), ids.pyri_brood)
    leading = one.leading
    assert leading is not None
    hatch, wander = leading.window("hatch"), leading.window("wander")
    assert hatch is not None
    assert wander is not None
    assert wander.half is not None
    assert hatch.half is not None
    assert begins(one)[Stage.WANDERING] == wander.half.middle.date()
    assert begins(one)[Stage.L1] == hatch.half.middle.date()


def test_eggs_that_are_overdue_are_still_drawn_as_eggs(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    one = ribbon(season_rows(book, shelf, ON), ids.pyri_brood)
    assert begins(one)[Stage.L1] == ON + dt.timedelta(days=1)
    assert [p.stage for p in one.pieces][-1] in {Stage.WANDERING, Stage.PUPA}


def test_windows_are_those_of_the_forecast_itself(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, _ = written
    shown = [
        group for one in season_rows(book, shelf, ON).ribbons for group in one.groups
    ]
    assert sorted(shown, key=lambda g: (g.code, g.group)) == list(
        season(book, shelf, ON)
    )


def test_the_season_as_on_an_earlier_day_knows_nothing_later(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    early = season_rows(book, shelf, dt.date(2021, 5, 15))
    assert [one.brood_id for one in early.ribbons] == [ids.tau_brood]
    assert early.ribbons[0].state == ""
    assert early.weeks
    assert all(not week.given for week in early.weeks)


def test_what_was_seen_needs_no_windows(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    seen = seen_view(season_facts(book, shelf, ON), shelf)
    one = ribbon(seen, ids.tau_brood)
    assert not seen.is_forecast
    assert not one.groups
    assert max(p.begin for p in one.pieces) < ON.toordinal() + 1


def test_windows_are_worked_out_without_the_book(
    tmp_path: Path, shelf: SheetShelf
) -> None:
    with Book.make(tmp_path / "karst.rearing") as book:
        write_season(book)
        whole = season_rows(book, shelf, ON)
        facts = season_facts(book, shelf, ON)
    assert season_view(facts, shelf) == whole


def test_work_that_is_called_off_ends_at_the_next_brood(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, _ = written
    asked: list[int] = []

    def stop() -> bool:
        asked.append(len(asked))
        return len(asked) > 1

    view = season_view(season_facts(book, shelf, ON), shelf, stop)
    assert len(asked) == 2
    assert sum(bool(one.groups) for one in view.ribbons) == 1


def test_eggs_alone_need_the_leaf_of_their_whole_life(
    tmp_path: Path, shelf: SheetShelf
) -> None:
    """153 eggs of a large moth: 0.6, 1.2, 6.7, 16 and 120 g each (common practice)."""
    with Book.make(tmp_path / "karst.rearing") as book:
        ids = write_season(book)
        view = season_rows(book, shelf, EARLY)
    one = ribbon(view, ids.pyri_brood)
    eggs = sum(group.number for group in one.groups)
    (host,) = one.hosts
    tomorrow = EARLY + dt.timedelta(days=1)
    grams = sum(
        week.hosts[host].expected
        * ((week.sunday - max(week.monday, tomorrow)).days + 1)
        for week in view.weeks
        if host in week.hosts
    )
    sheet = shelf.sheet_for("Saturnia pyri")
    each = sum(grams_of(sheet, stage) for stage in sheet.larval_stages)
    assert each == pytest.approx(0.6 + 1.2 + 6.7 + 16 + 120, rel=0.01)
    assert grams == pytest.approx(eggs * each * CUT_PER_EATEN, rel=0.03)


def test_the_band_of_leaf_lies_about_what_is_expected(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, _ = written
    coming = [
        w.total for w in season_rows(book, shelf, ON).weeks if w.total is not None
    ]
    fullest = max(coming, key=lambda need: need.expected)
    assert fullest.low < fullest.expected < fullest.high
    for week in season_rows(book, shelf, ON).weeks:
        if week.total is not None:
            parts = sum(need.expected for need in week.hosts.values())
            assert parts == pytest.approx(week.total.expected, abs=1.0)


def test_leaf_that_was_not_weighed_is_a_hole_and_not_nought(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    care.visit(
        book,
        entry(ON),
        what=Visit.FED,
        when=When(ON),
        box_id=ids.box_a,
        leaf=care.Leaf("beech", None, None),
    )
    weeks = season_rows(book, shelf, ON).weeks
    this = next(w for w in weeks if w.monday <= ON <= w.sunday and w.total is None)
    assert this.has_unweighed


def test_a_colder_place_shifts_every_window_later(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    cellar = places.add_place(book, entry(ON), name="Cellar", set_point_c=13).new_id
    facts = season_facts(book, shelf, EARLY)
    now = ribbon(season_view(facts, shelf), ids.pyri_brood)
    at = dt.datetime.combine(EARLY, dt.time(20), ZONE)
    then = suppose(facts, shelf, ids.pyri_brood, place_id=cellar, at=at)
    assert then is not None
    assert now.leading is not None
    assert then.leading is not None
    for was in now.leading.windows:
        will = then.leading.window(was.event)
        assert will is not None
        if was.half is not None and will.half is not None:
            assert will.half.middle > was.half.middle


def test_what_was_supposed_is_what_is_expected_once_it_is_carried_out(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    kitchen = book.all(PlaceRow, t.Place.name == "Kitchen shelf")[0].id
    at = dt.datetime.combine(ON, dt.time(20), ZONE)
    facts = season_facts(book, shelf, ON)
    then = suppose(facts, shelf, ids.tau_brood, place_id=kitchen, at=at)
    assert then is not None
    for box in facts.held.boxes:
        stands = [stay for stay in box.stays if stay.to_at is None]
        if box.brood.id == ids.tau_brood and stands[-1].place_id != kitchen:
            boxes.shift(book, entry(ON), box_id=box.row.id, place_id=kitchen, at=at)
    done = ribbon(season_rows(book, shelf, ON), ids.tau_brood)
    assert [g.windows for g in done.groups] == [g.windows for g in then.groups]


def test_a_move_that_is_still_to_come_may_be_supposed(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    cellar = places.add_place(book, entry(ON), name="Cellar", set_point_c=8).new_id
    facts = season_facts(book, shelf, ON)
    middles = []
    for days in (1, 15, 400):
        at = dt.datetime.combine(ON + dt.timedelta(days), dt.time(8), ZONE)
        then = suppose(facts, shelf, ids.tau_brood, place_id=cellar, at=at)
        assert then is not None
        assert then.leading is not None
        window = then.leading.windows[-2]
        middles.append(window.half.middle if window.half else None)
    now = ribbon(season_view(facts, shelf), ids.tau_brood).leading
    assert now is not None
    assert now.windows[-2].half is not None
    soon, later, never = middles
    assert never == now.windows[-2].half.middle
    assert later is None or later >= never
    assert soon is None or later is None or soon >= later


def test_moths_that_flew_are_told_by_sex_and_those_not_looked_at(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    tub = boxes.open_box(
        book,
        entry(ON),
        brood_id=ids.tau_brood,
        kind=BoxKind.TUB,
        place_id=book.all(PlaceRow)[0].id,
        when=When(ON),
    ).new_id
    boxes.move_animals(
        book,
        entry(ON),
        origin=Origin(box_id=ids.box_a),
        to_box_id=tub,
        number=3,
        when=When(ON),
        stage=Stage.PUPA,
    )
    later = ON + dt.timedelta(days=40)
    care.let_leave(
        book,
        entry(later),
        box_id=tub,
        kind=ExitKind.EMERGED,
        number=2,
        when=When(later),
    )
    one = ribbon(season_rows(book, shelf, later), ids.tau_brood)
    assert flown_words(one) == "2 emerged: 2 not sexed"


def test_a_brood_that_ended_last_year_is_not_of_this_season(
    written: tuple[Book, Season], shelf: SheetShelf
) -> None:
    book, ids = written
    next_year = dt.date(2022, 6, 25)
    shown = {one.brood_id for one in season_rows(book, shelf, next_year).ribbons}
    assert ids.tau_brood in shown  # its boxes were never closed
    ended = season_rows(book, shelf, ON, since=dt.date(2030, 1, 1))
    assert {one.is_open for one in ended.ribbons} == {True}
