"""What the Page menu does to the look: day and dark, text size, full screen, keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from rearing.desk.actions import key_words
from rearing.desk.notices import show_words
from rearing.desk.theme import View

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.theme import Theme
    from rearing.desk.window import Window

_ACT_OF_VIEW = {
    View.SYSTEM: "view_system",
    View.DAY: "view_day",
    View.DARK: "view_dark",
    View.RED: "view_red",
}


class ViewActs(QObject):
    """The handlers of the acts that change how things look."""

    def __init__(self, window: Window, theme: Theme) -> None:
        super().__init__(window)
        self._window = window
        self._theme = theme
        theme.changed.connect(self.check)

    def handlers(self) -> dict[str, Callable[[], object]]:
        """Return the bound method of each act, by its id."""
        return {
            "view_system": self.as_system,
            "view_day": self.day,
            "view_dark": self.dark,
            "view_red": self.red,
            "swap_view": self.swap,
            "larger": self._theme.larger,
            "smaller": self._theme.smaller,
            "plain_size": self.plain_size,
            "full_screen": self.full_screen,
            "keys": self.keys,
        }

    def check(self) -> None:
        """Tick the view that is in force."""
        for view, act in _ACT_OF_VIEW.items():
            action = self._window.menus.action(act)
            if action is not None:
                action.setChecked(self._theme.view is view)

    def as_system(self) -> None:
        """Follow the desktop."""
        self._theme.set_view(View.SYSTEM)

    def day(self) -> None:
        """Ink on paper."""
        self._theme.set_view(View.DAY)

    def dark(self) -> None:
        """Pale on dark."""
        self._theme.set_view(View.DARK)

    def red(self) -> None:
        """Dim red on black."""
        self._theme.set_view(View.RED)

    def swap(self) -> None:
        """Day to dark, dark to day, and red to dark: never from the lamp to white."""
        if self._theme.view is View.RED:
            self._theme.set_view(View.DARK)
            return
        dark = self._theme.look.tokens.dark
        self._theme.set_view(View.DAY if dark else View.DARK)

    def plain_size(self) -> None:
        """Text at 100 %."""
        self._theme.set_scale(1.0)

    def full_screen(self) -> None:
        """Fill the screen, or stop doing so."""
        if self._window.isFullScreen():
            self._window.showNormal()
        else:
            self._window.showFullScreen()

    def keys(self) -> None:
        """Show which key does what."""
        rows = [
            f"{key}:  {words}" for key, words in key_words(self._window.menus.acts())
        ]
        page = self._window.page
        hints = page.hints() if page is not None else ""
        show_words(self._window, "Keys", "\n".join(rows), hints)
