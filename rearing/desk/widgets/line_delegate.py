"""The hand that writes ruled lines: margin, mark, columns, hatching, keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRectF,
    QSize,
)
from PySide6.QtGui import QColor, QFontMetricsF, QPen
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from rearing.desk.widgets.line_layout import cell_face, key_rows
from rearing.desk.widgets.line_rows import rows_of, until_edge
from rearing.desk.widgets.lines import OVER, Ink, Pencil, State
from rearing.desk.widgets.marks import (
    Mark,
    hatch,
    paint_keycap,
    paint_mark,
)
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter

    from rearing.desk.theme import Look
    from rearing.desk.widgets.line_layout import LineLayout, Slot
    from rearing.desk.widgets.line_rows import Row
    from rearing.desk.widgets.lines import KeyOffer, Line
    from rearing.desk.widgets.ruled_list import RuledList

Index = QModelIndex | QPersistentModelIndex


class LineDelegate(QStyledItemDelegate):
    """Draws the lines of one ruled list."""

    def __init__(self, view: RuledList) -> None:
        super().__init__(view)
        self._view = view
        self.caps: tuple[tuple[QRectF, KeyOffer], ...] = ()
        self._measured: LineLayout | None = None
        self._rows: dict[int, tuple[Row, ...]] = {}

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        row = index.row()
        height = self._height(row, grown=row == self._view.grown_row())
        return QSize(int(self._view.places().width), height)

    def height_of_all(self) -> int:
        """Return the height of every line, the current one grown."""
        grown = self._view.grown_row()
        rows = range(len(self._view.lines()))
        return sum(self._height(row, grown=row == grown) for row in rows)

    def rows(self, row: int) -> tuple[Row, ...]:
        """Return the rows one line is written in."""
        # asked of every line at every move of the hand: measured once a layout
        view, places = self._view, self._view.places()
        if places is not self._measured:
            self._measured = places
            self._rows = {}
        known = self._rows.get(row)
        if known is None:
            known = rows_of(view.line_at(row), view.columns(), places, view.look())
            self._rows[row] = known
        return known

    def _height(self, row: int, *, grown: bool) -> int:
        places = self._view.places()
        height = self._head_height(self._view.line_at(row)) + self._body_height(row)
        return height + len(self._keys_of(row)) * places.key_height if grown else height

    def _body_height(self, row: int) -> int:
        places = self._view.places()
        return places.line_height + places.below_height * (len(self.rows(row)) - 1)

    def _head_height(self, line: Line) -> int:
        places = self._view.places()
        return places.line_height + places.below_height // 3 if line.heading else 0

    def _keys_of(self, row: int) -> tuple[tuple[tuple[KeyOffer, float], ...], ...]:
        look, places = self._view.look(), self._view.places()
        room = places.width - places.first[0].x - max(places.edge, look.px(8))
        return key_rows(self._view.line_at(row).keys, look, room)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: Index
    ) -> None:
        rect = QRectF(option.rect)
        current = index.row() == self._view.grown_row()
        painter.save()
        line = self._view.line_at(index.row())
        if line.heading:
            rect = self._headed(painter, rect, line)
        self._ground(painter, rect, index.row(), current=current)
        self._margin(painter, rect, index.row())
        self._write(painter, rect, index.row(), current=current)
        if current:
            self._keys(painter, rect, index.row())
        painter.restore()

    def _headed(self, painter: QPainter, rect: QRectF, line: Line) -> QRectF:
        """Write the heading above a line; return the room of the line itself."""
        look, places = self._view.look(), self._view.places()
        head = rect.adjusted(places.first[0].x, 0, 0, 0)
        head.setHeight(self._head_height(line))
        head.setTop(head.bottom() - places.line_height)
        write(painter, head, line.heading, look.faces.section, look.colour("ink"))
        painter.setPen(QPen(look.colour("rule2"), 1))
        y = head.bottom() - 0.5
        painter.drawLine(
            QPointF(rect.left() + places.body, y), QPointF(rect.right(), y)
        )
        return rect.adjusted(0, self._head_height(line), 0, 0)

    def _ground(
        self, painter: QPainter, rect: QRectF, row: int, *, current: bool
    ) -> None:
        look, places = self._view.look(), self._view.places()
        body = rect.adjusted(places.body, 0, 0, 0)
        if self._view.line_at(row).state is State.REST:
            shade = look.colour("rule")
            shade.setAlphaF(0.75)
            hatch(painter, body, shade, spacing=look.px(7), width=look.unit / 4)
        if current:
            painter.fillRect(body, look.colour("blue_wash"))
            edge = QRectF(body.left(), body.top(), look.px(5), body.height())
            if self._view.hasFocus():
                painter.fillRect(edge, look.colour("blue"))
            else:
                painter.setPen(QPen(look.colour("blue"), 1))
                painter.drawRect(edge.adjusted(0, 0, -1, -1))
        self._rules(painter, rect, row)

    def _rules(self, painter: QPainter, rect: QRectF, row: int) -> None:
        look, places = self._view.look(), self._view.places()
        ends = self._view.ends_group(row)
        if self._view.rules_left_out(row):
            return
        painter.setPen(QPen(look.colour("rule2" if ends else "rule"), 1))
        left = rect.left() if ends else rect.left() + places.body
        y = rect.bottom() - 0.5
        painter.drawLine(QPointF(left, y), QPointF(rect.right(), y))
        if places.margin > 0:
            painter.setPen(QPen(look.colour("madder"), 1))
            for x in (places.margin + 0.5, places.margin + look.px(4) + 0.5):
                at = rect.left() + x
                painter.drawLine(QPointF(at, rect.top()), QPointF(at, rect.bottom()))

    def _margin(self, painter: QPainter, rect: QRectF, row: int) -> None:
        look, places = self._view.look(), self._view.places()
        line = self._view.line_at(row)
        # the first line in sight names its group too, when the group began above
        named = self._view.starts_group(row) or row == self._view.first_in_sight()
        if places.margin <= 0 or not line.group or not named:
            return
        # half out of sight, the name may run down into the next line of its group
        lowest = rect.bottom() - places.line_height if self._view.ends_group(row) else 0
        top = max(rect.top(), min(0.0, lowest))
        box = QRectF(rect.left(), top, places.margin - look.px(10), places.line_height)
        if line.group_note:
            note, grey = line.group_note, look.colour("ink2")
            wide = write(painter, box, note, look.faces.small, grey, right=True)
            box.setRight(box.right() - wide - look.px(7))
        shade = look.colour("madder" if line.alarm else "ink")
        write(painter, box, line.group, look.faces.section, shade, right=True)

    def _write(
        self, painter: QPainter, rect: QRectF, row: int, *, current: bool
    ) -> None:
        places, line = self._view.places(), self._view.line_at(row)
        room = QRectF(rect.left(), rect.top(), rect.width(), places.line_height)
        self._mark(painter, room, line)
        if line.state is State.REST and line.until:
            self._until(painter, room, line)
        first, *below = self.rows(row)
        for slot, text in first:
            self._cell(painter, room, line, slot, text, current=current)
        room = room.translated(0, places.line_height - self._view.look().px(4))
        room.setHeight(places.below_height)
        for pieces in below:
            for slot, text in pieces:
                self._cell(painter, room, line, slot, text, current=current)
            room.translate(0, places.below_height)

    def _mark(self, painter: QPainter, row: QRectF, line: Line) -> None:
        if line.mark is Mark.NONE:
            return
        look, places = self._view.look(), self._view.places()
        side = look.px(14)
        box = QRectF(row.left() + places.mark, row.center().y() - side / 2, side, side)
        if line.state is State.REST:
            painter.fillRect(box.adjusted(-3, -3, 3, 3), look.colour("page"))
        token = "madder" if line.alarm else "ink"
        if line.state in OVER:
            token = "leaf"
        elif line.state is State.REST:
            token = "pencil"
        paint_mark(painter, line.mark, box, look.colour(token))

    def _until(self, painter: QPainter, row: QRectF, line: Line) -> None:
        """Write when the rest ends over the last columns."""
        look = self._view.look()
        box = row.adjusted(0, 0, -until_edge(self._view.places(), look), 0)
        face, pencil = look.faces.pencil_strong, look.colour("pencil")
        write(painter, box, line.until, face, pencil, right=True)

    def _cell(
        self,
        painter: QPainter,
        row: QRectF,
        line: Line,
        slot: Slot,
        text: str,
        *,
        current: bool,
    ) -> None:
        look = self._view.look()
        column = self._view.columns()[slot.column]
        cell = line.cells[slot.column]
        box = QRectF(row.left() + slot.x, row.top(), slot.width, row.height())
        face = cell_face(look, column.ink, cell, line.state)
        wide = min(QFontMetricsF(face).horizontalAdvance(text), box.width())
        if line.state is State.REST and column.ink is Ink.CODE:
            out = QRectF(box.left() - 3, box.top() + 2, wide + 8, box.height() - 5)
            painter.fillRect(out, look.colour("page"))
        shade = _shade(look, column.ink, line, pencil=isinstance(cell, Pencil))
        if current and column.ink is Ink.TEXT and line.state is not State.REST:
            shade = look.colour("ink")
        write(painter, box, text, face, shade, right=column.right)
        if column.ink is Ink.VERB and line.state is State.DONE:
            y = box.center().y() + look.px(1)
            painter.setPen(QPen(look.colour("ink2"), look.unit / 3.2))
            painter.drawLine(
                QPointF(box.left() - 2, y), QPointF(box.left() + wide + 2, y)
            )

    def _keys(self, painter: QPainter, rect: QRectF, row: int) -> None:
        look, places = self._view.look(), self._view.places()
        left = rect.left() + places.first[0].x
        y = rect.top() + self._body_height(row)
        caps: list[tuple[QRectF, KeyOffer]] = []
        for keys in self._keys_of(row):
            middle = y + places.key_height / 2 - look.px(2)
            for offer, x in keys:
                at = QPointF(left + x, middle)
                box = paint_keycap(painter, look, at, offer.cap, quiet=offer.quiet)
                word = QRectF(box.right() + look.px(5), y, rect.width(), 0)
                word.setHeight(places.key_height - look.px(4))
                shade = look.colour("ink2" if offer.quiet else "ink")
                wide = write(painter, word, offer.word, look.faces.body, shade)
                caps.append((box.adjusted(0, 0, wide + look.px(5), 0), offer))
            y += places.key_height
        self.caps = tuple(caps)


def _shade(look: Look, ink: Ink, line: Line, *, pencil: bool) -> QColor:
    if line.state is State.REST:
        return look.colour("pencil")
    if pencil:
        return look.colour("pencil" if line.state in OVER else "ink2")
    if line.alarm and ink is Ink.VERB:
        return look.colour("madder")
    back = line.state in OVER or line.state is State.QUIET
    strong = ink in {Ink.CODE, Ink.VERB, Ink.NUMBER} and not back
    return look.colour("ink" if strong else "ink2")
