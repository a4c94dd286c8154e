"""A list written on ruled lines, its groups in the margin, its current line grown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QPointF,
    Qt,
    Signal,
)
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListView,
)

from rearing.desk.widgets.line_delegate import LineDelegate
from rearing.desk.widgets.line_layout import LineLayout, lay_out
from rearing.desk.widgets.lines import Column, Line, State

if TYPE_CHECKING:
    from collections.abc import Hashable, Sequence

    from PySide6.QtCore import QSize
    from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QResizeEvent
    from PySide6.QtWidgets import QWidget

    from rearing.desk.theme import Look, Theme

Index = QModelIndex | QPersistentModelIndex
_NO_INDEX = QModelIndex()
_EDGE = 10
_COMMANDS = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


class LineModel(QAbstractListModel):
    """The lines, replaced all at once."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.lines: tuple[Line, ...] = ()

    def replace(self, lines: Sequence[Line]) -> None:
        """Put other lines in place of all."""
        self.beginResetModel()
        self.lines = tuple(lines)
        self.endResetModel()

    def rowCount(self, parent: Index = _NO_INDEX) -> int:
        return 0 if parent.isValid() else len(self.lines)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if role not in {
            Qt.ItemDataRole.DisplayRole,
            Qt.ItemDataRole.AccessibleTextRole,
        }:
            return None
        return self.lines[index.row()].sentence if index.isValid() else None


