"""Ruled lists that leave the page its keys: an index, and lines within a sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea

from rearing.desk.widgets.ruled_list import RuledList

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QFocusEvent, QKeyEvent
    from PySide6.QtWidgets import QWidget

    from rearing.desk.theme import Theme
    from rearing.desk.widgets.lines import Column

_COMMANDS = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_SHEET_KEYS = {
    Qt.Key.Key_PageUp,
    Qt.Key.Key_PageDown,
    Qt.Key.Key_Home,
    Qt.Key.Key_End,
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
}


def is_letter(event: QKeyEvent) -> bool:
    """Tell whether a key types something that a page may answer to."""
    typed = event.text()
    return bool(typed) and typed.isprintable() and not event.modifiers() & _COMMANDS


class IndexList(RuledList):
    """The index of a spread: arrows turn the sheet beside it, letters go to the page.

    `chosen(key)` asks to go into the sheet: Enter, a double click, or the right arrow.
    """

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.modifiers() & _COMMANDS:
            event.ignore()
        elif event.key() == Qt.Key.Key_Right:
            self._go_in()
        elif is_letter(event) or event.key() == Qt.Key.Key_Left:
            event.ignore()
        else:
            super().keyPressEvent(event)

    def _go_in(self) -> None:
        if self.current_key() is not None:
            self.chosen.emit(self.current_key())


class PartList(RuledList):
    """Lines within a sheet: at their ends, and for paging, the sheet has the keys."""

    def __init__(
        self,
        theme: Theme,
        columns: Sequence[Column],
        name: str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(theme, columns, name, parent, whole=True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if (
            event.modifiers() & _COMMANDS
            or event.key() in _SHEET_KEYS
            or self._at_an_end(event.key())
            or self._is_for_the_page(event)
        ):
            event.ignore()
        else:
            super().keyPressEvent(event)
            # not at every change of line: a refresh must leave the sheet where it is
            self.keep_in_sight()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.keep_in_sight()

    def keep_in_sight(self) -> None:
        """Scroll the sheet so that the current line and its keys are seen."""
        if not self.hasFocus() or not self.currentIndex().isValid():
            return
        parent = self.parentWidget()
        while parent is not None and not isinstance(parent, QScrollArea):
            parent = parent.parentWidget()
        ground = parent.widget() if isinstance(parent, QScrollArea) else None
        if isinstance(parent, QScrollArea) and ground is not None:
            self.doItemsLayout()
            line = self.visualRect(self.currentIndex())
            for corner in (line.bottomLeft(), line.topLeft()):
                at = self.mapTo(ground, corner)
                parent.ensureVisible(at.x(), at.y(), 0, self.look().px(12))

    def _at_an_end(self, key: int) -> bool:
        row, last = self.currentIndex().row(), len(self.lines()) - 1
        if key == Qt.Key.Key_Up:
            return row <= 0
        return key == Qt.Key.Key_Down and row >= last

    def _is_for_the_page(self, event: QKeyEvent) -> bool:
        line = self.current_line()
        if line is None or event.key() in _ENTER:
            return line is None
        offered = any(offer.takes(event.text()) for offer in line.keys)
        return is_letter(event) and not offered
