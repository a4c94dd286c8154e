"""What every page is: notices above, the page itself, and a panel for entries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QPainter, QPalette, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget
from shiboken6 import isValid

from rearing.desk.notices import NoticeBar

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QKeyEvent, QPaintEvent, QResizeEvent

    from rearing.desk.actions import Act
    from rearing.desk.theme import Theme
    from rearing.exchange.tables import Table

INSET = 24
_LEAST_BESIDE = 400
"""What a page needs beside a panel to be read; with less the panel stands alone."""
_ANY_WIDTH = 16_777_215  # Qt's own bound of a widget's size


@dataclass(frozen=True, slots=True)
class Shown:
    """A table of a page, and the part of the page that shows it."""

    table: Table
    where: QWidget | None = None


class Panel(QWidget):
    """A strip at the foot or side of a page in which something is entered.

    `closed` asks the page to take it away. Esc closes it.
    """

    closed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.at_side = False
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)

    def focus_first(self) -> None:
        """Put the keyboard on the first thing to fill."""
        self.setFocus()

    def side_width(self) -> int:
        """Return how wide it stands at the side, 0 where the page has no say in it."""
        return 0

    def fit_page(self, width: int) -> None:
        """Fit a page so wide, before it is shown there; a panel says how."""

    def stand_alone(self, alone: bool) -> None:
        """Take the page's whole width, or its own again."""
        wide = self.side_width()
        self.setMinimumWidth(0 if alone else wide)
        self.setMaximumWidth(_ANY_WIDTH if alone else wide)

    def tables(self) -> tuple[Shown, ...]:
        """Return the tables this panel shows, as raw values."""
        return ()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
            return
        super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(QPen(self.theme.look.colour("rule2"), 1))
        if self.at_side:
            painter.drawLine(QPointF(0.5, 0), QPointF(0.5, self.height()))
        else:
            painter.drawLine(QPointF(0, 0.5), QPointF(self.width(), 0.5))
        painter.end()


