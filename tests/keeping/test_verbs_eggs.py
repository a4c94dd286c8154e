from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import eggs, mothers
from rearing.keeping.holding import holding
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import (
    BroodRow,
    EggOutcomeRow,
    EggPotRow,
    LayingRow,
    StayRow,
)
from rearing.terms import EggFate, MothFate, Quality, Sire
from tests.keeping.karst_book import LATER, at, on

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from rearing.records.journal import Touched
    from tests.keeping.karst_book import Ids


def lay(
    book: Book,
    ids: Ids,
    evening: dt.date,
    number: int,
    *,
    pot: eggs.Pot | None = None,
    pairing: int | None = None,
    sure: bool = False,
) -> Touched:
    return eggs.record_eggs(
        book,
        LATER,
        parents=eggs.Parents(ids.moth, pairing),
        evening=evening,
        number=number,
        pot=pot or eggs.Pot(place_id=ids.shelf),
        sure=sure,
    )


def fate(
    book: Book,
    ids: Ids,
    number: int,
    day: dt.date,
    kind: EggFate = EggFate.HATCHED,
    *,
    sure: bool = False,
) -> Touched:
    return eggs.record_fate(
        book, LATER, pot_id=ids.pot, fate=kind, number=number, on=day, sure=sure
    )


def test_eggs_of_a_second_night_go_into_a_pot_of_their_own(
    book: Book, ids: Ids
) -> None:
    touched = lay(book, ids, on(5, 29), 63)
    assert touched.sentence == (
        "63 eggs from W21-01, night of Sat 29 May, brood B21-01"
    )
    assert [pot.label for pot in book.all(EggPotRow)] == ["1", "2"]
    # laid after dusk: 22:00 is common practice, no source
    assert book.all(StayRow)[-1].from_at == at(5, 29, 22)
    assert len(book.all(BroodRow)) == 1


def test_nought_eggs_are_a_record_and_one_is_not_plural(book: Book, ids: Ids) -> None:
    assert lay(book, ids, on(5, 29), 0).sentence.startswith("0 eggs from")
    assert lay(book, ids, on(5, 30), 1).sentence.startswith("1 egg from")


def test_eggs_go_into_a_pot_that_stands(book: Book, ids: Ids) -> None:
    lay(book, ids, on(5, 29), 63, pot=eggs.Pot(pot_id=ids.pot))
    assert len(book.all(EggPotRow)) == 1


def test_eggs_that_cannot_be_hers_are_refused(book: Book, ids: Ids) -> None:
    for evening, number, field in (
        (on(5, 28), 3, "evening"),
        (on(5, 27), 3, "evening"),
        (on(5, 29), -1, "number"),
    ):
        with pytest.raises(Refusal) as refused:
            lay(book, ids, evening, number)
        assert refused.value.field == field
    with pytest.raises(Refusal) as refused:
        lay(book, ids, on(5, 29), 3, pot=eggs.Pot())
    assert refused.value.field == "place"
    assert len(book.all(LayingRow)) == 1


def test_eggs_after_she_was_let_go_are_asked_about(book: Book, ids: Ids) -> None:
    mothers.let_go(book, LATER, moth_id=ids.moth, fate=MothFate.RELEASED, on=on(5, 31))
    lay(book, ids, on(5, 31), 4)
    with pytest.raises(AskFirst, match="released"):
        lay(book, ids, on(6, 1), 4)
    lay(book, ids, on(6, 1), 4, sure=True)


def test_a_pairing_opens_a_brood_of_its_own(book: Book, ids: Ids) -> None:
    pairing = mothers.record_pairing(
        book,
        LATER,
        dam_id=ids.moth,
        mate=mothers.Mate(Sire.UNKNOWN),
        evening=on(5, 29),
    ).new_id
    lay(book, ids, on(5, 30), 5, pairing=pairing)
    assert [x.code for x in book.all(BroodRow)] == ["B21-01", "B21-02"]
    lay(book, ids, on(5, 31), 5, pairing=pairing)
    assert len(book.all(BroodRow)) == 2
    with pytest.raises(Refusal) as refused:
        lay(book, ids, on(6, 1), 5, pairing=pairing, pot=eggs.Pot(pot_id=ids.pot))
    assert refused.value.field == "pot"


def test_a_correction_is_not_a_birth(book: Book, ids: Ids) -> None:
    touched = eggs.correct_eggs(
        book, LATER, laying_id=ids.laying, number=43, quality=Quality.ABOUT
    )
    assert touched.sentence == (
        "Eggs of the night of Fri 28 May corrected from 41 to 43"
    )
    pot = holding(book, on(6, 12)).pots[0]
    assert (pot.eggs, pot.waiting) == (43, 8)


def test_fewer_eggs_than_hatched_are_refused(book: Book, ids: Ids) -> None:
    eggs.correct_eggs(book, LATER, laying_id=ids.laying, number=35)
    with pytest.raises(Refusal, match="1 egg more"):
        eggs.correct_eggs(book, LATER, laying_id=ids.laying, number=34)


def test_more_hatched_than_laid_means_counted_low(book: Book, ids: Ids) -> None:
    with pytest.raises(AskFirst, match="6 eggs wait") as asked:
        fate(book, ids, 8, on(6, 12))
    assert asked.value.field == "number"
    assert fate(book, ids, 8, on(6, 12), sure=True).sentence == (
        "8 hatched in B21-01 pot 1, Sat 12 June"
    )
    assert book.one(LayingRow, ids.laying).number == 43
    assert holding(book, on(6, 12)).pots[0].waiting == 0


def test_an_early_fate_entered_late_leaves_the_later_ones_their_eggs(
    book: Book, ids: Ids
) -> None:
    # 41 laid and 35 hatched on 11 June: on the 9th, too, only 6 were free
    fate(book, ids, 6, on(6, 9), EggFate.COLLAPSED)
    with pytest.raises(AskFirst) as asked:
        fate(book, ids, 1, on(6, 9), EggFate.COLLAPSED)
    said = str(asked.value)
    assert "0 eggs wait in B21-01 pot 1, as 35 of 35 are entered for later days" in said


def test_a_fate_before_the_eggs_is_refused(book: Book, ids: Ids) -> None:
    with pytest.raises(Refusal) as refused:
        fate(book, ids, 1, on(5, 27), sure=True)
    assert refused.value.field == "on"
    with pytest.raises(Refusal) as refused:
        fate(book, ids, 0, on(6, 12))
    assert refused.value.field == "number"


def test_a_pot_put_away_gives_up_what_waits(book: Book, ids: Ids) -> None:
    with pytest.raises(Refusal, match="11 June"):
        eggs.close_pot(book, LATER, pot_id=ids.pot, on=on(6, 10))
    with pytest.raises(AskFirst):
        eggs.close_pot(book, LATER, pot_id=ids.pot, on=on(7, 21))
    touched = eggs.close_pot(book, LATER, pot_id=ids.pot, on=on(6, 20))
    assert touched.sentence == "Put away B21-01 pot 1; 6 eggs given up"
    assert book.all(EggOutcomeRow)[-1].fate is EggFate.LOST
    with pytest.raises(Refusal, match="put away on"):
        eggs.close_pot(book, LATER, pot_id=ids.pot, on=on(6, 21))
    with pytest.raises(Refusal) as refused:
        lay(book, ids, on(5, 29), 5, pot=eggs.Pot(pot_id=ids.pot))
    assert refused.value.field == "pot"
