"""A picture as large as the page: its day, its caption, and the next one by a key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QImage, QPainter, QPalette, QPen
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from rearing.desk.page import INSET
from rearing.desk.pictures import dimmed
from rearing.desk.theme import View
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.prose import Prose
from rearing.desk.widgets.writing import wrap

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QKeyEvent, QPaintEvent

    from rearing.desk.pictures import Pictures
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.picture_strip import PictureCell
    from rearing.records.pictures import Named

FACE_KEYS = "← → another picture   C caption and day   Del put away   Esc back"
_SHOW = "A picture is bright. Enter shows it dimmed, in red."
_STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_ENTER = {Qt.Key.Key_Return, Qt.Key.Key_Enter}
_PLAIN = {
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.KeypadModifier,
    Qt.KeyboardModifier.ShiftModifier,
}


class _Ground(QWidget):
    """Draws the picture in the middle, or the words that stand for it."""

    def __init__(self, theme: Theme, pictures: Pictures) -> None:
        super().__init__()
        self._theme = theme
        self._pictures = pictures
        self._named: Named | None = None
        self._last: QImage | None = None
        self.asked_for = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        pictures.arrived.connect(self._arrived)
        theme.changed.connect(self._dress)

    def show_picture(self, named: Named) -> None:
        """Show another picture; in red only once that is asked for anew."""
        if named != self._named:
            self._named, self._last, self.asked_for = named, None, False
        self.update()

    def ask(self) -> None:
        """Show it in red too."""
        self.asked_for = True
        self.update()

    @property
    def is_kept_dark(self) -> bool:
        """True while the picture is not shown, for the sake of the eyes."""
        return self._theme.view is View.RED and not self.asked_for

    def _dress(self) -> None:
        self.asked_for = False
        self.update()

    def _arrived(self, named: object) -> None:
        if named == self._named:
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._named is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        if self.is_kept_dark:
            self._paint_words(painter, _SHOW)
        else:
            self._paint_picture(painter, self._named)
        painter.end()

    def _paint_picture(self, painter: QPainter, named: Named) -> None:
        fine = self.devicePixelRatioF()
        size = int(self.width() * fine), int(self.height() * fine)
        had = self._pictures.large(named, *size)
        if had is None:
            had = self._stand_in(named)
        elif isinstance(had, QImage):
            had.setDevicePixelRatio(fine)
            self._last = had
        if isinstance(had, QImage):
            self._paint_image(painter, had)
        else:
            self._paint_words(painter, had or "The picture is being read.")

    def _stand_in(self, named: Named) -> QImage | None:
        """Return the picture as it was at another size, or the small one of it."""
        if self._last is not None:
            return self._last
        small = self._pictures.small(named)
        return small if isinstance(small, QImage) else None

    def _paint_image(self, painter: QPainter, image: QImage) -> None:
        if self._theme.view is View.RED:
            ratio = image.devicePixelRatio()
            image = dimmed(image, self._theme.look.colour("ink"))
            image.setDevicePixelRatio(ratio)
        wide, high = image.deviceIndependentSize().toTuple()
        share = min(self.width() / wide, self.height() / high)
        wide, high = wide * share, high * share
        left, top = (self.width() - wide) / 2, (self.height() - high) / 2
        painter.drawImage(QRectF(left, top, wide, high), image)

    def _paint_words(self, painter: QPainter, words: str) -> None:
        look = self._theme.look
        frame = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.setPen(QPen(look.colour("rule2"), 1, Qt.PenStyle.DashLine))
        painter.drawRect(frame)
        painter.setFont(look.faces.lead_quiet)
        painter.setPen(look.colour("ink2"))
        lines = wrap(words, look.faces.lead_quiet, frame.width() * 0.8)
        middle = Qt.AlignmentFlag.AlignCenter
        painter.drawText(frame, int(middle), "\n".join(lines))


class PictureFace(QWidget):
    """One picture after another; Esc asks to go back.

    `closed` on Esc, `caption_asked(at)` on C, `away_asked(at)` on Delete; `turned(at)`
    when another is shown.
    """

    closed = Signal()
    caption_asked = Signal(int)
    away_asked = Signal(int)
    turned = Signal(int)

    def __init__(self, theme: Theme, pictures: Pictures) -> None:
        super().__init__()
        self._theme = theme
        self._pictures = pictures
        self._cells: tuple[PictureCell, ...] = ()
        self._title = ""
        self._at = 0
        self.header = PageHeader(theme)
        self._ground = _Ground(theme, pictures)
        self.caption = Prose(theme, "lead")
        self.keys = Prose(theme, "small", "ink2")
        self.keys.tell(FACE_KEYS)
        self._column = QVBoxLayout(self)
        self._within = QVBoxLayout()
        for part in (self._ground, self.caption, self.keys):
            self._within.addWidget(part, 1 if part is self._ground else 0)
        self._column.addWidget(self.header)
        self._column.addLayout(self._within, 1)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        theme.changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        look = self._theme.look
        inset = look.px(INSET)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._within.setContentsMargins(inset, look.px(12), inset, look.px(12))
        self._within.setSpacing(look.px(6))

    def tell(self, title: str, cells: Sequence[PictureCell], at: int) -> None:
        """Show one of some pictures; `title` says what they stand beside."""
        self._title, self._cells = title, tuple(cells)
        self._at = min(max(at, 0), max(len(self._cells) - 1, 0))
        self._show()

    @property
    def at(self) -> int:
        """Which picture is shown."""
        return self._at

    @property
    def cells(self) -> tuple[PictureCell, ...]:
        """All the pictures that are gone through."""
        return self._cells

    @property
    def is_kept_dark(self) -> bool:
        """True while the picture is not shown, for the sake of the eyes."""
        return self._ground.is_kept_dark

    def _show(self) -> None:
        if not self._cells:
            return
        cell = self._cells[self._at]
        turn = f"picture {self._at + 1} of {len(self._cells)}"
        heading = Heading(code=self._title, words="photo", verdict=cell.day, under=turn)
        self.header.tell(heading)
        self.caption.tell(cell.caption or "No caption yet: C writes one.")
        self.setAccessibleName(f"Photo, {self._title}, {turn}. {cell.sentence}")
        self._ground.show_picture(cell.named)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Answer the face's keys; others do nothing to the page that is covered."""
        key = Qt.Key(event.key())
        if event.modifiers() not in _PLAIN:
            event.ignore()
        elif key in _STEPS:
            self._turn(self._at + _STEPS[key])
        elif key in {Qt.Key.Key_Home, Qt.Key.Key_End}:
            self._turn(0 if key == Qt.Key.Key_Home else len(self._cells) - 1)
        elif key in _ENTER:
            self._ground.ask()
        elif key == Qt.Key.Key_Escape:
            self.closed.emit()
        elif key == Qt.Key.Key_Delete:
            self.away_asked.emit(self._at)
        elif event.text().upper() == "C":
            self.caption_asked.emit(self._at)

    def _turn(self, at: int) -> None:
        if 0 <= at < len(self._cells) and at != self._at:
            self._at = at
            # a picture left before it was read need not be read any more
            self._pictures.leave_waiting()
            self._show()
            self.turned.emit(at)
