"""The menu bar, made from the table of acts and the acts each page brings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QMenu

from rearing.desk.actions import ACTS, MENUS, make_action, page_act
from rearing.desk.page import LatePage

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from PySide6.QtGui import QAction
    from PySide6.QtWidgets import QMainWindow

    from rearing.desk.actions import Act
    from rearing.desk.page import Page


class Menus(QObject):
    """Builds the menus; acts nobody handles are not shown.

    `page_asked(number)` when a page is asked for by its key or in the menu.
    """

    page_asked = Signal(int)

    def __init__(
        self,
        window: QMainWindow,
        pages: Sequence[Page | LatePage],
        handlers: Mapping[str, Callable[[], object]],
    ) -> None:
        super().__init__(window)
        self._window = window
        self._menus: dict[str, QMenu] = {}
        self._actions: dict[str, QAction] = {}
        self._of_page: dict[int, list[QAction]] = {}
        self._acts: list[Act] = []
        for title in MENUS:
            menu = QMenu(title, window)
            menu.setToolTipsVisible(True)
            self._menus[title] = menu
        for page in pages:
            opener = _Opener(page.number, self)
            self._add(page_act(page.number, page.title), opener.open)
        for act in ACTS:
            if act.id in handlers:
                self._add(act, handlers[act.id])
        for menu in self._menus.values():
            window.menuBar().addMenu(menu)
        for page in pages:
            if not isinstance(page, LatePage):
                self.add_page(page)
        self.page_opened(0)
        self._show_filled()

    def _add(self, act: Act, on_asked: Callable[[], object]) -> QAction:
        menu = self._menus[act.menu]
        if act.break_before and not menu.isEmpty():
            menu.addSeparator()
        action = make_action(act, self, on_asked)
        menu.addAction(action)
        # on the window too, so that the key works while the menus are hidden
        self._window.addAction(action)
        self._actions[act.id] = action
        self._acts.append(act)
        return action

    def _show_filled(self) -> None:
        """Show the menus that have something in them."""
        for menu in self._menus.values():
            menu.menuAction().setVisible(not menu.isEmpty())

    def add_page(self, page: Page) -> None:
        """Add the acts of a page, when it is made; shown while the page is open."""
        offered = page.acts()
        if offered and not self._menus[offered[0][0].menu].isEmpty():
            self._menus[offered[0][0].menu].addSeparator()
        made = [self._add(act, on_asked) for act, on_asked in offered]
        self._of_page[page.number] = made
        self._show_filled()

    def add_group(
        self,
        menu: str,
        title: str,
        offered: Sequence[tuple[Act, Callable[[], object]]],
    ) -> None:
        """Add a group of acts, as a menu within a menu."""
        group = self._menus[menu].addMenu(title)
        group.setToolTipsVisible(True)
        for act, on_asked in offered:
            action = make_action(act, self, on_asked)
            group.addAction(action)
            self._window.addAction(action)
            self._actions[act.id] = action
            self._acts.append(act)
        self._show_filled()

    def page_opened(self, number: int) -> None:
        """Show the acts of the open page, and only those."""
        for page, actions in self._of_page.items():
            for action in actions:
                action.setVisible(page == number)
                action.setEnabled(page == number)
        self._show_filled()

    def action(self, act_id: str) -> QAction | None:
        """Return the action of an act, None when nobody handles it."""
        return self._actions.get(act_id)

    def acts(self) -> tuple[Act, ...]:
        """Return the acts that are in the menus."""
        return tuple(self._acts)


class _Opener(QObject):
    def __init__(self, number: int, menus: Menus) -> None:
        super().__init__(menus)
        self._number = number
        self._menus = menus

    def open(self) -> None:
        self._menus.page_asked.emit(self._number)
