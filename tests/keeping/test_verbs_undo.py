"""Every verb, taken back and put back: the book is as before, and as after."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from rearing import keeping
from rearing.keeping import (
    boxes,
    care,
    eggs,
    housing,
    lamp,
    leaf,
    leaf_tests,
    mothers,
)
from rearing.terms import (
    BoxKind,
    Cause,
    EggFate,
    ExitKind,
    Mated,
    MothFate,
    Quality,
    Sex,
    Sire,
    Stage,
    TreeSign,
    Visit,
)
from tests.keeping.karst_book import LATER, at, on, picture, said, when
from tests.keeping.more_verbs import MORE_VERBS

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import ModuleType

    from rearing.records.book import Book
    from rearing.records.journal import Touched
    from tests.keeping.karst_book import Ids

    Verb = Callable[[Book, Ids], Touched]

ELSEWHERE = {"forecasts", "temperatures_in"}
"""Modules whose verbs need days of readings; their own tests take them back."""


def _site(book: Book, _: Ids) -> Touched:
    return lamp.add_site(
        book, LATER, name="Rim", latitude=45.4, longitude=13.8, zone="Europe/Rome"
    )


def _night(book: Book, ids: Ids) -> Touched:
    return lamp.record_night(book, LATER, site_id=ids.site, evening=on(6, 4), lamp="MV")


def _outage(book: Book, ids: Ids) -> Touched:
    return lamp.record_outage(
        book,
        LATER,
        night_id=ids.night,
        from_at=at(5, 28, 23),
        to_at=at(5, 28, 23, 30),
    )


def _check(book: Book, ids: Ids) -> Touched:
    return lamp.record_check(book, LATER, night_id=ids.night, at=at(5, 29, 1))


def _arrival(book: Book, ids: Ids) -> Touched:
    return lamp.record_arrival(
        book, LATER, check_id=ids.check, taxon="Aglia tau", sex=Sex.MALE, number=3
    )


def _at_sheet(book: Book, ids: Ids) -> Touched:
    return lamp.count_at_sheet(
        book,
        LATER,
        night_id=ids.night,
        at=at(5, 29, 1),
        taxon="Aglia tau",
        sex=Sex.MALE,
        number=3,
    )


def _second_look(book: Book, ids: Ids) -> Touched:
    call = lamp.Call("Saturnia pavonia", Sex.MALE)
    return lamp.redetermine(book, LATER, arrival_id=ids.arrival, call=call)


def _second_look_moth(book: Book, ids: Ids) -> Touched:
    call = lamp.Call("Saturnia pyri", Sex.MALE)
    return lamp.redetermine_moth(book, LATER, moth_id=ids.moth, call=call)


def _female(book: Book, ids: Ids) -> Touched:
    return mothers.keep_female(book, LATER, night_id=ids.night, taxon="Aglia tau")


def _emergence(book: Book, ids: Ids) -> Touched:
    return mothers.record_emergence(
        book, LATER, brood_id=ids.brood, sex=Sex.MALE, on=on(7, 19)
    )


def _let_go(book: Book, ids: Ids) -> Touched:
    return mothers.let_go(
        book, LATER, moth_id=ids.moth, fate=MothFate.DEAD, on=on(6, 8)
    )


def _mated(book: Book, ids: Ids) -> Touched:
    return mothers.set_mated(
        book, LATER, moth_id=ids.moth, mated=Mated.YES, note="fertile"
    )


def _pairing(book: Book, ids: Ids) -> Touched:
    mate = mothers.Mate(Sire.UNKNOWN)
    return mothers.record_pairing(
        book, LATER, dam_id=ids.moth, mate=mate, evening=on(5, 29)
    )


def _eggs(book: Book, ids: Ids) -> Touched:
    mother = mothers.keep_female(book, LATER, night_id=ids.night, taxon="Aglia tau")
    # the first eggs of a female open brood, pot and stay all at once
    return eggs.record_eggs(
        book,
        LATER,
        parents=eggs.Parents(mother.new_id),
        evening=on(5, 29),
        number=12,
        pot=eggs.Pot(place_id=ids.shelf),
    )


def _correct(book: Book, ids: Ids) -> Touched:
    return eggs.correct_eggs(
        book, LATER, laying_id=ids.laying, number=44, quality=Quality.ABOUT
    )


def _fate(book: Book, ids: Ids) -> Touched:
    return eggs.record_fate(
        book,
        LATER,
        pot_id=ids.pot,
        fate=EggFate.HATCHED,
        number=9,
        on=on(6, 12),
        sure=True,
    )


def _close_pot(book: Book, ids: Ids) -> Touched:
    return eggs.close_pot(book, LATER, pot_id=ids.pot, on=on(6, 20))


def _on_leaf(book: Book, ids: Ids) -> Touched:
    new = housing.NewBox(BoxKind.BOTTLE, ids.shelf)
    return housing.put_on_leaf(
        book,
        LATER,
        pot_id=ids.pot,
        number=13,
        into=housing.Into(new=new, leaf="pear"),
        when=when(6, 12),
        sure=True,
    )


def _split(book: Book, ids: Ids) -> Touched:
    new = housing.NewBox(BoxKind.BOTTLE, ids.shelf)
    return housing.move_into_new(
        book, LATER, box_id=ids.box, number=4, into=new, when=when(6, 12)
    )


def _open_box(book: Book, ids: Ids) -> Touched:
    return boxes.open_box(
        book,
        LATER,
        brood_id=ids.brood,
        kind=BoxKind.BOX,
        place_id=ids.hall,
        when=when(6, 12),
    )


def _move(book: Book, ids: Ids) -> Touched:
    return boxes.move_animals(
        book,
        LATER,
        origin=boxes.Origin(pot_id=ids.pot),
        to_box_id=ids.box,
        number=4,
        when=when(6, 12),
    )


def _shift(book: Book, ids: Ids) -> Touched:
    return boxes.shift(book, LATER, place_id=ids.shelf, at=at(6, 15), box_id=ids.box)


def _close_box(book: Book, ids: Ids) -> Touched:
    return boxes.close_box(book, LATER, box_id=ids.box, when=when(6, 15))


def _visit(book: Book, ids: Ids) -> Touched:
    return care.visit(book, LATER, what=Visit.FED, when=when(6, 15), box_id=ids.box)


def _count(book: Book, ids: Ids) -> Touched:
    return care.count_box(
        book,
        LATER,
        box_id=ids.box,
        number=27,
        when=when(6, 15),
        losses=[care.Lost(2, Cause.HEAT)],
    )


def _look(book: Book, ids: Ids) -> Touched:
    seen = {Stage.L1: care.Seen(4, 1), Stage.L2: care.Seen(6)}
    return care.look_at_stages(book, LATER, box_id=ids.box, seen=seen, when=when(6, 15))


def _lose(book: Book, ids: Ids) -> Touched:
    lost = care.Lost(2, Cause.HEAT)
    return care.lose(book, LATER, box_id=ids.box, lost=lost, when=when(6, 15))


def _leave(book: Book, ids: Ids) -> Touched:
    return care.let_leave(
        book,
        LATER,
        box_id=ids.box,
        kind=ExitKind.GIVEN,
        number=2,
        when=when(6, 15),
    )


def _tree(book: Book, _: Ids) -> Touched:
    return leaf.add_tree(book, LATER, name="By the well", host="pear")


def _close_tree(book: Book, ids: Ids) -> Touched:
    tree = _tree(book, ids).new_id
    return leaf.close_tree(
        book, LATER, tree_id=tree, since=on(6, 1), until=on(6, 9), why="sprayed"
    )


def _cut(book: Book, _: Ids) -> Touched:
    return leaf.cut_leaf(book, LATER, host="pear", on=on(6, 12))


def _reopen(book: Book, ids: Ids) -> Touched:
    tree = _tree(book, ids).new_id
    leaf.close_tree(
        book, LATER, tree_id=tree, since=on(6, 1), until=on(6, 9), why="sprayed"
    )
    return leaf.reopen_tree(book, LATER, tree_id=tree, on=on(6, 5))


def _sign(book: Book, ids: Ids) -> Touched:
    tree = _tree(book, ids).new_id
    return leaf.note_sign(
        book, LATER, tree_id=tree, sign=TreeSign.BUD_BURST, on=on(4, 23)
    )


def _thrown(book: Book, ids: Ids) -> Touched:
    cut = _cut(book, ids).new_id
    return leaf.throw_away(book, LATER, cut_id=cut, on=on(6, 15))


def _test(book: Book, ids: Ids) -> Touched:
    tree = _tree(book, ids).new_id
    return leaf_tests.begin_test(
        book, LATER, tree_id=tree, begun_on=on(6, 12), box_id=ids.box
    )


def _judged(book: Book, ids: Ids) -> Touched:
    test = _test(book, ids).new_id
    return leaf_tests.judge_test(book, LATER, test_id=test, alive=1, on=on(6, 14))


VERBS: dict[Callable[..., Touched], Verb] = {
    lamp.add_site: _site,
    lamp.record_night: _night,
    lamp.record_outage: _outage,
    lamp.record_check: _check,
    lamp.record_arrival: _arrival,
    lamp.count_at_sheet: _at_sheet,
    lamp.redetermine: _second_look,
    lamp.redetermine_moth: _second_look_moth,
    mothers.keep_female: _female,
    mothers.record_emergence: _emergence,
    mothers.let_go: _let_go,
    mothers.set_mated: _mated,
    mothers.record_pairing: _pairing,
    eggs.record_eggs: _eggs,
    eggs.correct_eggs: _correct,
    eggs.record_fate: _fate,
    eggs.close_pot: _close_pot,
    housing.put_on_leaf: _on_leaf,
    housing.move_into_new: _split,
    boxes.open_box: _open_box,
    boxes.move_animals: _move,
    boxes.shift: _shift,
    boxes.close_box: _close_box,
    care.visit: _visit,
    care.count_box: _count,
    care.look_at_stages: _look,
    care.lose: _lose,
    care.let_leave: _leave,
    leaf.add_tree: _tree,
    leaf.close_tree: _close_tree,
    leaf.reopen_tree: _reopen,
    leaf.note_sign: _sign,
    leaf.cut_leaf: _cut,
    leaf.throw_away: _thrown,
    leaf_tests.begin_test: _test,
    leaf_tests.judge_test: _judged,
    **MORE_VERBS,
}


def _writes(module: ModuleType) -> set[Callable[..., Touched]]:
    return {
        thing
        for name, thing in inspect.getmembers(module, inspect.isfunction)
        if thing.__module__ == module.__name__
        and not name.startswith("_")
        and inspect.signature(thing).return_annotation == "Touched"
    }


def test_every_verb_of_every_module_that_writes_is_tried_here() -> None:
    names = {
        name
        for _, name, _ in pkgutil.iter_modules(keeping.__path__)
        if "book.change(" in Path(keeping.__path__[0], f"{name}.py").read_text("utf-8")
    }
    assert names > ELSEWHERE
    for name in names:
        module = importlib.import_module(f"{keeping.__name__}.{name}")
        assert _writes(module), name
        assert _writes(module) <= set(VERBS) or name in ELSEWHERE, name


@pytest.mark.parametrize("verb", VERBS.values(), ids=[verb.__name__ for verb in VERBS])
def test_taking_back_leaves_the_book_as_before(
    book: Book, ids: Ids, verb: Verb
) -> None:
    before, lines = picture(book), len(book.journal())
    touched = verb(book, ids)
    after = picture(book)
    assert touched.sentence == said(book)
    # a few need another entry first, which is taken back with them
    entries = len(book.journal()) - lines
    for number in range(entries):
        book.take_back(LATER)
        assert number or picture(book) != after
    assert picture(book) == before
    assert said(book).startswith("Taken back: ")
    for _ in range(entries):
        book.do_again(LATER)
    assert picture(book) == after
