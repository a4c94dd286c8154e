"""Whatever is entered in whatever order: no egg and no larva is lost or made."""

from __future__ import annotations

import datetime as dt
import itertools
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rearing.keeping import boxes, broods, care, eggs, housing
from rearing.keeping.holding import holding
from rearing.keeping.ledger import Event, Kind, standing
from rearing.problems import Refusal
from rearing.records.book import Book
from rearing.records.rows import BoxRow, EggPotRow
from rearing.terms import BoxKind, Cause, EggFate, ExitKind
from tests.keeping.karst_book import LATER, Ids, on

if TYPE_CHECKING:
    from collections.abc import Iterable

FATES = [fate for fate in EggFate if fate is not EggFate.HATCHED]


@dataclass(frozen=True, slots=True)
class Deed:
    """One thing a keeper enters: what, when, how many, which pot or box, surely."""

    what: str
    day: int
    number: int
    which: int
    other: int
    sure: bool


DEEDS = st.builds(
    Deed,
    what=st.sampled_from(
        [
            *("lay", "correct", "hatch", "fate", "close pot", "leaf", "move"),
            *("split", "count", "lose", "leave", "close box", "take back"),
        ]
    ),
    day=st.integers(0, 40),
    number=st.integers(0, 50),
    which=st.integers(0, 5),
    other=st.integers(0, 5),
    sure=st.booleans(),
)


def do(book: Book, ids: Ids, deed: Deed) -> None:
    day = on(5, 29) + dt.timedelta(days=deed.day)
    if deed.what == "take back":
        book.take_back(LATER, sure=True)
        return
    # enough taken back leaves a book without a pot or a box
    if book.all(EggPotRow):
        _pot_deeds(book, ids, deed, day)
    if book.all(BoxRow):
        _box_deeds(book, ids, deed, boxes.When(day))


def _pot_deeds(book: Book, ids: Ids, deed: Deed, day: dt.date) -> None:
    pots = [row.id for row in book.all(EggPotRow)]
    pot, sure, n = pots[deed.which % len(pots)], deed.sure, deed.number
    if deed.what == "lay":
        parents = eggs.Parents(ids.moth)
        into = eggs.Pot(pot) if deed.other % 2 else eggs.Pot(place_id=ids.shelf)
        eggs.record_eggs(
            book, LATER, parents=parents, evening=day, number=n, pot=into, sure=sure
        )
    elif deed.what == "correct":
        eggs.correct_eggs(book, LATER, laying_id=ids.laying, number=n)
    elif deed.what in {"hatch", "fate"}:
        fate = EggFate.HATCHED if deed.what == "hatch" else FATES[deed.other]
        eggs.record_fate(
            book, LATER, pot_id=pot, fate=fate, number=n, on=day, sure=sure
        )
    elif deed.what == "close pot":
        eggs.close_pot(book, LATER, pot_id=pot, on=day, sure=sure)
    elif deed.what == "leaf":
        new = housing.NewBox(BoxKind.BOX, ids.hall)
        into_box = housing.Into(new=new)
        if deed.other % 2:
            into_box = housing.Into(box_id=ids.box)
        housing.put_on_leaf(
            book,
            LATER,
            pot_id=pot,
            number=n,
            into=into_box,
            when=boxes.When(day),
            sure=sure,
        )


def _box_deeds(book: Book, ids: Ids, deed: Deed, when: boxes.When) -> None:
    standing_boxes = [row.id for row in book.all(BoxRow)]
    box = standing_boxes[deed.which % len(standing_boxes)]
    other = standing_boxes[deed.other % len(standing_boxes)]
    sure, n = deed.sure, deed.number
    if deed.what == "move":
        origin = boxes.Origin(box_id=box)
        boxes.move_animals(
            book, LATER, origin=origin, to_box_id=other, number=n, when=when, sure=sure
        )
    elif deed.what == "split":
        new = housing.NewBox(BoxKind.CAGE, ids.hall)
        housing.move_into_new(
            book, LATER, box_id=box, number=n, into=new, when=when, sure=sure
        )
    elif deed.what == "count":
        losses = [care.Lost(deed.other, Cause.HEAT)] if deed.other else []
        care.count_box(
            book, LATER, box_id=box, number=n, when=when, losses=losses, sure=sure
        )
    elif deed.what == "lose":
        lost = care.Lost(n, Cause.DRY_LEAF)
        care.lose(book, LATER, box_id=box, lost=lost, when=when, sure=sure)
    elif deed.what == "leave":
        care.let_leave(
            book,
            LATER,
            box_id=box,
            kind=ExitKind.GIVEN,
            number=n,
            when=when,
            sure=sure,
        )
    elif deed.what == "close box":
        boxes.close_box(book, LATER, box_id=box, when=when, sure=sure)


