"""What notes and photos stand beside: its name, and what belongs to its page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.moments import day_words
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import (
    BoxRow,
    BroodRow,
    EggPotRow,
    LampNightRow,
    MothRow,
    TreeRow,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rearing.records.book import Book

SUBJECTS = frozenset({"box", "brood", "moth", "egg_pot", "tree", "lamp_night"})

Thing = tuple[str, int]


def refuse_unknown(subject: str) -> None:
    """Raise for a kind of thing beside which nothing can stand: a mistake of ours."""
    if subject not in SUBJECTS:
        raise ValueError(f"nothing called {subject} carries notes or photos")


def name_of(book: Book, subject: str, subject_id: int) -> str:
    """Return what a thing is called on its label; refuse one that is gone."""
    refuse_unknown(subject)
    if subject == "box":
        box = book.one(BoxRow, subject_id)
        return f"{book.one(BroodRow, box.brood_id).code} {box.label}"
    if subject == "egg_pot":
        pot = book.one(EggPotRow, subject_id)
        return f"{book.one(BroodRow, pot.brood_id).code} pot {pot.label}"
    if subject == "lamp_night":
        evening = book.one(LampNightRow, subject_id).evening
        return f"the night of {day_words(evening)}"
    if subject == "tree":
        return book.one(TreeRow, subject_id).name
    if subject == "brood":
        return book.one(BroodRow, subject_id).code
    return book.one(MothRow, subject_id).code


def around(book: Book, subject: str, subject_id: int) -> Mapping[Thing, str]:
    """Return what belongs to a thing's page, itself first, each as it is called there.

    A brood's page holds its boxes and pots, closed ones too, its mother and its own
    moths; a female's holds her pots. The thing itself has no name there.
    """
    refuse_unknown(subject)
    found: dict[Thing, str] = {(subject, subject_id): ""}
    if subject == "brood":
        row = book.find(BroodRow, t.Brood.id == subject_id)
        if row is None:
            raise Refusal("That brood is no longer in the book.")
        boxes = book.all(BoxRow, t.Box.brood_id == subject_id)
        found |= {("box", box.id): box.label for box in boxes}
        found |= _pots(book, [subject_id])
        moths = book.all(
            MothRow,
            (t.Moth.brood_id == subject_id) | (t.Moth.id == row.mother_id),
        )
        found |= {("moth", moth.id): moth.code for moth in moths}
    elif subject == "moth":
        hers = book.all(BroodRow, t.Brood.mother_id == subject_id)
        found |= _pots(book, [brood.id for brood in hers])
    return found


def page_of(book: Book, subject: str, subject_id: int) -> Thing:
    """Return the thing on whose page another is read: a box's or a pot's brood."""
    if subject == "box":
        return "brood", book.one(BoxRow, subject_id).brood_id
    if subject == "egg_pot":
        return "brood", book.one(EggPotRow, subject_id).brood_id
    return subject, subject_id


def _pots(book: Book, broods: list[int]) -> dict[Thing, str]:
    pots = book.all(EggPotRow, t.EggPot.brood_id.in_(broods))
    return {("egg_pot", pot.id): f"pot {pot.label}" for pot in pots}


def shortened(words: str, *, most: int = 60) -> str:
    """Return the first words of a text, with dots where it goes on."""
    flat = " ".join(words.split())
    if len(flat) <= most:
        return flat
    return f"{flat[:most].rsplit(' ', 1)[0].rstrip(' ,;:.')} …"
