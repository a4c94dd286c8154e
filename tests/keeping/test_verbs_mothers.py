from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import care, mothers
from rearing.keeping.ledger import box_events, standing
from rearing.problems import AskFirst, Refusal
from rearing.records.journal import Entry
from rearing.records.rows import MothRow, NoteRow, PairingRow
from rearing.terms import Cause, LawFlag, Mated, MothFate, Sex, Sire, Wings
from tests.keeping.karst_book import LATER, at, on, when

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


def test_keeping_a_female_gives_the_next_code(book: Book, ids: Ids) -> None:
    touched = mothers.keep_female(
        book,
        LATER,
        night_id=ids.night,
        taxon="Marumba quercus",
        condition=mothers.Condition(Wings.WORN, Mated.YES, "paper bag"),
    )
    assert touched.sentence == (
        "Kept W21-02, ♀ Marumba quercus, from the night of Fri 28 May"
    )
    assert book.one(MothRow, touched.new_id).since == on(5, 28)


def test_a_code_of_the_keeper_s_own_is_never_used_twice(book: Book, ids: Ids) -> None:
    mothers.keep_female(
        book, LATER, night_id=ids.night, taxon="Aglia tau", code="W21-09"
    )
    with pytest.raises(Refusal, match="never used twice"):
        mothers.keep_female(
            book, LATER, night_id=ids.night, taxon="Aglia tau", code="W21-09"
        )
    after = mothers.keep_female(book, LATER, night_id=ids.night, taxon="Aglia tau")
    assert book.one(MothRow, after.new_id).code == "W21-10"


def test_keeping_without_the_number_of_a_permit_is_asked_about(
    book: Book, ids: Ids
) -> None:
    def keep(permit: str | None, *, sure: bool = False) -> MothRow:
        kept = mothers.keep_female(
            book,
            LATER,
            night_id=ids.night,
            taxon="Graellsia isabellae",
            law=LawFlag.PERMIT,
            permit=permit,
            sure=sure,
        )
        return book.one(MothRow, kept.new_id)

    with pytest.raises(AskFirst, match="may need a permit") as asked:
        keep(None)
    assert asked.value.field == "permit"
    assert keep("12/2021").permit == "12/2021"
    assert keep(None, sure=True).permit is None


def test_a_species_not_to_be_kept_needs_a_permit(book: Book, ids: Ids) -> None:
    with pytest.raises(Refusal, match="local authority decides") as refused:
        mothers.keep_female(
            book,
            LATER,
            night_id=ids.night,
            taxon="Proserpinus proserpina",
            law=LawFlag.DO_NOT_KEEP,
        )
    assert refused.value.field == "permit"
    kept = mothers.keep_female(
        book,
        LATER,
        night_id=ids.night,
        taxon="Proserpinus proserpina",
        law=LawFlag.DO_NOT_KEEP,
        permit="35-12/2021",
    )
    assert book.one(MothRow, kept.new_id).permit == "35-12/2021"


def test_a_nameless_female_is_not_kept(book: Book, ids: Ids) -> None:
    with pytest.raises(Refusal) as refused:
        mothers.keep_female(book, LATER, night_id=ids.night, taxon=" ")
    assert refused.value.field == "taxon"


def test_emerged_moths_are_numbered_by_sex_within_their_brood(
    book: Book, ids: Ids
) -> None:
    codes = []
    for sex in (Sex.MALE, Sex.FEMALE, Sex.MALE):
        touched = mothers.record_emergence(
            book, LATER, brood_id=ids.brood, sex=sex, on=on(7, 19)
        )
        codes.append(book.one(MothRow, touched.new_id).code)
    assert codes == ["B21-01/♂01", "B21-01/♀01", "B21-01/♂02"]
    with pytest.raises(Refusal, match="that is later"):
        mothers.record_emergence(
            book, LATER, brood_id=ids.brood, sex=Sex.MALE, on=on(5, 1)
        )


