"""What the current line grows by: its reason told in full, and the keys it offers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtGui import QFontMetricsF

from rearing.desk.widgets.line_layout import cell_face, key_rows
from rearing.desk.widgets.lines import cell_text
from rearing.desk.widgets.writing import wrap

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.theme import Look
    from rearing.desk.widgets.line_layout import LineLayout, Slot
    from rearing.desk.widgets.lines import Column, KeyOffer, Line


@dataclass(frozen=True, slots=True)
class Growth:
    """The rows of a grown line under its first: columns, the whole reason, keys.

    `told` is the column whose words are written out in `full` instead of its slot.
    """

    below: tuple[tuple[Slot, ...], ...]
    full: tuple[str, ...]
    told: int | None
    keys: tuple[tuple[tuple[KeyOffer, float], ...], ...]

    def height(self, places: LineLayout) -> int:
        """Return the height of the whole line."""
        rows = len(self.below) + len(self.full)
        keys = len(self.keys) * places.key_height
        return places.line_height + rows * places.below_height + keys


def grow(
    line: Line, columns: Sequence[Column], places: LineLayout, look: Look
) -> Growth:
    """Return what a line shows when it is the current one."""
    room = places.width - places.first[0].x - max(places.edge, look.px(8))
    keys = key_rows(line.keys, look, room)
    for row in (places.first, *places.below):
        for slot in row:
            if not columns[slot.column].stretch:
                continue
            cell = line.cells[slot.column]
            face = cell_face(look, columns[slot.column].ink, cell, line.state)
            text = cell_text(cell)
            if QFontMetricsF(face).horizontalAdvance(text) > slot.width + 1:
                below = tuple(r for r in places.below if r != (slot,))
                return Growth(below, wrap(text, face, room), slot.column, keys)
    return Growth(places.below, (), None, keys)
