"""A strip of small pictures with day and caption, gone through with the arrows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QImage, QPainter, QPen
from PySide6.QtWidgets import QScrollArea, QSizePolicy, QWidget

from rearing.desk.theme import View
from rearing.desk.widgets.writing import wrap, write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import (
        QFocusEvent,
        QKeyEvent,
        QMouseEvent,
        QPaintEvent,
        QResizeEvent,
    )

    from rearing.desk.pictures import Pictures
    from rearing.desk.theme import Theme
    from rearing.records.pictures import Named

MOST = 24
"""So many stand in the strip; the others are come to with the arrows, opened large."""
_CELL, _FRAME, _LINE, _GAP = 176, 118, 17, 14
_CAPTION_LINES = 2
_STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_ENTER = {Qt.Key.Key_Return, Qt.Key.Key_Enter}


@dataclass(frozen=True, slots=True)
class PictureCell:
    """One picture of a strip: which, its day in words, and what is written beneath."""

    named: Named
    day: str
    caption: str

    @property
    def sentence(self) -> str:
        """The same in words, for those who hear it."""
        return f"{self.day}: {self.caption}" if self.caption else self.day


class PictureStrip(QWidget):
    """Small pictures in rows, newest first; as high as its rows.

    `opened(at)` on Enter or a double click. At the lamp no picture is shown: a white
    one would undo an hour of getting used to the dark. Its day and words are.
    """

    opened = Signal(int)

    def __init__(self, theme: Theme, name: str, pictures: Pictures) -> None:
        super().__init__()
        self._theme = theme
        self._name = name
        self._pictures = pictures
        self._cells: tuple[PictureCell, ...] = ()
        self._all = 0
        self._at = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        pictures.arrived.connect(self._arrived)
        theme.changed.connect(self._fit)
        self._say()
        self._fit()

    def tell(self, cells: Sequence[PictureCell]) -> None:
        """Show other pictures, the newest of them in the strip."""
        here = self._cells[self._at].named if self._cells else None
        self._cells, self._all = tuple(cells[:MOST]), len(cells)
        names = [cell.named for cell in self._cells]
        self._at = names.index(here) if here in names else 0
        self.setVisible(bool(cells))
        self._say()
        self._fit()
        self.update()

    def cells(self) -> tuple[PictureCell, ...]:
        """Return the pictures that stand in the strip."""
        return self._cells

    @property
    def at(self) -> int:
        """Which picture is in the hand."""
        return self._at

    def go(self, at: int) -> None:
        """Take another picture in the hand."""
        if self._cells:
            self._at = min(max(at, 0), len(self._cells) - 1)
            self._say()
            self._keep_in_sight()
            self.update()

    def _say(self) -> None:
        many = f"{self._all} pictures" if self._all != 1 else "1 picture"
        here = f". {self._cells[self._at].sentence}" if self._cells else ""
        self.setAccessibleName(f"{self._name}, {many}{here}")

    def _arrived(self, named: object) -> None:
        if any(cell.named == named for cell in self._cells):
            self.update()

    # measuring

    def _across(self) -> int:
        look = self._theme.look
        room = max(self.width(), look.px(_CELL)) + look.px(_GAP)
        return max(room // (look.px(_CELL) + look.px(_GAP)), 1)

    def _cell_height(self) -> int:
        return self._theme.look.px(_FRAME + _LINE * (1 + _CAPTION_LINES) + _GAP)

    def _fit(self) -> None:
        rows = -(-len(self._cells) // self._across())
        more = self._theme.look.px(_LINE + 4) if self._all > len(self._cells) else 0
        self.setFixedHeight(max(rows * self._cell_height() + more, 1))
        self.update()

    def minimumSizeHint(self) -> QSize:
        return QSize(self._theme.look.px(_CELL), self.minimumHeight())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def box_of(self, at: int) -> QRectF:
        """Return where a picture stands, its words with it."""
        row, column = divmod(at, self._across())
        look = self._theme.look
        wide, high = look.px(_CELL), self._cell_height()
        step = wide + look.px(_GAP)
        return QRectF(column * step, row * high, wide, high - look.px(_GAP) / 2)

    # drawing

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        for at, cell in enumerate(self._cells):
            box = self.box_of(at)
            # only those in sight are asked for
            if box.intersects(QRectF(event.rect())):
                self._paint_cell(painter, box, cell, here=at == self._at)
        if self._all > len(self._cells):
            look = self._theme.look
            more = self._all - len(self._cells)
            words = f"and {more} earlier ones: Enter opens one, → goes on to them."
            line = QRectF(0, self.height() - look.px(_LINE), self.width(), 0)
            line.setHeight(look.px(_LINE))
            write(painter, line, words, look.faces.small, look.colour("ink2"))
        painter.end()

    def _paint_cell(
        self, painter: QPainter, box: QRectF, cell: PictureCell, *, here: bool
    ) -> None:
        look = self._theme.look
        in_hand = here and self.hasFocus()
        if in_hand:
            painter.fillRect(box, look.colour("blue_wash"))
            edge = QRectF(box.left(), box.top(), look.px(5), box.height())
            painter.fillRect(edge, look.colour("blue"))
        inset = look.px(10)
        frame = QRectF(
            box.left() + inset,
            box.top() + look.px(4),
            box.width() - inset - look.px(4),
            look.px(_FRAME - 8),
        )
        self._paint_picture(painter, frame, cell)
        line = QRectF(frame.left(), frame.bottom() + look.px(3), frame.width(), 0)
        line.setHeight(look.px(_LINE))
        ink = look.colour("ink")
        write(painter, line, cell.day, look.faces.small_strong, ink)
        lines = wrap(cell.caption, look.faces.small, line.width())
        shown = list(lines[:_CAPTION_LINES])
        if len(lines) > _CAPTION_LINES:
            shown[-1] += " …"
        for words in shown:
            line.translate(0, look.px(_LINE))
            write(painter, line, words, look.faces.small, look.colour("ink2"))

    def _paint_picture(
        self, painter: QPainter, frame: QRectF, cell: PictureCell
    ) -> None:
        look = self._theme.look
        words = "not shown in red"
        if self._theme.view is not View.RED:
            had = self._pictures.small(cell.named)
            if isinstance(had, QImage):
                painter.drawImage(fitted(had, frame), had)
                return
            words = "missing" if isinstance(had, str) else "being read"
        painter.setPen(QPen(look.colour("rule2"), 1, Qt.PenStyle.DashLine))
        painter.drawRect(frame.adjusted(0.5, 0.5, -0.5, -0.5))
        inner = frame.adjusted(look.px(6), 0, -look.px(6), 0)
        write(painter, inner, words, look.faces.pencil_small, look.colour("pencil"))

    # keys and hand

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            event.ignore()
        elif key in _STEPS:
            self.go(self._at + _STEPS[key])
        elif key in _ENTER and self._cells:
            self.opened.emit(self._at)
        elif not self._by_rows(key):
            event.ignore()

    def _by_rows(self, key: Qt.Key) -> bool:
        """Go a row up or down; False where none is left and the sheet has the key."""
        step = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(key, 0)
        to = self._at + step * self._across()
        if not step or not 0 <= to < len(self._cells):
            return False
        self.go(to)
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = self._under(event.position())
        if at is not None:
            self.go(at)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        at = self._under(event.position())
        if at is not None:
            self.opened.emit(at)

    def _under(self, point: QPointF) -> int | None:
        for at in range(len(self._cells)):
            if self.box_of(at).contains(point):
                return at
        return None

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._keep_in_sight()
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def _keep_in_sight(self) -> None:
        """Scroll the sheet so that the picture in the hand is seen."""
        parent = self.parentWidget()
        while parent is not None and not isinstance(parent, QScrollArea):
            parent = parent.parentWidget()
        ground = parent.widget() if isinstance(parent, QScrollArea) else None
        if not self.hasFocus() or not isinstance(parent, QScrollArea) or ground is None:
            return
        box = self.box_of(self._at).toRect()
        for corner in (box.bottomLeft(), box.topLeft()):
            at = self.mapTo(ground, corner)
            parent.ensureVisible(at.x(), at.y(), 0, self._theme.look.px(12))


def fitted(image: QImage, frame: QRectF) -> QRectF:
    """Return where an image stands in a frame: whole, at its left and its foot."""
    share = min(frame.width() / image.width(), frame.height() / image.height())
    wide, high = image.width() * share, image.height() * share
    return QRectF(frame.left(), frame.bottom() - high, wide, high)
