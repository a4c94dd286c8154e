"""The list of places, whose keys also move the span through time and the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal

from rearing.desk.widgets.margin import FieldSheet
from rearing.desk.widgets.ruled_list import RuledList

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

_PLAIN = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.KeypadModifier,
)


class PlaceSheet(FieldSheet):
    """The page's sheet, which its list of places scrolls."""

    def leaf(self, way: int) -> None:
        """Scroll most of a page down (1) or up (-1)."""
        bar = self.verticalScrollBar()
        bar.setValue(bar.value() + way * bar.pageStep() * 3 // 4)


class PlaceList(RuledList):
    """A ruled list that asks for an earlier or later span, or to scroll its page."""

    span_asked = Signal(int)
    scroll_asked = Signal(int)

    def grown_row(self) -> int:
        """Show the chosen place grown always: what stands below is about it."""
        return self.currentIndex().row()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        ways = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        leaps = {Qt.Key.Key_PageUp: -1, Qt.Key.Key_PageDown: 1}
        key = Qt.Key(event.key())
        plain = event.modifiers() in _PLAIN
        if plain and key in ways:
            self.span_asked.emit(ways[key])
        elif plain and key in leaps:
            self.scroll_asked.emit(leaps[key])
        else:
            super().keyPressEvent(event)
