"""What the program says unasked: a bar at the top of a page, and message boxes."""

from __future__ import annotations

from enum import Enum, auto
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPalette
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QMessageBox,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from rearing.desk.widgets.marks import Mark, paint_mark

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme
    from rearing.problems import Problem


class Tone(Enum):
    """What kind of notice it is; the mark and the first word say so, not a hue."""

    NEWS = auto()
    REFUSAL = auto()


class _Sign(QWidget):
    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self.tone = Tone.NEWS
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        side = self._theme.look.px(18)
        return QSize(side, side)

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        refusal = self.tone is Tone.REFUSAL
        side = look.px(13)
        at = QPointF((self.width() - side) / 2, (self.height() - side) / 2)
        painter = QPainter(self)
        mark = Mark.DIAMOND if refusal else Mark.EYE_RING
        shade = look.colour("madder" if refusal else "blue")
        paint_mark(painter, mark, QRectF(at.x(), at.y(), side, side), shade)
        painter.end()


class NoticeBar(QWidget):
    """One sentence at the top of the page, until it is put away or replaced."""

    put_away = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._sign = _Sign(theme, self)
        self._words = QLabel(self)
        self._words.setWordWrap(True)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
        )
        self._away = QToolButton(self)
        self._away.setText("Put away")
        self._away.setAutoRaise(True)
        self._away.clicked.connect(self.clear)
        self._row = QHBoxLayout(self)
        self._row.addWidget(self._sign)
        self._row.addWidget(self._words, 1)
        self._row.addWidget(self._away)
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)
        self.setVisible(False)
        theme.changed.connect(self._dress)
        self._dress()

    @property
    def words(self) -> str:
        """The sentence shown, empty when there is none."""
        return self._words.text()

    def say(self, words: str, tone: Tone = Tone.NEWS) -> None:
        """Show a sentence in place of the last."""
        self._sign.tone = tone
        self._sign.update()
        self._words.setText(words)
        self.setAccessibleName(words)
        self.setVisible(True)

    def say_problem(self, problem: Problem) -> None:
        """Show what was refused, in its own words."""
        self.say(problem.sentence, Tone.REFUSAL)

    def clear(self) -> None:
        """Put the notice away."""
        if not self.isHidden():
            self.setVisible(False)
            self._words.clear()
            self.put_away.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setPen(self._theme.look.colour("rule2"))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        painter.end()

    def _dress(self) -> None:
        look = self._theme.look
        self._row.setContentsMargins(look.px(24), look.px(6), look.px(16), look.px(6))
        self._sign.updateGeometry()


def show_trouble(parent: QWidget | None, problem: Problem) -> QMessageBox:
    """Open a box that tells what happened to the book, what is safe, what to do."""
    return show_words(parent, "The book", problem.sentence)


def show_words(
    parent: QWidget | None, title: str, words: str, more: str = ""
) -> QMessageBox:
    """Open a box with words and a Close button, without waiting for it."""
    box = QMessageBox(parent)
    box.setWindowTitle(title)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(words)
    box.setInformativeText(more)
    box.setStandardButtons(QMessageBox.StandardButton.Close)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    box.open()
    return box
