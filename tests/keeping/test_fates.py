"""Every egg and every animal ends once, whatever is entered in whatever order."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from rearing.keeping import boxes, care, eggs, mothers
from rearing.keeping.box_ledgers import ledger_of
from rearing.keeping.fates import End, Fates
from rearing.keeping.followed import followed
from rearing.keeping.life import Life, compared, life_of
from rearing.keeping.life_curve import curve_of
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.rows import BroodRow, EggPotRow
from rearing.terms import BoxKind, Cause, EggFate, ExitKind, Known
from tests.keeping.karst_book import LATER, Ids, on, when
from tests.keeping.test_verbs_balance import DEEDS, Deed, do

if TYPE_CHECKING:
    import datetime as dt

DAYS = [on(5, 28), on(6, 5), on(6, 12), on(6, 20), on(7, 20)]


@pytest.fixture(scope="module")
def two_broods(
    filled: tuple[Path, Ids], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Ids]:
    """Return the small book with a second brood beside the first, to be mixed up."""
    path, ids = filled
    own = tmp_path_factory.mktemp("two") / "two.rearing"
    shutil.copy(path, own)
    with Book.open(own) as book:
        other = mothers.keep_female(
            *(book, LATER),
            night_id=ids.night,
            arrival_id=ids.arrival,
            taxon="Saturnia pyri",
        ).new_id
        eggs.record_eggs(
            book,
            LATER,
            parents=eggs.Parents(other),
            evening=on(5, 30),
            number=30,
            pot=eggs.Pot(place_id=ids.shelf),
            sure=True,
        )
        pot = book.all(EggPotRow)[-1]
        eggs.record_fate(
            *(book, LATER),
            pot_id=pot.id,
            fate=EggFate.HATCHED,
            number=24,
            on=on(6, 12),
        )
        box = boxes.open_box(
            *(book, LATER),
            brood_id=pot.brood_id,
            kind=BoxKind.CAGE,
            place_id=ids.hall,
            when=when(6, 12),
        ).new_id
        boxes.move_animals(
            *(book, LATER),
            origin=boxes.Origin(pot_id=pot.id),
            to_box_id=box,
            number=20,
            when=when(6, 12),
        )
    return own, ids


def told_once(found: Fates) -> None:
    """Check that eggs and animals add up, with the unaccounted to balance them."""
    assert found.eggs == found.waiting + sum(found.egg_fates.values())
    came = sum(one.number for one in found.came)
    gone = sum(found.number(end) for end in End)
    assert came == gone + found.all_alive
    assert all(one.number >= 0 for one in found.came)
    assert all(one.number >= 0 for one in found.ended)
    assert all(number > 0 for number in found.alive.values())


def tables_add_up(life: Life) -> None:
    """Check that both tables lose exactly what was lost, and end with the living."""
    found = life.fates
    dead = found.number(End.LOST) + found.number(End.UNACCOUNTED)
    assert sum(day.d for day in life.days) == dead
    of_eggs = sum(x.number for x in life.losses if x.stage == "egg")
    assert sum(x.number for x in life.losses) == dead + of_eggs
    assert sum(row.d for row in life.stages) == dead + of_eggs
    for day in life.days:
        assert 0 <= day.l_low <= day.l <= day.l_high <= 1


def ledger_balances(life: Life) -> None:
    """Check both sides of the brood's ledger, each box's, and the curve's ends."""
    ledger = ledger_of(life.fates)
    assert ledger.balances
    for box in ledger.boxes:
        gone = box.moved + box.lost + box.left + box.unaccounted
        assert box.came == gone + box.number
    curve = curve_of(life)
    if curve is not None:
        assert curve.share(-1) == 1.0
        assert sum(number for _, number in curve.left) == life.fates.number(End.LEFT)


@given(st.lists(DEEDS, min_size=3, max_size=12))
@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@example([Deed("count", 20, 50, 0, 0, True), Deed("count", 22, 10, 0, 0, True)])
@example([Deed("lose", 16, 50, 0, 0, True), Deed("move", 17, 9, 1, 0, True)])
def test_every_animal_ends_once(
    two_broods: tuple[Path, Ids], deeds: list[Deed]
) -> None:
    path, ids = two_broods
    with (
        tempfile.TemporaryDirectory() as folder,
        Book.open(Path(shutil.copy(path, folder))) as book,
    ):
        for deed in deeds:
            try:
                do(book, ids, deed)
            except Refusal:
                continue
        for day in DAYS:
            _all_told(book, day)


def _all_told(book: Book, day: dt.date) -> None:
    lives = [life_of(book, row, day) for row in book.all(BroodRow)]
    for life in lives:
        told_once(life.fates)
        tables_add_up(life)
        ledger_balances(life)
        for box in life.fates.boxes:
            assert followed(life.fates, box.row.label).is_balanced
    if len(lives) > 1:
        compared(lives[0], lives[1])


def test_moths_that_flew_came_through_and_are_no_loss(
    two_broods: tuple[Path, Ids], tmp_path: Path
) -> None:
    path, ids = two_broods
    with Book.open(Path(shutil.copy(path, tmp_path))) as book:
        care.let_leave(
            *(book, LATER),
            box_id=ids.box,
            kind=ExitKind.EMERGED,
            number=12,
            when=when(7, 18),
        )
        life = life_of(book, book.all(BroodRow)[0], on(7, 20))
    assert (life.moths, life.living, life.losses) == (12, 35, ())
    assert all(row.d == 0 for row in life.stages if row.x != "egg")
    assert life.survived is not None
    assert life.survived.share == 1.0


def test_more_lost_than_the_book_had_must_have_come(
    two_broods: tuple[Path, Ids], tmp_path: Path
) -> None:
    path, ids = two_broods
    with Book.open(Path(shutil.copy(path, tmp_path))) as book:
        # The verbs refuse it since; a book of before may hold it.
        with book.change(LATER) as pen:
            pen.add(
                t.Loss,
                box_id=ids.box,
                on=on(6, 14),
                number=33,
                cause=Cause.HEAT,
                known=Known.SEEN,
            )
            pen.say("Lost 33 in B21-01 A: heat")
        life = life_of(book, book.all(BroodRow)[0], on(7, 20))
    assert life.came == 35 + 3
    assert life.fates.number(End.LOST) == 33
    assert life.living == 5
    tables_add_up(life)
