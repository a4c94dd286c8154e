"""The round's ruled list, with the keys that mean the same on every line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal

from rearing.desk.widgets.lines import State
from rearing.desk.widgets.ruled_list import RuledList

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent, QMouseEvent


_OPENING = {Qt.Key.Key_Right, Qt.Key.Key_O}


class RoundList(RuledList):
    """A ruled list that walks on with Space too; → opens a line, A shows everything."""

    open_asked = Signal(object)
    everything_asked = Signal()

    def go_on(self) -> bool:
        """Go to the next due line, from the top again after the last; False: none."""
        if self.go_next_due():
            return True
        for line in self.lines():
            if line.state is State.DUE and line.key != self.current_key():
                return self.set_current(line.key)
        return False

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        line = self.current_line()
        if line is not None:
            self.open_asked.emit(line.key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = event.modifiers() in {
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.KeypadModifier,
        }
        line = self.current_line()
        if plain and line is not None and event.key() in _OPENING:
            self.open_asked.emit(line.key)
        elif plain and line is not None and event.key() == Qt.Key.Key_Space:
            self.chosen.emit(line.key)
        elif plain and event.key() == Qt.Key.Key_A:
            self.everything_asked.emit()
        else:
            super().keyPressEvent(event)
