"""A small invented season on the Karst, entered through the verbs, for page tests."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from rearing.keeping import boxes, care, eggs, facts, lamp, mothers, notes, places
from rearing.keeping.boxes import Origin, When
from rearing.keeping.care import Leaf, Lost, Receiver, Seen
from rearing.records.journal import Entry
from rearing.terms import (
    BoxKind,
    Cause,
    EggFate,
    ExitKind,
    Mated,
    MothFate,
    Sex,
    Sire,
    Stage,
    Visit,
    Wings,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.records.book import Book

ZONE = ZoneInfo("Europe/Ljubljana")
ON = dt.date(2021, 6, 25)


def entry(day: dt.date, hour: int = 20) -> Entry:
    return Entry(dt.datetime.combine(day, dt.time(hour), ZONE))


def day(month: int, number: int) -> dt.date:
    return dt.date(2021, month, number)


def at(when: dt.date, hour: int, minute: int = 0) -> dt.datetime:
    return dt.datetime.combine(when, dt.time(hour, minute), ZONE)


@dataclass(frozen=True, slots=True)
class Season:
    """The ids of what the season holds."""

    hollow_night: int
    terrace_night: int
    tau: int
    pyri: int
    proved_male: int
    bagged: int
    tau_brood: int
    pyri_brood: int
    sleeve: int
    box_a: int
    box_b: int
    pyri_pots: tuple[int, ...]


def write_season(book: Book) -> Season:
    """Write a sleeve and two boxes of Aglia tau, pots of Saturnia pyri, two nights."""
    start = entry(day(4, 1))
    facts.set_home(book, start, name="Hiša na Robu", zone_name="Europe/Ljubljana")
    put = {
        name: places.add_place(book, start, name=name, set_point_c=c).new_id
        for name, c in (("Kitchen shelf", 20), ("Hall shelf", 18))
    }
    put["Beech 2"] = places.add_place(
        book, start, name="Beech 2", outdoors=True, set_point_c=17
    ).new_id
    hollow = _site(book, "Beech hollow", 410)
    terrace = _site(book, "Terrace", 480)
    hollow_night, tau = _hollow(book, hollow)
    tau_brood, pots = _lay(book, tau, day(5, 7), (38, 31, 17), put["Hall shelf"])
    sleeve, box_a, box_b = _rear_tau(book, tau_brood, pots, put)
    terrace_night, pyri, male, bagged = _terrace(book, terrace)
    pyri_brood, pyri_pots = _lay(
        book, pyri, day(5, 28), (41, 63, 38, 11), put["Kitchen shelf"]
    )
    _end_of_pyri(book, pyri, pyri_pots)
    return Season(
        hollow_night=hollow_night,
        terrace_night=terrace_night,
        tau=tau,
        pyri=pyri,
        proved_male=male,
        bagged=bagged,
        tau_brood=tau_brood,
        pyri_brood=pyri_brood,
        sleeve=sleeve,
        box_a=box_a,
        box_b=box_b,
        pyri_pots=tuple(pyri_pots),
    )


def _site(book: Book, name: str, elevation_m: float) -> int:
    return lamp.add_site(
        book,
        entry(day(4, 1)),
        name=name,
        latitude=45.53,
        longitude=13.93,
        elevation_m=elevation_m,
        zone="Europe/Ljubljana",
    ).new_id


def _hollow(book: Book, site: int) -> tuple[int, int]:
    evening = day(5, 7)
    made = entry(evening, 23)
    night = lamp.record_night(
        book,
        made,
        site_id=site,
        evening=evening,
        lamp="15 W actinic",
        times=lamp.LampTimes(at(evening, 20, 50), at(day(5, 8), 1, 30)),
        weather=lamp.Weather(11.0, 7.5, "clear, calm"),
    ).new_id
    check = lamp.record_check(
        book, made, night_id=night, at=at(evening, 22, 40), temperature_c=10.2
    ).new_id
    came = lamp.record_arrival(
        book, made, check_id=check, taxon="Aglia tau", sex=Sex.FEMALE, number=1
    ).new_id
    tau = mothers.keep_female(
        book,
        made,
        night_id=night,
        arrival_id=came,
        taxon="Aglia tau",
        kept_at=at(evening, 22, 40),
        condition=mothers.Condition(Wings.FRESH, Mated.YES, "bag 1"),
    ).new_id
    mothers.let_go(
        book,
        entry(day(5, 10)),
        moth_id=tau,
        fate=MothFate.RELEASED,
        on=day(5, 10),
        where="Beech hollow",
    )
    return night, tau


def _lay(
    book: Book, mother: int, first: dt.date, numbers: Sequence[int], place: int
) -> tuple[int, list[int]]:
    pots = []
    for late, number in enumerate(numbers):
        evening = first + dt.timedelta(days=late)
        laying = eggs.record_eggs(
            book,
            entry(evening),
            parents=eggs.Parents(mother),
            evening=evening,
            number=number,
            pot=eggs.Pot(place_id=place),
        ).new_id
        pots.append(_pot_of(book, laying))
    return _brood_of(book, pots[0]), pots


def _pot_of(book: Book, laying: int) -> int:
    from rearing.records.rows import LayingRow

    return book.one(LayingRow, laying).pot_id


def _brood_of(book: Book, pot: int) -> int:
    from rearing.records.rows import EggPotRow

    return book.one(EggPotRow, pot).brood_id


def _rear_tau(
    book: Book, brood: int, pots: Sequence[int], put: dict[str, int]
) -> tuple[int, int, int]:
    _hatch_tau(book, pots)
    made = entry(day(6, 3))
    opened = [
        boxes.open_box(
            book,
            made,
            brood_id=brood,
            kind=kind,
            place_id=put[place],
            label=label,
            host="beech",
            when=When(day(6, 3)),
        ).new_id
        for kind, place, label in (
            (BoxKind.SLEEVE, "Beech 2", "S1"),
            (BoxKind.BOX, "Hall shelf", "A"),
            (BoxKind.BOX, "Hall shelf", "B"),
        )
    ]
    sleeve, box_a, box_b = opened
    for pot, box, number in (
        (pots[0], sleeve, 34),
        (pots[1], sleeve, 6),
        (pots[1], box_a, 17),
        (pots[2], box_a, 0),
        (pots[2], box_b, 17),
    ):
        if number:
            boxes.move_animals(
                book,
                made,
                origin=Origin(pot_id=pot),
                to_box_id=box,
                number=number,
                when=When(day(6, 3)),
                stage=Stage.L2,
                sure=True,
            )
    _keep_tau(book, sleeve, box_a, box_b)
    notes.add_note(
        book,
        entry(day(6, 17)),
        subject="brood",
        subject_id=brood,
        text="Wasp hole in the sleeve mended; two spiders taken out.",
        on=day(6, 17),
    )
    return sleeve, box_a, box_b


def _hatch_tau(book: Book, pots: Sequence[int]) -> None:
    fates = (
        (pots[0], EggFate.HATCHED, 34, day(5, 22)),
        (pots[0], EggFate.COLLAPSED, 4, day(5, 26)),
        (pots[1], EggFate.HATCHED, 23, day(5, 23)),
        (pots[1], EggFate.COLLAPSED, 5, day(5, 26)),
        (pots[1], EggFate.DEAD_IN_SHELL, 3, day(5, 27)),
        (pots[2], EggFate.HATCHED, 17, day(5, 24)),
    )
    for pot, fate, number, on in fates:
        eggs.record_fate(book, entry(on), pot_id=pot, fate=fate, number=number, on=on)
    for pot in pots:
        eggs.close_pot(book, entry(day(6, 3), 22), pot_id=pot, on=day(6, 3))


def _keep_tau(book: Book, sleeve: int, box_a: int, box_b: int) -> None:
    for box, number, on in (
        (sleeve, 33, day(6, 17)),
        (box_a, 17, day(6, 18)),
        (box_b, 17, day(6, 18)),
        (sleeve, 34, day(6, 24)),
    ):
        care.count_box(
            book, entry(on, 18), box_id=box, number=number, when=When(on, at(on, 18))
        )
    care.lose(
        book,
        entry(day(6, 20)),
        box_id=box_a,
        lost=Lost(1, Cause.FAILED_MOULT, Stage.L3),
        when=When(day(6, 20)),
    )
    look = day(6, 24)
    for box, seen in (
        (sleeve, {Stage.L3: Seen(2), Stage.L4: Seen(12, 3), Stage.L5: Seen(20)}),
        (box_a, {Stage.L4: Seen(6, 2), Stage.L5: Seen(10)}),
        (box_b, {Stage.L3: Seen(1), Stage.L4: Seen(8, 4), Stage.L5: Seen(8)}),
    ):
        care.look_at_stages(
            book, entry(look), box_id=box, seen=seen, when=When(look, at(look, 20))
        )
    for box in (box_a, box_b):
        care.visit(
            book,
            entry(look),
            what=Visit.FED_AND_CLEANED,
            when=When(look, at(look, 20, 5)),
            box_id=box,
            leaf=Leaf("beech", 60),
        )


def _terrace(book: Book, site: int) -> tuple[int, int, int, int]:
    evening = day(5, 28)
    made = entry(evening, 23)
    night = lamp.record_night(
        book,
        made,
        site_id=site,
        evening=evening,
        lamp="125 W MV",
        times=lamp.LampTimes(at(evening, 21, 20), at(day(5, 29), 2, 10)),
        weather=lamp.Weather(17.5, 12.0, "cloud 8/8 to 3/8, dew from 01:30"),
    ).new_id
    came: dict[tuple[str, Sex], int] = {}
    for when, counts in (
        (at(evening, 22, 15), {("Deilephila elpenor", Sex.NOT_LOOKED): 3}),
        (
            at(evening, 23, 30),
            {
                ("Saturnia pyri", Sex.MALE): 4,
                ("Marumba quercus", Sex.MALE): 1,
                ("Deilephila elpenor", Sex.NOT_LOOKED): 2,
            },
        ),
        (
            at(day(5, 29), 0, 45),
            {
                ("Saturnia pyri", Sex.MALE): 5,
                ("Saturnia pyri", Sex.FEMALE): 2,
                ("Marumba quercus", Sex.FEMALE): 1,
                ("Deilephila elpenor", Sex.NOT_LOOKED): 1,
            },
        ),
        (
            at(day(5, 29), 2, 0),
            {("Saturnia pyri", Sex.MALE): 3, ("Marumba quercus", Sex.MALE): 2},
        ),
    ):
        check = lamp.record_check(book, made, night_id=night, at=when).new_id
        for (taxon, sex), number in counts.items():
            came[taxon, sex] = lamp.record_arrival(
                book, made, check_id=check, taxon=taxon, sex=sex, number=number
            ).new_id
    kept = [
        mothers.keep_female(
            book,
            made,
            night_id=night,
            arrival_id=came[taxon, Sex.FEMALE],
            taxon=taxon,
            kept_at=at(day(5, 29), 0, 50),
            condition=mothers.Condition(Wings.FRESH, container=bag),
        ).new_id
        for taxon, bag in (
            ("Saturnia pyri", "bag 1"),
            ("Marumba quercus", "bag 2"),
            ("Saturnia pyri", "bag 3"),
        )
    ]
    lamp.redetermine_moth(
        book,
        entry(day(5, 29), 8),
        moth_id=kept[1],
        call=lamp.Call("Marumba quercus", Sex.MALE),
        on=day(5, 29),
        note="antennae under the lens",
    )
    return night, kept[0], kept[1], kept[2]


def _end_of_pyri(book: Book, pyri: int, pots: Sequence[int]) -> None:
    mothers.let_go(
        book,
        entry(day(6, 1)),
        moth_id=pyri,
        fate=MothFate.RELEASED,
        on=day(6, 1),
        where="Terrace",
    )
    mothers.record_pairing(
        book,
        entry(day(5, 29)),
        dam_id=pyri,
        mate=mothers.Mate(Sire.WILD_UNKNOWN),
        evening=day(5, 28),
    )
    on = day(6, 11)
    eggs.record_fate(
        book, entry(on), pot_id=pots[0], fate=EggFate.HATCHED, number=35, on=on
    )
    eggs.record_fate(
        book, entry(on), pot_id=pots[0], fate=EggFate.COLLAPSED, number=6, on=on
    )


def give_away(book: Book, box: int) -> None:
    """Give two larvae of a box to another keeper."""
    care.let_leave(
        book,
        entry(ON),
        box_id=box,
        kind=ExitKind.GIVEN,
        number=2,
        when=When(ON),
        receiver=Receiver("a keeper in Ljubljana"),
    )
