"""The window: menus, thumb index, pages, and the line at the foot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMainWindow,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from rearing.desk.almanac import Almanac
from rearing.desk.foot import Foot
from rearing.desk.menus import Menus
from rearing.desk.page import LatePage, Page
from rearing.desk.rail import Rail, RailColumn, Tab
from rearing.desk.theme import View
from rearing.desk.view_acts import ViewActs

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from PySide6.QtGui import QCloseEvent, QKeyEvent, QResizeEvent

    from rearing.desk.theme import Theme


_RAIL_SHARE = 0.22


@dataclass(frozen=True, slots=True)
class Place:
    """Where the keeper is: a page, and what it shows when a link led there."""

    number: int
    kind: str = ""
    target: object = None


class Window(QMainWindow):
    """Arranges the pages it is given; `closing` before it goes away."""

    closing = Signal()

    def __init__(
        self,
        theme: Theme,
        pages: Sequence[Page | LatePage],
        handlers: Mapping[str, Callable[[], object]] | None = None,
    ) -> None:
        super().__init__()
        self.theme = theme
        self._pages: dict[int, Page | LatePage] = {page.number: page for page in pages}
        self._stale: set[int] = set(self._pages)
        self._here: Place | None = None
        self._back: list[Place] = []
        self.setWindowTitle("Rearing")
        self.rail = Rail(theme, [Tab(page.number, page.title) for page in pages])
        self.almanac = Almanac(theme)
        self._stack = QStackedWidget()
        self._arrange()
        self.almanac.refitted.connect(self._fit_rail)
        for page in pages:
            if not isinstance(page, LatePage):
                self._take_in(page)
        self.foot = Foot(theme)
        self.statusBar().setSizeGripEnabled(False)
        self.statusBar().addWidget(self.foot, 1)
        self._view_acts = ViewActs(self, theme)
        own = {**self._view_acts.handlers(), "back": self.go_back, "quit": self.close}
        self.menus = Menus(self, pages, {**own, **(handlers or {})})
        self._view_acts.check()
        theme.changed.connect(self._dress)
        self.menus.page_asked.connect(self.open_page)
        self.rail.opened.connect(self.open_page)
        self.rail.left.connect(self._into_page)
        self._dress()

    # arranging

    def _take_in(self, page: Page) -> None:
        self._stack.addWidget(page)
        page.go_asked.connect(self.follow)
        page.hints_changed.connect(self._show_hints)

    def _arrange(self) -> None:
        self._left = QVBoxLayout()
        self._left.setSpacing(0)
        self._left.addWidget(self.rail, 1)
        self._left.addWidget(self.almanac)
        column = RailColumn(self.theme)
        column.setLayout(self._left)
        whole = QWidget()
        across = QHBoxLayout(whole)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        across.addWidget(column)
        across.addWidget(self._stack, 1)
        self.setCentralWidget(whole)

    def _dress(self) -> None:
        look = self.theme.look
        self._left.setContentsMargins(0, look.px(18), 0, 0)
        self._fit_rail()
        self._put_bars()

    def _put_bars(self, *, asked: bool = False) -> None:
        """Put menus and foot away where only the lamp's page is to shine."""
        page = self.page
        alone = self.theme.view is View.RED and page is not None and page.hides_bars
        self.menuBar().setVisible(asked or not alone)
        self.statusBar().setVisible(asked or not alone)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Alt:
            self._put_bars(asked=self.menuBar().isHidden())
        super().keyReleaseEvent(event)

    def _fit_rail(self) -> None:
        """Give the rail its width, or fold it to numerals in too narrow a window."""
        least, most = self.rail.open_width(), int(self.width() * _RAIL_SHARE)
        width = max(least, min(self.almanac.sizeHint().width(), most))
        folded = self.theme.view is View.RED or least > most
        self.rail.fold(folded=folded)
        self.almanac.setVisible(not folded)
        self.rail.setFixedWidth(self.rail.sizeHint().width() if folded else width)
        self.almanac.setFixedWidth(width)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_rail()

    # pages

    @property
    def page(self) -> Page | None:
        """The open page."""
        return self.page_at(self._here.number) if self._here is not None else None

    def page_at(self, number: int) -> Page:
        """Return a page by its number, made now if nobody turned to it before."""
        page = self._pages[number]
        if isinstance(page, LatePage):
            page = page.make()
            self._pages[number] = page
            self._take_in(page)
            self.menus.add_page(page)
        return page

    def open_page(self, number: int) -> None:
        """Turn to a page; a number that isn't here leaves things as they are."""
        if self._here is None or self._here.number != number:
            self._turn_to(Place(number))

    def open_first(self) -> None:
        """Turn to the first page unless one is open."""
        if self._here is None and self._pages:
            self.open_page(next(iter(self._pages)))

    def follow(self, kind: str, target: object) -> None:
        """Turn to the page that shows such a thing, and show it there."""
        for page in self._pages.values():
            if kind in page.targets:
                self._turn_to(Place(page.number, kind, target))
                return

    def go_back(self) -> None:
        """Return to the page, and the thing on it, that was shown before."""
        if self._back:
            place = self._back.pop()
            self._here = None
            self._turn_to(place)

    def _turn_to(self, place: Place) -> None:
        if place.number not in self._pages or place == self._here:
            return
        if self._here is not None:
            self._back.append(self._here)
        self._here = place
        page = self.page_at(place.number)
        if place.number in self._stale:
            self._stale.discard(place.number)
            page.refresh(None)
        if place.kind:
            page.show_target(place.kind, place.target)
        on_rail = self.rail.hasFocus()
        self._stack.setCurrentWidget(page)
        self.rail.open(place.number)
        self.menus.page_opened(place.number)
        self._show_hints()
        self._put_bars()
        if not on_rail:
            page.focus_first()

    def _into_page(self) -> None:
        if self.page is not None:
            self.page.focus_first()

    # what the book says

    def book_changed(self, touched: object | None = None) -> None:
        """Refresh the open page now, the others when they are turned to."""
        self._stale = set(self._pages)
        if self._here is not None and self.page is not None:
            self._stale.discard(self._here.number)
            self.page.refresh(touched)
            self._show_hints()

    def say_last(self, sentence: str, *, undone: bool = False) -> None:
        """Show the last entry at the lower left, and the key that takes it back."""
        if not sentence:
            self.foot.say("")
            return
        key = "Ctrl+Y puts it back." if undone else "Ctrl+Z takes it back."
        first = "Taken back" if undone else "Last"
        self.foot.say(f"{first}: {sentence.rstrip('.')}.  {key}")

    def say(self, sentence: str) -> None:
        """Show a sentence at the lower left that nothing takes back."""
        self.foot.say(sentence)

    @property
    def said(self) -> str:
        """The sentence at the lower left."""
        return self.foot.words

    def _show_hints(self) -> None:
        page = self.page
        # what covers a page tells its own keys, and the page's mean nothing there
        open_to_keys = page is not None and page.covered_by is None
        self.foot.hint(page.hints() if page is not None and open_to_keys else "")

    def closeEvent(self, event: QCloseEvent) -> None:
        self.closing.emit()
        super().closeEvent(event)
