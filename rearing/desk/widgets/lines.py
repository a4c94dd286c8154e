"""What a ruled line says: plain values that the ruled list draws."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING

from rearing.desk.widgets.marks import Mark

if TYPE_CHECKING:
    from collections.abc import Hashable


class Ink(Enum):
    """The hand a column is written in."""

    CODE = auto()
    SPECIES = auto()
    VERB = auto()
    TEXT = auto()
    NUMBER = auto()
    KNOWN = auto()


class State(Enum):
    """How a line stands: due, done (struck out), resting (hatched), or plain.

    Answered is over too, without what was asked for: not struck out. Quiet asks for
    nothing at all.
    """

    PLAIN = auto()
    DUE = auto()
    DONE = auto()
    ANSWERED = auto()
    QUIET = auto()
    REST = auto()


OVER = frozenset({State.DONE, State.ANSWERED})
"""Lines at which nothing is left to do; they stand back."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column; `stretch` takes the room left, and moves to a second row first."""

    name: str
    ink: Ink
    stretch: bool = False

    @property
    def right(self) -> bool:
        """Numbers stand on the right of their column."""
        return self.ink is Ink.NUMBER


@dataclass(frozen=True, slots=True)
class Pencil:
    """A cell that is expected, not seen: written in italic."""

    text: str


Cell = str | Pencil


@dataclass(frozen=True, slots=True)
class KeyOffer:
    """A key the current line answers to: the cap's letters, the word beside it.

    `answers` are the typed characters that mean it (a digit range, say); without
    them a cap of one letter means itself, and a longer one (Enter) no character.
    One that is `unseen` answers all the same; it stands in the list of keys.
    """

    cap: str
    word: str
    quiet: bool = False
    answers: str = ""
    unseen: bool = False

    def takes(self, typed: str) -> bool:
        """Tell whether a typed character means this key."""
        answers = self.answers or (self.cap if len(self.cap) == 1 else "")
        return bool(typed) and typed.casefold() in answers.casefold()


@dataclass(frozen=True, slots=True)
class Line:
    """One ruled line.

    `key` finds it again after a refresh; `group` and `group_note` stand in the margin
    of its first line; `heading` stands above the line where others begin; `until`
    replaces the last columns of a resting line; `sentence` is what a screen reader
    says.
    """

    key: Hashable
    cells: tuple[Cell, ...]
    sentence: str
    group: str = ""
    group_note: str = ""
    mark: Mark = Mark.NONE
    state: State = State.PLAIN
    alarm: bool = False
    until: str = ""
    keys: tuple[KeyOffer, ...] = ()
    heading: str = ""


def cell_text(cell: Cell) -> str:
    """Return the words of a cell, seen or expected."""
    return cell.text if isinstance(cell, Pencil) else cell
