"""Looking a book over: is the file sound, do the numbers of every brood add up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.broods import brood_page
from rearing.keeping.moments import counted
from rearing.keeping.photos import pictures_spoken_of
from rearing.records.pictures import folder_of, look_over
from rearing.records.rows import BroodRow

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.commands.paper import Paper
    from rearing.keeping.broods import Numbers
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

SOUND, UNSOUND = 0, 1


def write_check(book: Book, shelf: SheetShelf, on: dt.date, paper: Paper) -> int:
    """Write what is sound and what isn't; return 0 when nothing is wrong, else 1."""
    faults = book.unsound()
    # A brood's numbers mean nothing where lines of the file are broken.
    begun = [] if faults else _begun(book, on)
    unbalanced = _unbalanced(book, shelf, begun, on)
    troubles = [trouble.sentence for trouble in shelf.troubles]
    paper.line(f"{book.path.name}, up to {on.isoformat()}")
    broods = counted(len(begun), "brood")
    _part(paper, "File", faults, "sound, and every line points at one that is there")
    if not faults:
        _part(
            paper,
            "Eggs and larvae",
            unbalanced,
            f"{broods}, every animal in exactly one place",
        )
    _part(paper, "Species sheets", troubles, f"{len(shelf.names)}, every one readable")
    pictures = [] if faults else _pictures(book, paper)
    wrong = len(faults) + len(unbalanced) + len(troubles) + len(pictures)
    paper.line("Nothing is wrong." if not wrong else f"{wrong} found wrong.")
    return UNSOUND if wrong else SOUND


def _pictures(book: Book, paper: Paper) -> list[str]:
    """Write which pictures are missing or altered; a file too many is no fault."""
    spoken_of = pictures_spoken_of(book)
    found = look_over(book.path, spoken_of)
    folder = folder_of(book.path).name
    wrong = [f"{name} is missing from {folder}." for name in found.missing]
    wrong += [f"{name} is not what was put in." for name in found.altered]
    many = counted(len(spoken_of), "picture")
    _part(paper, "Pictures", wrong, f"{many}, every one as it was put in")
    for name in found.without_row:
        said = f"{name} lies in {folder} and the book does not speak of it."
        paper.paragraph(said, indent=4, later=2)
    return wrong


def _begun(book: Book, on: dt.date) -> list[BroodRow]:
    return [row for row in book.all(BroodRow) if row.opened_on <= on]


def _part(paper: Paper, name: str, wrong: Sequence[str], right: str) -> None:
    paper.line(f"{name + ':':<17}{right if not wrong else f'{len(wrong)} wrong'}")
    for fault in wrong:
        paper.paragraph(fault, indent=4, later=2)


def _unbalanced(
    book: Book, shelf: SheetShelf, begun: Sequence[BroodRow], on: dt.date
) -> list[str]:
    found: list[str] = []
    moved = 0
    for row in begun:
        try:
            numbers = brood_page(book, shelf, row.id, on).numbers
        except ValueError as impossible:
            found.append(f"{row.code}: {impossible}")
            continue
        moved += numbers.mixed_in
        found += _wrong_in(row.code, numbers)
    if moved:
        found.append(
            f"Moves between broods leave {moved} animals over that came from nowhere."
        )
    return found


def _wrong_in(code: str, one: Numbers) -> list[str]:
    found = []
    if not one.is_balanced:
        found.append(
            f"{code}: {one.eggs} eggs, {one.hatched} hatched, {one.waiting} waiting, "
            f"{one.alive} alive, {one.unaccounted} unaccounted do not add up."
        )
    if one.waiting < 0:
        found.append(
            f"{code}: fates are entered for {-one.waiting} more eggs than were laid."
        )
    if one.in_pots < 0:
        found.append(f"{code}: {-one.in_pots} more were put on leaf than hatched.")
    below = {"hatched": one.hatched, "alive": one.alive}
    found += [f"{code}: {n} {what} is no number." for what, n in below.items() if n < 0]
    return found
