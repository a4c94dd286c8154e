"""Where the columns of ruled lines stand, measured from what is written in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtGui import QFont, QFontMetricsF

from rearing.desk.widgets.lines import Column, Ink, Line, Pencil, State, cell_text
from rearing.desk.widgets.marks import Mark, keycap_width

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.theme import Look
    from rearing.desk.widgets.lines import Cell, KeyOffer

_LEAST_STRETCH_LETTERS = 30
_WIDEST_COLUMN_SHARE = 0.4
_WIDEST_MARGIN_SHARE = 0.26


@dataclass(frozen=True, slots=True)
class Slot:
    """One column's place: x from the row's left edge, width, in pixels."""

    column: int
    x: float
    width: float


@dataclass(frozen=True, slots=True)
class LineLayout:
    """The places common to all lines of a list at one width and text size."""

    margin: float
    body: float
    mark: float
    first: tuple[Slot, ...]
    below: tuple[tuple[Slot, ...], ...]
    line_height: int
    below_height: int
    key_height: int
    width: float
    edge: float = 0.0
    """Left free at the right, before a scroll bar."""


def cell_face(look: Look, ink: Ink, cell: Cell, state: State) -> QFont:
    """Return the face a cell is written in."""
    faces = look.faces
    if state is State.REST:
        return _rest_face(look, ink)
    if isinstance(cell, Pencil):
        return faces.pencil_small if ink is Ink.KNOWN else faces.pencil
    if ink is Ink.VERB and state in {State.DONE, State.ANSWERED, State.QUIET}:
        return faces.verb_struck
    return {
        Ink.CODE: faces.code_line,
        Ink.SPECIES: faces.species,
        Ink.VERB: faces.verb,
        Ink.TEXT: faces.body,
        Ink.NUMBER: faces.numeral,
        Ink.KNOWN: faces.small,
    }[ink]


def _rest_face(look: Look, ink: Ink) -> QFont:
    if ink is Ink.CODE:
        return look.faces.code_quiet
    return look.faces.species if ink in {Ink.VERB, Ink.SPECIES} else look.faces.pencil


def lay_out(
    columns: Sequence[Column],
    lines: Sequence[Line],
    look: Look,
    width: float,
    *,
    edge: float = 0.0,
) -> LineLayout:
    """Measure the columns and share out `width`; what does not fit goes below.

    `edge` is left free at the right.
    """
    margin = _margin(lines, look, width)
    body = margin + look.px(9) if margin else 0.0
    marked = any(line.mark is not Mark.NONE for line in lines)
    text_from = body + look.px(35 if marked else 14)
    room = max(width - text_from - edge, 1.0)
    wide = _widths(columns, lines, look, room)
    first, *below = _rows(columns, wide, look, room, _least(columns, lines, look))
    return LineLayout(
        margin=margin,
        body=body,
        mark=body + look.px(8),
        first=_place(columns, first, wide, text_from, room, look),
        below=tuple(_place(columns, row, wide, text_from, room, look) for row in below),
        line_height=look.px(29),
        below_height=look.px(24),
        key_height=look.px(32),
        width=width,
        edge=edge,
    )


def _margin(lines: Sequence[Line], look: Look, width: float) -> float:
    heads = {(line.group, line.group_note) for line in lines if line.group}
    if not heads:
        return 0.0
    name, note = QFontMetricsF(look.faces.section), QFontMetricsF(look.faces.small)
    longest = max(
        name.horizontalAdvance(group)
        + (note.horizontalAdvance(after) + look.px(7) if after else 0)
        for group, after in heads
    )
    wanted = max(longest + look.px(12), float(look.px(112)))
    return min(wanted, max(width * _WIDEST_MARGIN_SHARE, float(look.px(40))))


def _widths(
    columns: Sequence[Column], lines: Sequence[Line], look: Look, room: float
) -> list[float]:
    wide = [0.0] * len(columns)
    seen: set[tuple[int, str, State]] = set()
    metrics: dict[str, QFontMetricsF] = {}
    for line in lines:
        for at, (column, cell) in enumerate(zip(columns, line.cells, strict=True)):
            text = cell_text(cell)
            if column.stretch or (at, text, line.state) in seen:
                continue
            seen.add((at, text, line.state))
            face = cell_face(look, column.ink, cell, line.state)
            ruler = metrics.setdefault(face.key(), QFontMetricsF(face))
            wide[at] = max(wide[at], ruler.horizontalAdvance(text) + 1)
    most = room * _WIDEST_COLUMN_SHARE
    return [min(one, most) for one in wide]


def _gap(column: Column, look: Look) -> float:
    return look.px(8 if column.right else 18)


def _least(columns: Sequence[Column], lines: Sequence[Line], look: Look) -> float:
    """Return what the stretched column needs in the first row: less for few words."""
    face = QFontMetricsF(look.faces.body)
    most = _LEAST_STRETCH_LETTERS * face.averageCharWidth()
    widest = 0.0
    for at, column in enumerate(columns):
        texts = {cell_text(x.cells[at]) for x in lines} if column.stretch else set()
        if any(len(text) >= _LEAST_STRETCH_LETTERS for text in texts):
            return most
        widest = max(widest, *map(face.horizontalAdvance, texts), 0.0)
    return min(widest + 1, most)


def _rows(
    columns: Sequence[Column],
    wide: Sequence[float],
    look: Look,
    room: float,
    least: float,
) -> list[list[int]]:
    """Choose each row's columns: the stretch leaves the first row before others."""

    def needed(row: Sequence[int]) -> float:
        return sum(
            (least if columns[at].stretch else wide[at])
            + (_gap(columns[at], look) if at != row[-1] else 0)
            for at in row
        )

    first = list(range(len(columns)))
    stretch = [at for at in first if columns[at].stretch]
    droppable = stretch + [at for at in reversed(first[1:]) if at not in stretch]
    dropped: list[int] = []
    while droppable and needed(first) > room:
        at = droppable.pop(0)
        first.remove(at)
        dropped.append(at)
    rows = [first, *([at] for at in stretch if at in dropped)]
    row: list[int] = []
    for at in sorted(set(dropped) - set(stretch)):
        if row and needed([*row, at]) > room:
            rows.append(row)
            row = []
        row.append(at)
    return [*rows, row] if row else rows