@given(st.lists(DEEDS, min_size=4, max_size=10))
@settings(
    max_examples=15,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_every_egg_and_larva_is_in_one_place(
    filled: tuple[Path, Ids], deeds: list[Deed]
) -> None:
    path, ids = filled
    with (
        tempfile.TemporaryDirectory() as folder,
        Book.open(Path(shutil.copy(path, folder))) as book,
    ):
        for deed in deeds:
            before = book.journal(most=1)
            try:
                do(book, ids, deed)
            except Refusal:
                assert book.journal(most=1) == before
        for day in (on(6, 5), on(6, 12), on(7, 20)):
            _balanced(book, ids, day)


def _balanced(book: Book, ids: Ids, day: dt.date) -> None:
    held = holding(book, day, brood_id=ids.brood, all_ever=True)
    # the numbers a brood's page shows, without its forecasts
    numbers = broods._numbers(book, held, [box.row.id for box in held.boxes], day)
    assert numbers.is_balanced
    assert numbers.mixed_in == 0
    egg_fates = sum(x.number for x in numbers.losses if x.of_eggs)
    assert numbers.eggs == numbers.waiting + numbers.hatched + egg_fates
    lost = sum(x.number for x in numbers.losses if not x.of_eggs)
    left = sum(numbers.left.values())
    assert numbers.hatched == (
        numbers.in_pots + numbers.alive + left + lost + numbers.unaccounted
    )
    assert all(pot.waiting >= 0 for pot in held.pots)
    assert all(pot.unhoused >= 0 for pot in held.pots)


NOON = dt.datetime(2021, 6, 12, 12, tzinfo=dt.UTC)
EVENTS = st.lists(
    st.builds(
        lambda minute, kind, number: (minute, kind, number),
        st.integers(0, 2000),
        st.sampled_from(list(Kind)),
        st.integers(0, 60),
    ),
    max_size=9,
    unique_by=lambda told: told[0],
)


def _events(told: Iterable[tuple[int, Kind, int]]) -> list[Event]:
    """Return timed events with the row numbers of the order they were entered in."""
    moments = ((NOON + dt.timedelta(minutes=m), kind, n) for m, kind, n in told)
    return [
        Event(moment.date(), moment, kind, number, row)
        for row, (moment, kind, number) in enumerate(moments)
    ]


@given(EVENTS, st.randoms(use_true_random=False))
def test_a_box_stands_the_same_whatever_order_timed_things_are_entered_in(
    told: list[tuple[int, Kind, int]], shuffler: object
) -> None:
    other = list(told)
    shuffler.shuffle(other)  # type: ignore[attr-defined]  # a random.Random
    assert standing(_events(told)) == standing(_events(other))


@given(EVENTS)
def test_unaccounted_is_the_only_balancing_term(
    told: list[tuple[int, Kind, int]],
) -> None:
    now = standing(_events(told))
    explained = now.number + now.moved_out + now.lost + now.left
    assert now.came == explained + now.unaccounted


@pytest.mark.parametrize("order", list(itertools.permutations(range(4))))
def test_untimed_things_of_one_day_are_explained_before_they_are_counted(
    order: tuple[int, ...],
) -> None:
    day = on(6, 12)
    told = [
        Event(day, None, Kind.IN, 30, order[0]),
        Event(day, None, Kind.LOST, 2, order[1]),
        Event(day, None, Kind.OUT, 8, order[2]),
        Event(day, None, Kind.COUNTED, 19, order[3]),
    ]
    now = standing([told[i] for i in order])
    assert (now.number, now.unaccounted, now.is_counted) == (19, 1, True)


def test_a_count_forgets_nothing_that_is_entered_after_it() -> None:
    early = Event(on(6, 10), None, Kind.IN, 30, 0)
    count = Event(on(6, 14), None, Kind.COUNTED, 27, 1)
    assert standing([early, count]).unaccounted == 3
    late = Event(on(6, 12), None, Kind.LOST, 3, 2)
    now = standing([early, count, late])
    assert (now.number, now.unaccounted) == (27, 0)