class Page(QWidget):
    """A page of the book; subclasses set `number` and `title` and fill the body.

    `targets` are the kinds of thing this page shows ("brood"). `go_asked(kind, id)`
    asks the window for whichever page shows such a thing, as a followed link does;
    `hints_changed` tells it that the words at the lower right differ.
    """

    number: ClassVar[int] = 0
    title: ClassVar[str] = ""
    targets: ClassVar[tuple[str, ...]] = ()
    hides_bars: ClassVar[bool] = False
    """True where menus and foot are put away in red view; Alt shows them."""
    go_asked = Signal(str, object)
    hints_changed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.notices = NoticeBar(theme, self)
        self._panel: Panel | None = None
        self._over: Panel | None = None
        self._came_from: QWidget | None = None
        self._over_came_from: QWidget | None = None
        self._body: QWidget | None = None
        self._cover: QWidget | None = None
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self._across = QHBoxLayout()
        self._across.setContentsMargins(0, 0, 0, 0)
        self._across.setSpacing(0)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.notices)
        self._column.addLayout(self._across, 1)
        theme.changed.connect(self.make_room)

    # what a subclass says

    def refresh(self, touched: object | None = None) -> None:
        """Read the book again if `touched` concerns this page (None: everything)."""

    def focus_first(self) -> None:
        """Put the keyboard where the work of this page begins."""
        self.setFocus()

    def hints(self) -> str:
        """Return the few keys worth showing at the lower right."""
        return ""

    def key_help(self) -> tuple[tuple[str, str], ...]:
        """Return (heading, lines of keys) for the list of keys."""
        return (("This page", self.hints()),) if self.hints() else ()

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        """Return this page's own acts, each with the bound method that does it."""
        return ()

    def in_hand(self) -> tuple[str, int] | None:
        """Return the kind and id of what a form may begin with, None where nothing."""
        return None

    def take_up(self, kind: str, target: object) -> bool:
        """Put the hand on what was found, where it stands on this page to be handled.

        False where it does not; the page that tells of it is then turned to.
        """
        return False

    def tables(self) -> tuple[Shown, ...]:
        """Return the tables this page shows now, as raw values; the first one first."""
        return ()

    def show_target(self, kind: str, target: object) -> None:
        """Turn to what a link led to; `go_asked` of another page ends here."""

    # what a subclass calls

    def set_body(self, body: QWidget) -> None:
        """Put the page's content in its place."""
        body.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._across.insertWidget(0, body, 1)
        self._body = body

    def cover(self, face: QWidget) -> None:
        """Show a face in place of the page's content, and give it the keyboard."""
        self.uncover()
        if self._body is not None:
            self._body.hide()
        self._cover = face
        self._across.insertWidget(0, face, 1)
        face.show()
        face.setFocus()
        self.hints_changed.emit()

    def uncover(self) -> None:
        """Take the face away again; the page is as it was."""
        face, self._cover = self._cover, None
        if face is None:
            return
        self._across.removeWidget(face)
        face.hide()
        face.setParent(None)
        if self._body is not None:
            self._body.show()
        self.focus_first()
        self.hints_changed.emit()

    @property
    def covered_by(self) -> QWidget | None:
        """The face that stands in place of the page's content, if one does."""
        return self._cover

    def open_panel(self, panel: Panel, *, side: bool = False) -> None:
        """Show a panel at the foot (or side) and put the keyboard in it."""
        came_from = self.focusWidget() if self._panel is None else self._came_from
        self.close_panel()
        self._came_from = came_from
        self._panel = panel
        panel.at_side = side
        (self._across if side else self._column).addWidget(panel)
        panel.closed.connect(self.close_panel)
        self.make_room()
        panel.show()
        panel.focus_first()

    def make_room(self) -> None:
        """Fit the panels to the page; one at the side stands alone on a narrow one."""
        face, panel = self._cover or self._body, self._panel
        for one in (panel, self._over):
            if one is not None:
                one.fit_page(self.width())
        if face is None or panel is None or not panel.side_width():
            return
        left = self.width() - panel.side_width()
        alone = panel.at_side and left < self.theme.look.px(_LEAST_BESIDE)
        face.setVisible(not alone)
        panel.stand_alone(alone)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.make_room()

    def close_panel(self) -> None:
        """Take the panel away and give the keyboard back to where it was."""
        self.put_over_away()
        panel, self._panel = self._panel, None
        if panel is None:
            return
        panel.closed.disconnect(self.close_panel)
        self._take_away(panel)
        face = self._cover or self._body
        if face is not None and panel.side_width():
            face.show()
        if self._came_from is not None:
            self._came_from.setFocus()
        else:
            self.focus_first()
        self._came_from = None

    def _take_away(self, panel: Panel) -> None:
        self._column.removeWidget(panel)
        self._across.removeWidget(panel)
        panel.hide()
        panel.setParent(None)
        panel.deleteLater()

    def lay_over(self, panel: Panel) -> None:
        """Show a second panel at the foot; what is open and half filled stays."""
        came_from = self.focusWidget() if self._over is None else self._over_came_from
        self.put_over_away()
        self._over, self._over_came_from = panel, came_from
        self._column.addWidget(panel)
        panel.closed.connect(self.put_over_away)
        self.make_room()
        panel.show()
        panel.focus_first()

    def put_over_away(self) -> None:
        """Take the second panel away, and go on where the keyboard was."""
        panel, self._over = self._over, None
        if panel is None:
            return
        panel.closed.disconnect(self.put_over_away)
        self._take_away(panel)
        came_from, self._over_came_from = self._over_came_from, None
        if came_from is not None and isValid(came_from):
            came_from.setFocus()
        else:
            self.focus_first()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not self.notices.isHidden():
            self.notices.clear()
            return
        super().keyPressEvent(event)

    @property
    def panel(self) -> Panel | None:
        """The panel that is open, if one is."""
        return self._panel

    @property
    def over(self) -> Panel | None:
        """The second panel that lies over it, if one does."""
        return self._over


@dataclass(frozen=True, slots=True)
class LatePage:
    """Stands for a page until it is turned to for the first time.

    What is not looked at is not made: the window opens sooner.
    """

    number: int
    title: str
    targets: tuple[str, ...]
    make: Callable[[], Page]
