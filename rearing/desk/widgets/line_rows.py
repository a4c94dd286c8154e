"""The rows a ruled line is written in: what is too long goes on in the next."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtGui import QFontMetricsF

from rearing.desk.widgets.line_layout import cell_face
from rearing.desk.widgets.lines import Ink, State, cell_text
from rearing.desk.widgets.writing import wrap

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.theme import Look
    from rearing.desk.widgets.line_layout import LineLayout, Slot
    from rearing.desk.widgets.lines import Column, Line

Row = tuple[tuple["Slot", str], ...]
"""What stands side by side: each piece of text with its place."""


def rows_of(
    line: Line, columns: Sequence[Column], places: LineLayout, look: Look
) -> tuple[Row, ...]:
    """Return the rows of a line; words too long for their column go on below.

    A row in which nothing would stand is left out, but never the first.
    """
    first = beside_until(line, columns, places, look)
    top, *more = _rows(line, first, columns, look)
    for slots in places.below:
        more += [row for row in _rows(line, slots, columns, look) if row]
    return (top, *more)


def _rows(
    line: Line, slots: Sequence[Slot], columns: Sequence[Column], look: Look
) -> list[Row]:
    top: list[tuple[Slot, str]] = []
    more: list[Row] = []
    for slot in slots:
        cell = line.cells[slot.column]
        text = cell_text(cell)
        if not text:
            continue
        pieces: tuple[str, ...] = (text,)
        if columns[slot.column].stretch:
            face = cell_face(look, columns[slot.column].ink, cell, line.state)
            if QFontMetricsF(face).horizontalAdvance(text) > slot.width + 1:
                pieces = wrap(text, face, slot.width) or pieces
        top.append((slot, pieces[0]))
        more += [((slot, piece),) for piece in pieces[1:]]
    return [tuple(top), *more]


def beside_until(
    line: Line, columns: Sequence[Column], places: LineLayout, look: Look
) -> tuple[Slot, ...]:
    """Return the first row's slots, those of a resting line clear of when it ends."""
    if line.state is not State.REST or not line.until:
        return places.first
    end = places.width - until_edge(places, look) - look.px(12)
    end -= QFontMetricsF(look.faces.pencil_strong).horizontalAdvance(line.until)
    inks = {slot.column: columns[slot.column].ink for slot in places.first}
    kept = [s for s in places.first if inks[s.column] not in {Ink.NUMBER, Ink.KNOWN}]
    verb = next((s for s in kept if inks[s.column] is Ink.VERB), None)
    species = next((s for s in kept if inks[s.column] is Ink.SPECIES), None)
    if verb and species and end - verb.x < _wide(line, verb, look):
        # what to do is worth more than the species, which the code says too
        kept = [s for s in kept if s not in {verb, species}]
        kept.append(replace(verb, x=species.x, width=verb.x + verb.width - species.x))
    return tuple(replace(s, width=max(min(s.width, end - s.x), 0.0)) for s in kept)


def _wide(line: Line, slot: Slot, look: Look) -> float:
    cell = line.cells[slot.column]
    face = cell_face(look, Ink.VERB, cell, line.state)
    return QFontMetricsF(face).horizontalAdvance(cell_text(cell))


def until_edge(places: LineLayout, look: Look) -> float:
    """Return what is left free to the right of when a rest ends."""
    return look.px(2) + places.edge
