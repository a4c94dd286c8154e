"""The find box: part of a code, a species, a place or a tree, and Enter goes there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout

from rearing.desk.page import INSET, Panel
from rearing.desk.widgets.line_input import LineInput
from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line
from rearing.desk.widgets.ruled_list import RuledList
from rearing.keeping.finding import Findable, findables, matching

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme

_COLUMNS = (
    Column("Name", Ink.CODE),
    Column("What", Ink.KNOWN),
    Column("More", Ink.TEXT, stretch=True),
)
_MOST = 8
_WALK = {Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown}
_SHARE = 0.4
"""Part of the window's height that what was found may take."""
_ENTER = {Qt.Key.Key_Return, Qt.Key.Key_Enter}


class Finder(Panel):
    """`found(kind, id)` when one is chosen; what there is is read once, on opening."""

    found = Signal(str, object)

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__(theme)
        self.setAccessibleName("Find")
        self._known = findables(session.book, session.shelf, session.on)
        self._shown: tuple[Findable, ...] = ()
        self._label = QLabel("&Find a code, a species, a place, a tree or a night")
        self.typed = LineInput()
        self._label.setBuddy(self.typed)
        self.typed.setAccessibleName("Find")
        self.typed.setPlaceholderText("B21-04, pyri, attic, oak, 28 May …")
        self.typed.textChanged.connect(self._search)
        self.typed.installEventFilter(self)
        self.list = RuledList(theme, _COLUMNS, "What was found")
        self.list.chosen.connect(self._choose)
        self._words = QLabel()
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._column = QVBoxLayout(self)
        for part in (self._label, self.typed, self._words, self.list):
            self._column.addWidget(part)
        self._dress()
        self._search("")

    def _dress(self) -> None:
        look = self.theme.look
        inset = look.px(INSET)
        self._column.setContentsMargins(inset, look.px(10), inset, look.px(12))
        self._column.setSpacing(look.px(5))
        self._label.setFont(look.faces.section)

    def focus_first(self) -> None:
        self.typed.setFocus()

    @property
    def shown(self) -> tuple[Findable, ...]:
        """What the words found."""
        return self._shown

    @property
    def words(self) -> str:
        """What is said of a search that led nowhere."""
        return "" if self._words.isHidden() else self._words.text()

    def _search(self, typed: str) -> None:
        self._shown = matching(self._known, typed, most=_MOST)
        self.list.set_lines([_line(at, one) for at, one in enumerate(self._shown)])
        self.list.set_current(0)
        self.list.setVisible(bool(self._shown))
        self._fit_list()
        nothing = bool(typed.strip()) and not self._shown
        self._words.setText(f"Nothing in the book is called “{typed.strip()}”.")
        self._words.setVisible(nothing)

    def _fit_list(self) -> None:
        """Show all that was found, but leave the page most of the window."""
        most = int(self.window().height() * _SHARE)
        self.list.setFixedHeight(min(self.list.whole_height() + 2, most))

    def _choose(self, key: object) -> None:
        if not isinstance(key, int) or key >= len(self._shown):
            return
        one = self._shown[key]
        self.found.emit(one.kind, one.id)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let ↑, ↓ and Enter work on the list while the words are typed."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() in _WALK:
                self.list.keyPressEvent(event)
                self._fit_list()
                return True
            if event.key() in _ENTER:
                self._choose(self.list.current_key())
                return True
        return super().eventFilter(watched, event)


def _line(at: int, one: Findable) -> Line:
    return Line(
        key=at,
        cells=(one.name, one.what, one.words),
        sentence=f"{one.name}, {one.what}, {one.words}",
        keys=(KeyOffer("Enter", "go there", quiet=True), KeyOffer("Esc", "leave it")),
    )
