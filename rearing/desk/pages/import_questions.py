"""Questions about a file, each answered with the key of its answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from rearing.desk.pages.import_answers import choice_words, choices
from rearing.desk.widgets.form_fields import ENTER, plain_label
from rearing.desk.widgets.question import KeyButton

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QKeyEvent

    from rearing.desk.theme import Theme
    from rearing.exchange.temperatures import Doubt


class DoubtCard(QWidget):
    """One question; `answered(doubt, choice)` once a digit or a key is pressed."""

    answered = Signal(object, str)

    def __init__(self, theme: Theme, doubt: Doubt) -> None:
        super().__init__()
        self._theme = theme
        self.doubt = doubt
        self._words = plain_label(doubt.question)
        self.setAccessibleName(doubt.question)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 6)
        column.setSpacing(2)
        column.addWidget(self._words)
        row = QHBoxLayout()
        row.setSpacing(8)
        self._keys: list[KeyButton] = []
        for number, choice in enumerate(choices(doubt), 1):
            key = KeyButton(theme, str(number), choice_words(doubt, choice))
            key.setAccessibleDescription(doubt.question)
            key.setProperty("choice", choice)
            key.clicked.connect(self._clicked)
            self._keys.append(key)
            row.addWidget(key)
        row.addStretch(1)
        column.addLayout(row)
        theme.changed.connect(self._dress)
        self._dress()

    def focus_first(self) -> None:
        """Put the keyboard on the first answer."""
        self._keys[0].setFocus()

    def _clicked(self) -> None:
        self.answered.emit(self.doubt, str(self.sender().property("choice")))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        typed = event.text()
        in_hand = self.focusWidget()
        if event.key() in ENTER and isinstance(in_hand, KeyButton):
            in_hand.click()
        elif typed.isdigit() and 1 <= int(typed) <= len(self._keys):
            self.answered.emit(self.doubt, choices(self.doubt)[int(typed) - 1])
        else:
            super().keyPressEvent(event)

    def _dress(self) -> None:
        self._words.setFont(self._theme.look.faces.body_strong)


class Questions(QWidget):
    """Every open question about the file, one under the other."""

    answered = Signal(object, str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._cards: list[DoubtCard] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)

    def ask(self, doubts: Sequence[Doubt]) -> None:
        """Show these questions in place of the last."""
        if [card.doubt for card in self._cards] == list(doubts):
            return
        for card in self._cards:
            self._column.removeWidget(card)
            card.hide()
            card.deleteLater()
        self._cards = [DoubtCard(self._theme, doubt) for doubt in doubts]
        for card in self._cards:
            card.answered.connect(self.answered)
            self._column.addWidget(card)

    @property
    def open(self) -> tuple[Doubt, ...]:
        """The questions that are not answered."""
        return tuple(card.doubt for card in self._cards)

    def focus_first(self) -> bool:
        """Put the keyboard on the first question; False when there is none."""
        if self._cards:
            self._cards[0].focus_first()
        return bool(self._cards)
