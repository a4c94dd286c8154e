"""Setting the desk up: application, look and helpers, and a window on it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication

from rearing.belongings import resource
from rearing.desk import settings as workplace
from rearing.desk.crash import CrashHook
from rearing.desk.fonts import load_families
from rearing.desk.tasks import Tasks
from rearing.desk.theme import Theme

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from PySide6.QtCore import QSettings

    from rearing.desk.window import Window

_FIRST_WIDTH, _FIRST_HEIGHT = 1280, 800


@dataclass(frozen=True, slots=True)
class Desk:
    """What every page and window is given."""

    app: QApplication
    theme: Theme
    tasks: Tasks
    crash: CrashHook
    store: QSettings
    settings: workplace.Settings


def set_up(argv: Sequence[str], settings_path: Path) -> Desk:
    """Make the application in the right colours, before any window is shown."""
    running = QApplication.instance()
    app = running if isinstance(running, QApplication) else QApplication(list(argv))
    app.setApplicationName("rearing")
    app.setApplicationDisplayName("Rearing")
    store = workplace.open_store(settings_path)
    settings = workplace.load(store)
    theme = Theme(
        app,
        load_families(),
        view=settings.view,
        scale=settings.text_scale,
        red_step=settings.red_step,
    )
    tasks, crash = Tasks(app), CrashHook(app)
    return Desk(app, theme, tasks, crash, store, settings)


class Remembrance(QObject):
    """Remembers how a window was left when it closes."""

    def __init__(self, desk: Desk, window: Window, book: str) -> None:
        super().__init__(window)
        self._desk = desk
        self._window = window
        self._book = book
        window.closing.connect(self.remember)

    def remember(self) -> None:
        """Write the preferences as they are now."""
        page = self._window.page
        workplace.save(
            self._desk.store,
            replace(
                self._desk.settings,
                view=self._desk.theme.view,
                text_scale=self._desk.theme.scale,
                red_step=self._desk.theme.red_step,
                last_book=self._book or self._desk.settings.last_book,
                last_page=page.number if page is not None else 1,
            ),
        )
        workplace.keep_window_geometry(self._desk.store, self._window.saveGeometry())


def show(
    desk: Desk, window: Window, *, book: str = "", page: int | None = None
) -> None:
    """Show a window where it was left, on the page it was left on."""
    desk.crash.watch(window)
    Remembrance(desk, window, book)
    geometry = workplace.window_geometry(desk.store)
    if geometry is None or not window.restoreGeometry(geometry):
        room = QGuiApplication.primaryScreen().availableSize()
        window.resize(
            min(_FIRST_WIDTH, room.width()), min(_FIRST_HEIGHT, room.height())
        )
    window.open_page(desk.settings.last_page if page is None else page)
    window.open_first()
    window.setWindowIcon(QIcon(str(resource("icons", "rearing.svg"))))
    window.show()