class RuledList(QListView):
    """Ruled lines under the keeper's hand.

    With `whole` it is as high as all its lines (a table within a section, which
    scrolls no further) and shows its current line only while it has the keyboard.

    Signals: `chosen(key)` on Enter or a double click; `key_pressed(key, typed)` when
    a key that the current line offers is typed (the character) or its cap is clicked
    (the cap's letters); `moved(key)` when another line becomes current (None: none).
    """

    chosen = Signal(object)
    key_pressed = Signal(object, str)
    moved = Signal(object)

    def __init__(
        self,
        theme: Theme,
        columns: Sequence[Column],
        name: str,
        parent: QWidget | None = None,
        *,
        whole: bool = False,
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._whole = whole
        self._follows = False
        self._columns = tuple(columns)
        self._places: LineLayout | None = None
        self._lines = LineModel(self)
        self._delegate = LineDelegate(self)
        self.setModel(self._lines)
        self.setItemDelegate(self._delegate)
        self.setAccessibleName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        if whole:
            # a bar that came would take width, wrap the words, and so go round for ever
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.viewport().setBackgroundRole(QPalette.ColorRole.Base)
        theme.changed.connect(self.measure_again)

    # what it is given

    def set_lines(self, lines: Sequence[Line], *, current: Hashable = None) -> None:
        """Replace the lines; the current line stays (or goes to `current`)."""
        key = current if current is not None else self.current_key()
        row = self.currentIndex().row()
        self._places = None
        self._lines.replace(lines)
        if not self.set_current(key) and lines:
            self._go(min(max(row, 0), len(lines) - 1))
        self._fit()

    def set_current(self, key: Hashable) -> bool:
        """Make the line with this key current; False when there is none."""
        for row, line in enumerate(self._lines.lines):
            if key is not None and line.key == key:
                self._go(row)
                return True
        return False

    def go_next_due(self) -> bool:
        """Go to the next line that is due after this one; False when none is."""
        here = self.currentIndex().row()
        for row, line in enumerate(self._lines.lines):
            if row > here and line.state is State.DUE:
                self._go(row)
                return True
        return False

    # what it is asked

    def lines(self) -> tuple[Line, ...]:
        """Return the lines shown."""
        return self._lines.lines

    def columns(self) -> tuple[Column, ...]:
        """Return the columns."""
        return self._columns

    def current_line(self) -> Line | None:
        """Return the line under the keeper's hand."""
        row = self.currentIndex().row()
        return self._lines.lines[row] if 0 <= row < len(self._lines.lines) else None

    def current_key(self) -> Hashable:
        """Return the key of the current line, None when there is none."""
        line = self.current_line()
        return line.key if line is not None else None

    def line_at(self, row: int) -> Line:
        """Return one line."""
        return self._lines.lines[row]

    def starts_group(self, row: int) -> bool:
        """Tell whether a line is the first of its group."""
        lines = self._lines.lines
        return row == 0 or lines[row - 1].group != lines[row].group

    def ends_group(self, row: int) -> bool:
        """Tell whether a line is the last of its group."""
        return row == len(self._lines.lines) - 1 or self.starts_group(row + 1)

    def first_in_sight(self) -> int:
        """Return the row of the topmost line that can be seen."""
        return self.indexAt(QPoint(1, 1)).row()

    def look(self) -> Look:
        """Return the look to draw with."""
        return self._theme.look

    def places(self) -> LineLayout:
        """Return where the columns stand at this width."""
        if self._places is None:
            width = float(self.viewport().width())
            look = self.look()
            edge = 0.0 if self._whole else float(look.px(_EDGE))
            lines = self.lines()
            self._places = lay_out(self._columns, lines, look, width, edge=edge)
        return self._places

    def whole_height(self) -> int:
        """Return the height that shows every line without scrolling."""
        return self._delegate.height_of_all()

    def grown_row(self) -> int:
        """Return the row shown grown, the current one; -1 when none is."""
        shown = not self._whole or self.hasFocus()
        return self.currentIndex().row() if shown else -1

    def rules_left_out(self, row: int) -> bool:
        """Tell whether the section around the list rules off its last line."""
        return self._whole and row == len(self._lines.lines) - 1

    def _fit(self) -> None:
        if self._whole:
            self.setFixedHeight(max(self.whole_height(), 1))

    def measure_again(self) -> None:
        """Measure afresh, after other words, another width or another text size."""
        self._places = None
        self.scheduleDelayedItemsLayout()
        self.viewport().update()
        self._fit()

    # Qt's side

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        hint.setHeight(self.whole_height())
        return hint

    def resizeEvent(self, event: QResizeEvent) -> None:
        before, self._places = self._places, None
        super().resizeEvent(event)
        if before is None or before.width != self.places().width:
            # words and keys may need more rows or fewer; Qt keeps the old heights
            self.scheduleDelayedItemsLayout()
            self._fit()
        self.scrollTo(self.currentIndex())

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        # the margin names the topmost line's group wherever the list stands
        self.viewport().update()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.PaletteChange}:
            self._places = None
        super().changeEvent(event)

    def doItemsLayout(self) -> None:
        super().doItemsLayout()
        if self._follows:
            # Qt scrolled to it before it grew: its keys may still be out of sight
            self._follows = False
            self.scrollTo(self.currentIndex())

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self._follows = not self._whole
        # once for both lines: every emission lays the whole list out again
        self._delegate.sizeHintChanged.emit(current if current.isValid() else previous)
        self._fit()
        self.viewport().update()
        self.moved.emit(self.current_key())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        line = self.current_line()
        if line is not None and event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.chosen.emit(line.key)
            return
        typed = "" if event.modifiers() & _COMMANDS else event.text()
        if typed.isprintable() and typed:
            if line is not None and any(offer.takes(typed) for offer in line.keys):
                self.key_pressed.emit(line.key, typed)
            # other letters do nothing: a jump to a line beginning with a letter
            # would feed the wrong box at the next key
            return
        super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        line = self.current_line()
        if line is None or event.button() is not Qt.MouseButton.LeftButton:
            return
        at = QPointF(event.position())
        for box, offer in self._delegate.caps:
            if box.contains(at):
                self._cap_clicked(line, offer.cap)
                return

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        line = self.current_line()
        if line is not None:
            self.chosen.emit(line.key)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._focus_moved()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._focus_moved()

    def _focus_moved(self) -> None:
        if self._whole:
            self._delegate.sizeHintChanged.emit(self.currentIndex())
            self._fit()
        self.viewport().update()

    def _cap_clicked(self, line: Line, cap: str) -> None:
        if cap == "Enter":
            self.chosen.emit(line.key)
        else:
            self.key_pressed.emit(line.key, cap)

    def _go(self, row: int) -> None:
        index = self._lines.index(row)
        self.setCurrentIndex(index)
        self.scrollTo(index)
