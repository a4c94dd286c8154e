"""A question asked where the entry is made, answered with Y or N."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from rearing.desk.widgets.marks import keycap_width, paint_keycap

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent, QPaintEvent

    from rearing.desk.theme import Theme


class KeyButton(QPushButton):
    """A button drawn as its keycap and the word beside it.

    The key itself is caught by whoever shows the button; the button is for the mouse
    and for Tab.
    """

    def __init__(self, theme: Theme, cap: str, word: str) -> None:
        super().__init__(word)
        self._theme = theme
        self._cap = cap
        self.setFlat(True)
        self.setAutoDefault(False)
        theme.changed.connect(self._dress)
        self.rename(cap)

    @property
    def cap(self) -> str:
        """What stands on its keycap."""
        return self._cap

    def rename(self, cap: str) -> None:
        """Show another key for the same deed."""
        self._cap = cap
        self.setAccessibleName(f"{self.text()}, key {cap}")
        self._dress()
        self.update()

    def _dress(self) -> None:
        look = self._theme.look
        word = QFontMetricsF(look.faces.body).horizontalAdvance(self.text())
        wide = keycap_width(look, self._cap) + word
        self.setFixedSize(int(wide) + look.px(22), look.px(28))

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        if self.hasFocus() or self.isDown():
            painter.fillRect(self.rect(), look.colour("blue_wash"))
            edge = self.rect().adjusted(0, self.height() - look.px(2), 0, 0)
            painter.fillRect(edge, look.colour("blue"))
        at = QPointF(look.px(6), self.height() / 2)
        box = paint_keycap(painter, look, at, self._cap)
        painter.setPen(look.colour("ink"))
        words = self.rect().adjusted(int(box.right()) + look.px(5), 0, 0, 0)
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, self.text())
        painter.end()


class Question(QWidget):
    """Hidden until something is asked; `answered(yes)` once."""

    answered = Signal(bool)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._words = QLabel()
        self._words.setWordWrap(True)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._yes = KeyButton(theme, "Y", "yes")
        self._no = KeyButton(theme, "N", "no")
        self._yes.clicked.connect(self.say_yes)
        self._no.clicked.connect(self.say_no)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._words, 1)
        row.addWidget(self._yes)
        row.addWidget(self._no)
        self.setVisible(False)
        theme.changed.connect(self._dress)
        self._dress()

    @property
    def words(self) -> str:
        """The question that is open, empty when none is."""
        return "" if self.isHidden() else self._words.text()

    def ask(self, sentence: str) -> None:
        """Ask; the keyboard goes to no, so that a second Enter doesn't say yes."""
        self._words.setText(sentence)
        self.setAccessibleName(sentence)
        self.setVisible(True)
        self._no.setFocus(Qt.FocusReason.OtherFocusReason)

    def put_away(self) -> None:
        """Take the question away unanswered."""
        self.setVisible(False)

    def say_yes(self) -> None:
        """Answer yes."""
        self._answer(yes=True)

    def say_no(self) -> None:
        """Answer no."""
        self._answer(yes=False)

    def _answer(self, *, yes: bool) -> None:
        if not self.isHidden():
            self.setVisible(False)
            self.answered.emit(yes)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self._answer(yes=self.focusWidget() is self._yes)
        elif event.key() == Qt.Key.Key_Y:
            self._answer(yes=True)
        elif event.key() in {Qt.Key.Key_N, Qt.Key.Key_Escape}:
            self._answer(yes=False)
        else:
            super().keyPressEvent(event)

    def _dress(self) -> None:
        self._words.setFont(self._theme.look.faces.body_strong)
