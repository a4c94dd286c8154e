"""The sheet of the season under the keeper's hand: its keys, and the mouse."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal

from rearing.desk.pages import season_plan as plans
from rearing.desk.pages.season_canvas import SeasonCanvas

if TYPE_CHECKING:
    from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent

_WEEK, _MONTH = timedelta(days=7), timedelta(days=30)


class SeasonSheet(SeasonCanvas):
    """Shows a season; Up and Down go from brood to brood, then to the leaf.

    `opened(brood)` on Enter, `key_pressed(letter)` for what the page answers.
    """

    opened = Signal(int)
    key_pressed = Signal(str)

    # moving

    def move_days(self, step: timedelta) -> None:
        """Show earlier or later days."""
        if self._first is not None:
            self._first += step
            self.viewport().update()

    def go_home(self) -> None:
        """Show today where it usually stands."""
        self._first = None
        self._lay_out()

    def widen(self, step: int) -> None:
        """Give a day more room, or less, about the middle of what is shown."""
        scale = self.scale()
        at = min(max(self._width_at + step, 0), len(plans.DAY_WIDTHS) - 1)
        if scale is None or self._plan is None or at == self._width_at:
            return
        middle = scale.first + (scale.last - scale.first) / 2
        self._width_at = at
        self._first = middle - timedelta(days=plans.days_in(self._plan, at) // 2)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {
            Qt.Key.Key_Left: -_WEEK,
            Qt.Key.Key_Right: _WEEK,
            Qt.Key.Key_PageUp: -_MONTH,
            Qt.Key.Key_PageDown: _MONTH,
        }
        rows = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        key = Qt.Key(event.key())
        plain = event.modifiers() in {
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.ShiftModifier,
            Qt.KeyboardModifier.KeypadModifier,
        }
        if not plain:
            super().keyPressEvent(event)
        elif key in steps:
            self.move_days(steps[key])
        elif key in rows:
            self._go(self._row + rows[key])
        elif key is Qt.Key.Key_Home:
            self.go_home()
        elif key is Qt.Key.Key_End:
            self._go(len(self._view.ribbons) if self._view else 0)
        elif key in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self._open()
        elif event.text() in {"+", "=", "-", "−"}:
            self.widen(1 if event.text() in {"+", "="} else -1)
        elif event.text().isalpha():
            self.key_pressed.emit(event.text().upper())
        else:
            super().keyPressEvent(event)

    def _open(self) -> None:
        ribbon = self.current()
        if ribbon is not None:
            self.opened.emit(ribbon.brood_id)

    # the mouse says no more than the keys do

    def row_at(self, y: float) -> int | None:
        """Return the row at a height of the viewport; the leaf is the last."""
        plan = self._plan
        if plan is None or self._view is None:
            return None
        if plan.leaf.height() and plan.leaf.top() <= y < plan.leaf.bottom():
            return len(self._view.ribbons)
        top = plan.rows.top() - self.verticalScrollBar().value()
        if not plan.rows.top() <= y < plan.rows.bottom():
            return None
        for row, tall in enumerate(plan.row_heights):
            if top <= y < top + tall:
                return row
            top += tall
        return None

    def day_at(self, x: float) -> date | None:
        """Return the day at a place of the scale."""
        scale = self.scale()
        if scale is None or not scale.left <= x <= scale.right:
            return None
        days = (scale.last - scale.first).days + 1
        into = (x - scale.left) / (scale.right - scale.left)
        return scale.first + timedelta(days=min(int(into * days), days - 1))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        self._hovered = self.row_at(at.y())
        self._hovered_day = self.day_at(at.x())
        self._read()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        row = self.row_at(event.position().y())
        if row is not None:
            self._go(row)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self._open()

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Leave and self._hovered is not None:
            self._hovered = None
            self._read()
        return super().viewportEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.viewport().update()
