"""The first window there is when no book is known: three ways to begin."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QVBoxLayout, QWidget

from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, State
from rearing.desk.widgets.marks import Mark
from rearing.desk.widgets.ruled_list import RuledList

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from rearing.desk.theme import Theme

_WAYS = (
    ("sample", "S", "The sample season", "An invented keeper's year, to try things on"),
    ("new", "N", "A new book", "Begin your own: one file, saved at every key"),
    ("open", "O", "A book you have", "Open a file that ends in .rearing"),
)
_COLUMNS = (Column("Way", Ink.VERB), Column("What", Ink.TEXT, stretch=True))


class Welcome(QWidget):
    """Offers the sample season, a new book, or one there is; a letter chooses."""

    sample_asked = Signal()
    new_asked = Signal()
    open_asked = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.setWindowTitle("Rearing")
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        head = PageHeader(theme)
        head.tell(Heading(title="Rearing", words="From the lamp night to next year"))
        self.ways = RuledList(theme, _COLUMNS, "Ways to begin")
        self.ways.set_lines([_line(*way) for way in _WAYS])
        self.ways.chosen.connect(self._choose)
        self.ways.key_pressed.connect(self._choose_by_letter)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(head)
        row = QVBoxLayout()
        inset = theme.look.px(24)
        row.setContentsMargins(inset, theme.look.px(4), inset, inset)
        row.addWidget(self.ways)
        column.addLayout(row, 1)
        self.resize(theme.look.px(660), theme.look.px(260))
        self.ways.setFocus(Qt.FocusReason.OtherFocusReason)

    def _choose(self, key: object) -> None:
        asked = {
            "sample": self.sample_asked,
            "new": self.new_asked,
            "open": self.open_asked,
        }
        if isinstance(key, str) and key in asked:
            asked[key].emit()

    def _choose_by_letter(self, key: object, typed: str) -> None:
        by_letter = {letter: way for way, letter, *_ in _WAYS}
        self._choose(by_letter.get(typed.upper(), key))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.close()
        else:
            super().keyPressEvent(event)


def _line(way: str, letter: str, words: str, more: str) -> Line:
    letters = "".join(one for _, one, *_ in _WAYS)
    return Line(
        key=way,
        cells=(words, more),
        sentence=f"{words}: {more}. Key {letter}",
        mark=Mark.SQUARE,
        state=State.DUE,
        keys=(
            KeyOffer(letter, "or", quiet=True, answers=letters),
            KeyOffer("Enter", "begin with it"),
        ),
    )