def test_a_moth_goes_once_and_not_before_it_came(book: Book, ids: Ids) -> None:
    with pytest.raises(Refusal, match="that is later"):
        mothers.let_go(
            book, LATER, moth_id=ids.moth, fate=MothFate.RELEASED, on=on(5, 27)
        )
    with pytest.raises(AskFirst):
        mothers.let_go(
            book, LATER, moth_id=ids.moth, fate=MothFate.RELEASED, on=on(7, 21)
        )
    touched = mothers.let_go(
        book,
        LATER,
        moth_id=ids.moth,
        fate=MothFate.RELEASED,
        on=on(6, 1),
        where="Terrace",
    )
    assert touched.sentence == "W21-01 released at Terrace, Tue 1 June"
    with pytest.raises(Refusal, match="already"):
        mothers.let_go(book, LATER, moth_id=ids.moth, fate=MothFate.DEAD, on=on(6, 2))


def test_mating_carries_its_evidence(book: Book, ids: Ids) -> None:
    touched = mothers.set_mated(
        book, LATER, moth_id=ids.moth, mated=Mated.YES, note="eggs dimpled"
    )
    assert touched.sentence == "W21-01 mated: yes"
    assert book.all(NoteRow)[-1].text == "eggs dimpled"


def _adult(book: Book, ids: Ids, sex: Sex) -> int:
    return mothers.record_emergence(
        book, LATER, brood_id=ids.brood, sex=sex, on=on(7, 18)
    ).new_id


def test_a_pairing_says_what_is_known_of_the_father(book: Book, ids: Ids) -> None:
    dam, sire = _adult(book, ids, Sex.FEMALE), _adult(book, ids, Sex.MALE)
    touched = mothers.record_pairing(
        book,
        LATER,
        dam_id=dam,
        mate=mothers.Mate(Sire.KNOWN, sire),
        evening=on(7, 19),
        coupling=mothers.Coupling(at(7, 20, 1), at(7, 20, 15)),
    )
    assert touched.sentence == ("Paired B21-01/♀01 × B21-01/♂01, night of Mon 19 July")
    assert book.one(MothRow, dam).mated is Mated.YES
    vague = mothers.record_pairing(
        book,
        LATER,
        dam_id=dam,
        mate=mothers.Mate(Sire.WILD_UNKNOWN),
        evening=on(7, 20),
    )
    assert "♂ wild, unknown" in vague.sentence
    assert book.one(PairingRow, vague.new_id).sire_id is None


def test_a_pairing_is_of_a_female_here_and_a_male(book: Book, ids: Ids) -> None:
    dam, sire = _adult(book, ids, Sex.FEMALE), _adult(book, ids, Sex.MALE)
    for dam_id, mate, evening, field in (
        (dam, mothers.Mate(Sire.KNOWN), on(7, 19), "sire"),
        (dam, mothers.Mate(Sire.KNOWN, ids.moth), on(7, 19), "sire"),
        (sire, mothers.Mate(Sire.UNKNOWN), on(7, 19), "dam"),
        (dam, mothers.Mate(Sire.KNOWN, sire), on(7, 17), "evening"),
        (dam, mothers.Mate(Sire.KNOWN, sire), on(7, 21), "evening"),
    ):
        with pytest.raises(Refusal) as refused:
            mothers.record_pairing(
                book, LATER, dam_id=dam_id, mate=mate, evening=evening
            )
        assert refused.value.field == field


def test_an_emergence_out_of_a_box_leaves_one_fewer_there(book: Book, ids: Ids) -> None:
    def held() -> int:
        day = on(7, 21)
        return standing(box_events(book, [ids.box], day)[ids.box]).number

    before = held()
    entry = Entry(at(7, 21), "N. K.")
    mothers.record_emergence(
        book, entry, brood_id=ids.brood, sex=Sex.MALE, on=on(7, 21), box_id=ids.box
    )
    assert held() == before - 1
    book.take_back(entry)
    assert held() == before


def test_no_moth_comes_out_of_a_tub_that_holds_none(book: Book, ids: Ids) -> None:
    care.lose(
        book,
        LATER,
        box_id=ids.box,
        lost=care.Lost(30, Cause.HEAT),
        when=when(6, 14),
    )
    with pytest.raises(Refusal, match="there are 0 in B21-01 A"):
        mothers.record_emergence(
            book,
            LATER,
            brood_id=ids.brood,
            sex=Sex.FEMALE,
            on=on(6, 20),
            box_id=ids.box,
            sure=True,
        )
