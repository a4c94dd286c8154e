"""A spread of the book: an index at the left, and the sheet it turns at the right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from rearing.desk.page import INSET
from rearing.desk.widgets.header import PageHeader
from rearing.desk.widgets.listening_lists import IndexList
from rearing.desk.widgets.reading_sheet import ReadingSheet

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPaintEvent, QResizeEvent

    from rearing.desk.theme import Theme
    from rearing.desk.widgets.lines import Column

_INDEX = 292
_BOTH_NEED = 860


class _Index(QWidget):
    def __init__(self, theme: Theme, columns: Sequence[Column], name: str) -> None:
        super().__init__()
        self._theme = theme
        self.header = PageHeader(theme)
        self.list = IndexList(theme, columns, name)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 1, 0)
        column.setSpacing(0)
        column.addWidget(self.header)
        within = QHBoxLayout()
        within.setContentsMargins(INSET // 2, 0, 0, 0)
        within.addWidget(self.list)
        column.addLayout(within, 1)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(QPen(self._theme.look.colour("rule2"), 1))
        x = self.width() - 0.5
        painter.drawLine(int(x), 0, int(x), self.height())
        painter.end()


class Spread(QWidget):
    """Both are seen while there is room; else the index, or the sheet gone into."""

    def __init__(
        self, theme: Theme, columns: Sequence[Column], index_name: str, sheet_name: str
    ) -> None:
        super().__init__()
        self._theme = theme
        self._inside = False
        self._index = _Index(theme, columns, index_name)
        self.index, self.index_header = self._index.list, self._index.header
        self._right = QWidget()
        self.header = PageHeader(theme)
        self.sheet = ReadingSheet(theme, sheet_name)
        column = QVBoxLayout(self._right)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.header)
        column.addWidget(self.sheet, 1)
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        across.addWidget(self._index)
        across.addWidget(self._right, 1)
        theme.changed.connect(self._arrange)

    @property
    def shows_both(self) -> bool:
        """True while index and sheet stand side by side."""
        return self.width() >= self._theme.look.px(_BOTH_NEED)

    @property
    def is_inside(self) -> bool:
        """True after going into the sheet."""
        return self._inside

    def go_in(self, into: QWidget | None = None) -> None:
        """Put the keyboard into the sheet, or a part of it."""
        self._inside = True
        self._arrange()
        target = into or self.sheet
        target.setFocus()
        if target is not self.sheet:
            self.sheet.ensureWidgetVisible(target)

    def go_out(self) -> None:
        """Put the keyboard back on the index."""
        self._inside = False
        self._arrange()
        self.index.setFocus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        both = self.shows_both
        self._index.setVisible(both or not self._inside)
        self._right.setVisible(both or self._inside)
        way = QSizePolicy.Policy
        self._index.setSizePolicy(way.Fixed if both else way.Expanding, way.Preferred)
        most = self._theme.look.px(_INDEX) if both else self.width()
        self._index.setMinimumWidth(most if both else 0)
        self._index.setMaximumWidth(most)
