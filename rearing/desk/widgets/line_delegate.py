"""The hand that writes ruled lines: margin, mark, columns, hatching, keys."""

from __future__ import annotations

from dataclasses import replace
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

from rearing.desk.widgets.line_growth import Growth, grow
from rearing.desk.widgets.line_layout import cell_face
from rearing.desk.widgets.lines import Ink, Pencil, State, cell_text
from rearing.desk.widgets.marks import (
    Mark,
    hatch,
    paint_keycap,
    paint_mark,
)
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPainter

    from rearing.desk.theme import Look
    from rearing.desk.widgets.line_layout import LineLayout, Slot
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
        self._plain = QSize()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        # asked of every line at every move of the hand: only the grown one is measured
        row = index.row()
        plain = self._plain_size()
        head = self._head_height(self._view.line_at(row))
        if row != self._view.grown_row():
            return QSize(plain.width(), plain.height() + head)
        grown = self._grown(row).height(self._view.places())
        return QSize(plain.width(), grown + head)

    def height_of(self, lines: Sequence[Line], *, grown: int) -> int:
        """Return the height of the lines, one of them grown (-1: none)."""
        plain = self._plain_size().height()
        heads = sum(self._head_height(line) for line in lines)
        if not 0 <= grown < len(lines):
            return plain * len(lines) + heads
        tall = self._grown(grown).height(self._view.places())
        return plain * (len(lines) - 1) + tall + heads

    def _head_height(self, line: Line) -> int:
        places = self._view.places()
        return places.line_height + places.below_height // 3 if line.heading else 0

    def _plain_size(self) -> QSize:
        places = self._view.places()
        if places is not self._measured:
            self._measured = places
            height = places.line_height + places.below_height * len(places.below)
            self._plain = QSize(int(places.width), height)
        return self._plain

    def _grown(self, row: int) -> Growth:
        view = self._view
        return grow(view.line_at(row), view.columns(), view.places(), view.look())

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
        growth = self._grown(index.row()) if current else None
        self._write(painter, rect, line, growth)
        if growth is not None:
            self._keys(painter, rect, growth)
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
        self, painter: QPainter, rect: QRectF, line: Line, growth: Growth | None
    ) -> None:
        look, places = self._view.look(), self._view.places()
        first = QRectF(rect.left(), rect.top(), rect.width(), places.line_height)
        self._mark(painter, first, line)
        slots = places.first
        if line.state is State.REST and line.until:
            slots = self._until(painter, first, line, slots)
        told = growth.told if growth is not None else None
        current = growth is not None
        for slot in slots:
            if slot.column != told:
                self._cell(painter, first, line, slot, current=current)
        below = first.translated(0, places.line_height - look.px(4))
        below.setHeight(places.below_height)
        for row in growth.below if growth is not None else places.below:
            for slot in row:
                if slot.column != told:
                    self._cell(painter, below, line, slot, current=current)
            below.translate(0, places.below_height)
        if growth is not None and told is not None:
            self._in_full(painter, below, line, growth)

    def _in_full(
        self, painter: QPainter, below: QRectF, line: Line, growth: Growth
    ) -> None:
        """Write out a reason too long for its column."""
        look, places = self._view.look(), self._view.places()
        column = self._view.columns()[growth.told or 0]
        face = cell_face(look, column.ink, line.cells[growth.told or 0], line.state)
        resting = line.state is State.REST
        row = QRectF(below)
        row.setLeft(row.left() + places.first[0].x)
        for text in growth.full:
            write(painter, row, text, face, look.colour("pencil" if resting else "ink"))
            row.translate(0, places.below_height)

    def _mark(self, painter: QPainter, row: QRectF, line: Line) -> None:
        if line.mark is Mark.NONE:
            return
        look, places = self._view.look(), self._view.places()
        side = look.px(14)
        box = QRectF(row.left() + places.mark, row.center().y() - side / 2, side, side)
        if line.state is State.REST:
            painter.fillRect(box.adjusted(-3, -3, 3, 3), look.colour("page"))
        token = "madder" if line.alarm else "ink"
        if line.state is State.DONE:
            token = "leaf"
        elif line.state is State.REST:
            token = "pencil"
        paint_mark(painter, line.mark, box, look.colour(token))

    def _until(
        self, painter: QPainter, row: QRectF, line: Line, slots: tuple[Slot, ...]
    ) -> tuple[Slot, ...]:
        """Write when the rest ends over the last columns; return the others."""
        look = self._view.look()
        columns = self._view.columns()
        kept = [
            s for s in slots if columns[s.column].ink not in {Ink.NUMBER, Ink.KNOWN}
        ]
        face = look.faces.pencil_strong
        edge = look.px(2) + self._view.places().edge
        box = row.adjusted(0, 0, -edge, 0)
        wide = write(painter, box, line.until, face, look.colour("pencil"), right=True)
        end = row.width() - edge - wide - look.px(12)
        return tuple(replace(s, width=max(min(s.width, end - s.x), 0.0)) for s in kept)

    def _cell(
        self, painter: QPainter, row: QRectF, line: Line, slot: Slot, *, current: bool
    ) -> None:
        look = self._view.look()
        column = self._view.columns()[slot.column]
        cell = line.cells[slot.column]
        text = cell_text(cell)
        if not text:
            return
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

    def _keys(self, painter: QPainter, rect: QRectF, growth: Growth) -> None:
        look, places = self._view.look(), self._view.places()
        left = rect.left() + places.first[0].x
        y = rect.top() + places.line_height
        y += places.below_height * (len(growth.below) + len(growth.full))
        caps: list[tuple[QRectF, KeyOffer]] = []
        for keys in growth.keys:
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
        return look.colour("pencil" if line.state is State.DONE else "ink2")
    if line.alarm and ink is Ink.VERB:
        return look.colour("madder")
    strong = ink in {Ink.CODE, Ink.VERB, Ink.NUMBER} and line.state is not State.DONE
    return look.colour("ink" if strong else "ink2")
