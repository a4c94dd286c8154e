"""Qt's own list of files, made fit for the dark: no bright icon in the red view."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QFileDialog,
    QPushButton,
    QToolButton,
)

from rearing.desk.theme import View

if TYPE_CHECKING:
    from rearing.desk.theme import Theme


def keep_dark(dialog: QFileDialog, theme: Theme) -> None:
    """Have the list drawn by Qt in the book's colours, and in red without icons.

    The desktop's own list may be bright white, and icons are of every colour. What
    the small buttons do, keys do as well (Backspace goes a folder up).
    """
    dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
    if theme.view is not View.RED:
        return
    nothing = QSize(0, 0)
    for view in dialog.findChildren(QAbstractItemView):
        view.setIconSize(nothing)
    for box in dialog.findChildren(QComboBox):
        box.setIconSize(nothing)
    for button in dialog.findChildren(QPushButton):
        button.setIcon(QIcon())
    for small in dialog.findChildren(QToolButton):
        small.hide()
