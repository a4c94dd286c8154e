"""When a key that nothing else wanted is the page's to answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from rearing.desk.page import Page

_PLAIN = {
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.KeypadModifier,
}


def is_for_page(page: Page, event: QKeyEvent) -> bool:
    """Tell whether a key is the page's: plain, and not typed in an open form."""
    if event.modifiers() not in _PLAIN:
        return False
    focus = page.focusWidget()
    panels = (page.panel, page.over)
    return not any(panel is not None and panel.isAncestorOf(focus) for panel in panels)
