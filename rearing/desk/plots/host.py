"""The place of a chart on a page: empty until first shown, then a drawn figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Protocol

    from matplotlib.figure import Figure
    from PySide6.QtGui import QFocusEvent, QPaintEvent, QShowEvent

    from rearing.charts.look import ChartLook
    from rearing.desk.plots.canvas import Canvas
    from rearing.desk.theme import Theme

    class Drawing(Protocol):
        """Draws a result it already holds into a figure, in a look."""

        def __call__(self, figure: Figure, *, look: ChartLook) -> None: ...


class ChartHost(QWidget):
    """Holds one chart, as high as so many pixels at 100 %.

    The drawing library is not loaded before the chart is first seen. What the chart
    shows is also its accessible description.
    """

    def __init__(self, theme: Theme, name: str, height: int) -> None:
        super().__init__()
        self._theme = theme
        self._height = height
        self._make: Callable[[], Drawing] | None = None
        self._canvas: Canvas | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(2, 2, 2, 2)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self._dress)

    @property
    def canvas(self) -> Canvas | None:
        """The canvas, once the chart was seen."""
        return self._canvas

    def tell(self, make: Callable[[], Drawing], sentence: str) -> None:
        """Show the drawing that `make` returns; the sentence says the same in words.

        `make` is asked once the chart is seen, so that it may load what it draws with.
        """
        self._make = make
        self.setAccessibleDescription(sentence)
        if self._canvas is not None:
            self._canvas.tell(self._draw)

    def _draw(self, figure: Figure) -> None:
        from rearing.desk.plots.look import chart_look

        if self._make is not None:
            self._make()(figure, look=chart_look(self._theme))

    def _dress(self) -> None:
        self.updateGeometry()
        if self._canvas is not None:
            self._canvas.tell(self._draw)

    def sizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(500), look.px(self._height))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._theme.look.px(220), self.sizeHint().height())

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._canvas is None:
            from rearing.desk.plots.canvas import Canvas

            self._canvas = Canvas()
            self._column.addWidget(self._canvas)
            self._canvas.tell(self._draw)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self.hasFocus():
            return
        painter = QPainter(self)
        painter.setPen(QPen(self._theme.look.colour("blue"), 2))
        painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()
