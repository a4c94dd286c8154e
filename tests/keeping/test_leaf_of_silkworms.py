"""A cohort of silkworms in a book, and the leaf planned for it, instar by instar.

Leaf of each age: King 1911, Farmers of Forty Centuries, p. 313 (public domain), pounds
for 700,000 worms; published. Length of each age: American Cyclopaedia 1879, vol. XV;
published (differences of moult days). The share of the last instar: 80.6 % by King,
81 % of the energy in Antheraea mylitta (Science Vision 13(3), art. 75), 82.9 % by the
middles of a modern school table: together 80 to 83 %.
"""

from __future__ import annotations

import datetime as dt

import pytest

from rearing.keeping import boxes, care, eggs, facts, lamp, mothers, places
from rearing.keeping.leaf_plan import leaf_plan
from rearing.keeping.season import season
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import LayingRow
from rearing.sheets.shelf import load_all
from rearing.terms import INSTARS, BoxKind, EggFate, Stage

POUNDS = (105, 315, 1050, 3150, 19215)
GRAMS_A_WORM = [pounds * 453.59237 / 700_000 for pounds in POUNDS]
WORMS = 400
HATCHED = dt.date(2021, 5, 1)
DAY = dt.timedelta(days=1)
LATER = Entry(dt.datetime(2021, 7, 1, 18, tzinfo=dt.UTC), "N. K.")
SHELF = load_all()


@pytest.fixture(scope="module")
def cut(tmp_path_factory: pytest.TempPathFactory) -> dict[Stage, float]:
    """Return what was cut in each age [g]: every evening, what is planned for the next.

    The worms moult on the days foretold when they hatched, and are looked at daily.
    """
    path = tmp_path_factory.mktemp("silk") / "silk.rearing"
    fed = dict.fromkeys(INSTARS[:5], 0.0)
    with Book.make(path) as book:
        box = _hatched(book)
        begins = _days_foretold(book)
        day = HATCHED
        while day < begins[Stage.WANDERING]:
            instar = max(x for x in INSTARS[:5] if begins[x] <= day)
            care.look_at_stages(
                *(book, LATER),
                box_id=box,
                seen={instar: care.Seen(WORMS)},
                when=boxes.When(day),
            )
            for host in leaf_plan(book, SHELF, day, days=1).days[0].hosts.values():
                fed[max(x for x in fed if begins[x] <= day + DAY)] += host.expected
            day += DAY
    return fed


def _days_foretold(book: Book) -> dict[Stage, dt.date]:
    (found,) = season(book, SHELF, HATCHED)
    days = {Stage.L1: HATCHED}
    events = {stage.value: stage for stage in INSTARS[1:5]} | {
        "wander": Stage.WANDERING
    }
    for event, stage in events.items():
        window = found.window(event)
        assert window is not None
        assert window.half is not None
        days[stage] = window.half.middle.date()
    return days


def _hatched(book: Book) -> int:
    """Enter a female, 400 eggs hatched on one day, and their box at 24°; return it."""
    facts.set_home(book, LATER, name="Silk", zone_name="Europe/Ljubljana")
    site = lamp.add_site(
        *(book, LATER),
        name="House",
        latitude=45.5,
        longitude=13.9,
        zone="Europe/Ljubljana",
    ).new_id
    shelf = places.add_place(book, LATER, name="Room", set_point_c=24).new_id
    evening = HATCHED - dt.timedelta(days=12)
    night = lamp.record_night(
        book, LATER, site_id=site, evening=evening, lamp="none"
    ).new_id
    mother = mothers.keep_female(
        book, LATER, night_id=night, taxon="Bombyx mori", sure=True
    ).new_id
    laid = eggs.record_eggs(
        *(book, LATER),
        parents=eggs.Parents(mother),
        evening=evening,
        number=WORMS,
        pot=eggs.Pot(place_id=shelf),
    ).new_id
    row = book.one(LayingRow, laid)
    eggs.record_fate(
        *(book, LATER),
        pot_id=row.pot_id,
        fate=EggFate.HATCHED,
        number=WORMS,
        on=HATCHED,
    )
    box = boxes.open_box(
        *(book, LATER),
        brood_id=row.brood_id,
        kind=BoxKind.BOX,
        place_id=shelf,
        when=boxes.When(HATCHED),
        host="mulberry",
    ).new_id
    boxes.move_animals(
        *(book, LATER),
        origin=boxes.Origin(pot_id=row.pot_id),
        to_box_id=box,
        number=WORMS,
        when=boxes.When(HATCHED),
    )
    return box


def test_the_share_of_the_last_instar_is_the_published_one(
    cut: dict[Stage, float],
) -> None:
    assert 0.80 <= cut[Stage.L5] / sum(cut.values()) <= 0.83


def test_the_last_two_take_more_than_nine_tenths(cut: dict[Stage, float]) -> None:
    both = cut[Stage.L4] + cut[Stage.L5]
    assert 0.93 <= both / sum(cut.values()) <= 0.95  # 93.8 % by King


def test_each_age_is_fed_as_it_was_published(cut: dict[Stage, float]) -> None:
    total = sum(GRAMS_A_WORM)
    for fed, published in zip(cut.values(), GRAMS_A_WORM, strict=True):
        share = fed / sum(cut.values())
        assert share == pytest.approx(published / total, abs=0.015)


def test_what_is_cut_is_what_they_eat_and_the_waste(cut: dict[Stage, float]) -> None:
    """1.6 times what is eaten is cut: common practice, no source."""
    eaten = WORMS * sum(GRAMS_A_WORM)
    assert sum(cut.values()) == pytest.approx(1.6 * eaten, rel=0.05)
