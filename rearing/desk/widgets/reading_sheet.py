"""A field-book sheet that is read with the keys: arrows, pages, first and last."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QAbstractSlider, QWidget

from rearing.desk.widgets.margin import FieldSheet

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from PySide6.QtGui import QKeyEvent, QPaintEvent

    from rearing.desk.theme import Theme

_TURNS = {Qt.Key.Key_Left, Qt.Key.Key_Right}
_ENDS = {
    Qt.Key.Key_Home: QAbstractSlider.SliderAction.SliderToMinimum,
    Qt.Key.Key_End: QAbstractSlider.SliderAction.SliderToMaximum,
}


class ReadingSheet(FieldSheet):
    """A sheet whose sections stay in place; one with nothing to say is hidden.

    `turned(step)` asks for the sheet before (−1) or after (+1): ← and →.
    """

    turned = Signal(int)

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(theme, name, parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def arrange(self, sections: Sequence[tuple[str, QWidget]]) -> None:
        """Put the sections in their order, once."""
        self.set_sections([(name, "", content) for name, content in sections])

    def order(self, parts: Iterable[QWidget]) -> None:
        """Let Tab go from the sheet through these parts, as they are read.

        Parts made after the sheet (links) would otherwise come last of all.
        """
        before: QWidget = self
        for part in parts:
            if part.focusPolicy() != Qt.FocusPolicy.NoFocus:
                QWidget.setTabOrder(before, part)
                before = part

    def say(self, name: str, note: str = "", *, shown: bool = True) -> None:
        """Set a section's note, and whether it has anything to show."""
        for section in self.sections():
            if section.name == name:
                section.set_note(note)
                section.setVisible(shown)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = event.modifiers() in {
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.KeypadModifier,
        }
        key = Qt.Key(event.key())
        if plain and key in _TURNS:
            self.turned.emit(-1 if key == Qt.Key.Key_Left else 1)
        elif plain and key in _ENDS:
            self.verticalScrollBar().triggerAction(_ENDS[key])
        elif plain:
            super().keyPressEvent(event)
        else:
            event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self.viewport())
            look = self._theme.look
            painter.setPen(QPen(look.colour("blue"), look.px(2)))
            y = look.px(1)
            painter.drawLine(0, y, self.viewport().width(), y)
            painter.end()
