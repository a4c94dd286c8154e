"""The canvas: a figure that is drawn again when told, resized or restyled."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matplotlib import rc_context
from matplotlib.backends.backend_qtagg import FigureCanvasQTAgg
from matplotlib.figure import Figure
from PySide6.QtCore import Qt

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QResizeEvent, QWheelEvent


class Canvas(FigureCanvasQTAgg):
    """Draws at the next idle moment, however often it was told before."""

    def __init__(self) -> None:
        super().__init__(Figure())  # type: ignore[no-untyped-call]  # not ours
        self._drawing: Callable[[Figure], None] | None = None
        self._is_stale = False
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.figure.set_dpi(self.logicalDpiY())

    def tell(self, drawing: Callable[[Figure], None]) -> None:
        """Take another drawing, to be made when there is time."""
        self._drawing = drawing
        self._is_stale = True
        self.draw_idle()  # type: ignore[no-untyped-call]  # not ours

    def draw(self) -> None:
        """Draw what was told last; artists are made anew only after a change."""
        if self._is_stale and self._drawing is not None:
            self._is_stale = False
            self._drawing(self.figure)
        # Letters keep the widths they were designed with; else they drift apart.
        with rc_context({"text.hinting": "none"}):
            super().draw()  # type: ignore[no-untyped-call]  # not ours

    def resizeEvent(self, event: QResizeEvent) -> None:
        # Room and days named depend on the size.
        self._is_stale = True
        super().resizeEvent(event)  # type: ignore[no-untyped-call]  # not ours

    def wheelEvent(self, event: QWheelEvent) -> None:
        # The page scrolls under the wheel, not the chart.
        event.ignore()
