"""The codes on labels: W21-05 a wild female, B21-07 a brood, never used twice."""

from __future__ import annotations

import re
import string
from typing import TYPE_CHECKING

from rearing.problems import Refusal
from rearing.records.rows import BoxRow, BroodRow, EggPotRow, MothRow
from rearing.records.tables import Box, EggPot, Moth

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.records.book import Writing
    from rearing.terms import Sex

_CODE = re.compile(r"^([A-Z])(\d\d)-(\d+)$")


def next_code(letter: str, year: int, taken: Iterable[str]) -> str:
    """Return the code after the highest of this letter and year."""
    numbers = [
        int(match[3])
        for match in map(_CODE.match, taken)
        if match and match[1] == letter and int(match[2]) == year % 100
    ]
    return f"{letter}{year % 100:02d}-{max(numbers, default=0) + 1:02d}"


def wild_code(pen: Writing, wanted: str) -> str:
    """Return the wanted code of a wild moth if it is free."""
    return _free(wanted, {moth.code for moth in pen.all(MothRow)})


def brood_code(pen: Writing, year: int, wanted: str | None) -> str:
    """Return the next code of a brood, or the wanted one if it is free."""
    taken = {brood.code for brood in pen.all(BroodRow)}
    return _free(wanted, taken) if wanted else next_code("B", year, taken)


def reared_code(pen: Writing, brood: BroodRow, sex: Sex) -> str:
    """Return the next code of an adult of a brood: B20-02/♀05."""
    stem = f"{brood.code}/{sex.sign}"
    taken = [
        int(moth.code.removeprefix(stem))
        for moth in pen.all(MothRow, Moth.brood_id == brood.id)
        if moth.code.startswith(stem) and moth.code.removeprefix(stem).isdigit()
    ]
    return f"{stem}{max(taken, default=0) + 1:02d}"


def box_label(pen: Writing, brood_id: int, wanted: str | None) -> str:
    """Return the next free letter of a brood's boxes, or the wanted label."""
    taken = {box.label for box in pen.all(BoxRow, Box.brood_id == brood_id)}
    if wanted:
        return _free(wanted, taken)
    letters: list[str] = [
        *string.ascii_uppercase,
        *(f"A{x}" for x in string.ascii_uppercase),
    ]
    return next(letter for letter in letters if letter not in taken)


def pot_label(pen: Writing, brood_id: int) -> str:
    """Return the next number of a brood's egg pots."""
    taken = pen.all(EggPotRow, EggPot.brood_id == brood_id)
    numbers = [int(pot.label) for pot in taken if pot.label.isdigit()]
    return str(max(numbers, default=0) + 1)


def _free(wanted: str, taken: Iterable[str]) -> str:
    if wanted in taken:
        raise Refusal(
            f"{wanted} is used already; a code is never used twice.", field="code"
        )
    return wanted
