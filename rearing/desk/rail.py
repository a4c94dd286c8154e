"""The thumb index at the left of the window: one tab a page, the open one joined."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPalette, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListView,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent

    from rearing.desk.theme import Look, Theme

Index = QModelIndex | QPersistentModelIndex
_NO_INDEX = QModelIndex()
_PITCH, _TAB = 42, 38


@dataclass(frozen=True, slots=True)
class Tab:
    """A page's number and name."""

    number: int
    title: str


class _TabModel(QAbstractListModel):
    def __init__(self, tabs: Sequence[Tab], parent: QWidget) -> None:
        super().__init__(parent)
        self.tabs = tuple(tabs)

    def rowCount(self, parent: Index = _NO_INDEX) -> int:
        return 0 if parent.isValid() else len(self.tabs)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        tab = self.tabs[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return tab.title
        if role in {
            Qt.ItemDataRole.AccessibleTextRole,
            Qt.ItemDataRole.ToolTipRole,
        }:
            return f"{tab.title}, page {tab.number}, Ctrl+{tab.number}"
        return None


class _TabDelegate(QStyledItemDelegate):
    def __init__(self, rail: Rail) -> None:
        super().__init__(rail)
        self._rail = rail

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        look = self._rail.look()
        return QSize(self._rail.viewport().width(), look.px(_PITCH))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: Index
    ) -> None:
        look = self._rail.look()
        rect = QRectF(option.rect)
        tab = QRectF(rect.left(), rect.top(), rect.width(), look.px(_TAB))
        open_ = index.row() == self._rail.currentIndex().row()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if open_:
            _paint_tab(painter, look, tab, focus=self._rail.hasFocus())
        said = self._rail.tab_at(index.row())
        middle = tab.center().y()
        painter.setPen(look.colour("madder" if open_ else "ink2"))
        painter.setFont(look.faces.rail_number)
        _baseline_text(painter, look, look.px(26), middle, str(said.number))
        if self._rail.folded:
            painter.restore()
            return
        painter.setPen(look.colour("ink" if open_ else "ink2"))
        painter.setFont(look.faces.rail_open if open_ else look.faces.rail)
        _baseline_text(painter, look, look.px(46), middle, said.title)
        painter.restore()


def _baseline_text(
    painter: QPainter, look: Look, x: float, middle: float, text: str
) -> None:
    height = QFontMetricsF(look.faces.rail).capHeight()
    painter.drawText(QPointF(x, middle + height / 2), text)


def _paint_tab(painter: QPainter, look: Look, tab: QRectF, *, focus: bool) -> None:
    """Draw the open tab: the page's colour, no right edge, a madder bar."""
    corner = look.px(7)
    left, right = tab.left() + look.px(8), tab.right() + 1
    edge = QPainterPath(QPointF(right, tab.top() + 0.5))
    edge.lineTo(left + corner, tab.top() + 0.5)
    edge.quadTo(left, tab.top() + 0.5, left, tab.top() + corner)
    edge.lineTo(left, tab.bottom() - corner)
    edge.quadTo(left, tab.bottom() - 0.5, left + corner, tab.bottom() - 0.5)
    edge.lineTo(right, tab.bottom() - 0.5)
    painter.fillPath(edge, look.colour("page"))
    painter.setPen(QPen(look.colour("rule2"), 1))
    painter.drawPath(edge)
    bar = QRectF(left, tab.center().y() - look.px(10), look.px(4), look.px(20))
    painter.fillRect(bar, look.colour("madder"))
    if focus:
        inner = tab.adjusted(look.px(17), look.px(5), -look.px(6), -look.px(5))
        painter.setPen(QPen(look.colour("blue"), 1, Qt.PenStyle.DashLine))
        painter.drawRect(inner)


class Rail(QListView):
    """The tabs; `opened(number)` on turning to another, `left` to go into the page."""

    opened = Signal(int)
    left = Signal()

    def __init__(
        self, theme: Theme, tabs: Sequence[Tab], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._folded = False
        self._tabs = _TabModel(tabs, self)
        self.setModel(self._tabs)
        self.setItemDelegate(_TabDelegate(self))
        self.setAccessibleName("Pages")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self.viewport().setBackgroundRole(QPalette.ColorRole.Window)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        theme.changed.connect(self._dress)

    def look(self) -> Look:
        """Return the look to draw with."""
        return self._theme.look

    def tab_at(self, row: int) -> Tab:
        """Return one tab."""
        return self._tabs.tabs[row]

    def open(self, number: int) -> None:
        """Show the tab of a page as the open one."""
        for row, tab in enumerate(self._tabs.tabs):
            if tab.number == number:
                self.setCurrentIndex(self._tabs.index(row))

    @property
    def folded(self) -> bool:
        """Whether only the numerals are shown."""
        return self._folded

    def fold(self, *, folded: bool) -> None:
        """Show numerals only, or the names again; the names are heard either way."""
        if folded is not self._folded:
            self._folded = folded
            self._dress()

    def open_width(self) -> int:
        """Return the width that shows every name."""
        look = self.look()
        ruler = QFontMetricsF(look.faces.rail_open)
        widest = max(
            (ruler.horizontalAdvance(tab.title) for tab in self._tabs.tabs), default=0
        )
        return int(max(look.px(46) + widest + look.px(18), look.px(140)))

    def sizeHint(self) -> QSize:
        look = self.look()
        width = look.px(54) if self._folded else self.open_width()
        return QSize(width, look.px(_PITCH) * len(self._tabs.tabs))

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self.viewport().update()
        if current.isValid():
            self.opened.emit(self.tab_at(current.row()).number)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        into = {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Right}
        if event.key() in into:
            self.left.emit()
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        painter.setPen(QPen(self.look().colour("rule2"), 1))
        x = self.viewport().width() - 0.5
        painter.drawLine(QPointF(x, 0), QPointF(x, self.viewport().height()))
        painter.end()
        super().paintEvent(event)

    def _dress(self) -> None:
        self.updateGeometry()
        self.scheduleDelayedItemsLayout()


class RailColumn(QWidget):
    """What the rail stands in: the desk, and the page's edge at its right."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(QPen(self._theme.look.colour("rule2"), 1))
        x = self.width() - 0.5
        painter.drawLine(QPointF(x, 0), QPointF(x, self.height()))
        painter.end()