def _place(
    columns: Sequence[Column],
    row: Sequence[int],
    wide: Sequence[float],
    text_from: float,
    room: float,
    look: Look,
) -> tuple[Slot, ...]:
    fixed = sum(
        (0 if columns[at].stretch else wide[at])
        + (_gap(columns[at], look) if at != row[-1] else 0)
        for at in row
    )
    spare = max(room - fixed, 0.0)
    slots: list[Slot] = []
    x = text_from
    for at in row:
        width = spare if columns[at].stretch else wide[at]
        width = max(min(width, text_from + room - x), 0.0)
        slots.append(Slot(at, x, width))
        x += width + _gap(columns[at], look)
    return tuple(slots)


def key_rows(
    keys: Sequence[KeyOffer], look: Look, room: float
) -> tuple[tuple[tuple[KeyOffer, float], ...], ...]:
    """Return the offered keys in rows that fit `room`, each with its x."""
    ruler = QFontMetricsF(look.faces.body)
    rows: list[tuple[tuple[KeyOffer, float], ...]] = []
    row: list[tuple[KeyOffer, float]] = []
    x = 0.0
    for offer in keys:
        if offer.unseen:
            continue
        wide = keycap_width(look, offer.cap) + look.px(5)
        wide += ruler.horizontalAdvance(offer.word)
        if row and x + wide > room:
            rows.append(tuple(row))
            row, x = [], 0.0
        row.append((offer, x))
        x += wide + look.px(15)
    if row:
        rows.append(tuple(row))
    return tuple(rows)
