"""One of a few by its first letter, or one of many by any part of its name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPalette
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QCompleter,
    QSizePolicy,
    QWidget,
)

from rearing.desk.widgets.frames import paint_chevron, paint_frame, paint_ground
from rearing.desk.widgets.line_input import TypedLine
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPaintEvent

    from rearing.desk.widgets import fields as asked

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_SEARCH_LETTERS = 18
_INDENT = 0.5  # letters, beside the few pixels that the style keeps


class ChoiceInput(QComboBox):
    """One of a few, by arrow keys or first letter."""

    def __init__(self, options: Sequence[tuple[object, str]], value: object) -> None:
        super().__init__()
        self._values: list[object] = []
        self.offer(options, value)

    def offer(self, options: Sequence[tuple[object, str]], value: object) -> None:
        """Offer other options, one of them chosen."""
        self.clear()
        for _, words in options:
            self.addItem(words)
        self._values = [one for one, _ in options]
        self.setCurrentIndex(self._values.index(value) if value in self._values else -1)
        self.updateGeometry()

    def answer(self) -> object:
        """Return the value chosen, None when none was."""
        at = self.currentIndex()
        return self._values[at] if at >= 0 else None

    def focus_part(self) -> QWidget:
        """Return itself."""
        return self

    def sizeHint(self) -> QSize:
        ruler = QFontMetricsF(self.font())
        texts = [self.itemText(row) for row in range(self.count())] or [""]
        widest = max(ruler.horizontalAdvance(text) for text in texts)
        wide = widest + ruler.averageCharWidth() * 2 + 24
        return QSize(int(wide), super().sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_ground(painter, self)
        room = paint_chevron(painter, self)
        paint_frame(painter, self, focus=self.hasFocus())
        painter.setPen(self.palette().color(QPalette.ColorRole.Text))
        inset = int(self.fontMetrics().averageCharWidth())
        box = self.rect().adjusted(inset, 0, -int(room), 0)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, self.currentText())
        painter.end()


class SearchInput(QComboBox):
    """One of many: any part of a name, typed, narrows the list."""

    def __init__(self, ask: asked.SearchField) -> None:
        super().__init__()
        self._free = ask.free
        self._options = ask.options
        self.setEditable(True)
        self.setLineEdit(TypedLine())
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        for _, words in ask.options:
            self.addItem(words)
        self.setCurrentIndex(-1)
        for value, words in ask.options:
            if value == ask.value:
                self.setCurrentText(words)
        if ask.free and isinstance(ask.value, str) and not self.currentText():
            self.setCurrentText(ask.value)
        finder = QCompleter(self.model(), self)
        finder.setFilterMode(Qt.MatchFlag.MatchContains)
        finder.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        finder.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        self.setCompleter(finder)
        listed = finder.popup()
        if listed is not None:
            listed.installEventFilter(self)
        self.setMinimumContentsLength(_SEARCH_LETTERS)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._indent()

    def _indent(self) -> None:
        """Let the words begin as far in as those of the fields above and below."""
        line = self.lineEdit()
        if line is not None:
            letter = QFontMetricsF(self.font()).horizontalAdvance("0")
            line.setTextMargins(int(letter * _INDENT), 0, 0, 0)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Enter at the list do what it does at the line, with nothing chosen in it.

        The list would only close, and Enter had to be pressed once more.
        """
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() in _ENTER
            and isinstance(watched, QAbstractItemView)
            and not watched.currentIndex().isValid()
        ):
            watched.hide()
            # posted: what Enter closes may be this very list
            again = QKeyEvent(event.type(), event.key(), event.modifiers())
            QCoreApplication.postEvent(self, again)
            return True
        return super().eventFilter(watched, event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._indent()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_ground(painter, self)
        paint_chevron(painter, self)
        paint_frame(painter, self, focus=self.hasFocus())
        painter.end()

    def answer(self) -> object:
        typed = self.currentText().strip()
        if not typed:
            return None
        exact = [
            v for v, words in self._options if words.casefold() == typed.casefold()
        ]
        if exact:
            return exact[0]
        if self._free:
            return typed
        near = [v for v, words in self._options if typed.casefold() in words.casefold()]
        if len(near) == 1:
            return near[0]
        raise Refusal(
            f"“{typed}” is not among them."
            if not near
            else f"“{typed}” may be one of {len(near)}. Choose one."
        )

    def focus_part(self) -> QWidget:
        return self
