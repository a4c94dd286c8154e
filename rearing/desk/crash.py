"""What happens when the program itself is wrong: a page with a report to copy."""

from __future__ import annotations

import logging
import platform
import sys
import traceback
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, qVersion
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from rearing import __version__

if TYPE_CHECKING:
    from types import TracebackType

log = logging.getLogger(__name__)
_WORDS = (
    "Something in the program went wrong. This is its fault, not yours. "
    "Everything entered before is in the book; the last thing may not be. "
    "You can go on, or close and open the book again."
)


def report_of(
    kind: type[BaseException], trouble: BaseException, trace: TracebackType | None
) -> str:
    """Return the report: versions, then where it happened."""
    versions = (
        f"Rearing {__version__}, Python {platform.python_version()}, "
        f"Qt {qVersion()}, {platform.platform()}"
    )
    where = "".join(traceback.format_exception(kind, trouble, trace))
    return f"{versions}\n\n{where}"


class CrashPage(QDialog):
    """The words, the report, and a button that copies it."""

    def __init__(self, report: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Something went wrong")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        words = QLabel(_WORDS)
        words.setWordWrap(True)
        self.report = QPlainTextEdit(report)
        self.report.setReadOnly(True)
        self.report.setAccessibleName("Report")
        self.report.setTabChangesFocus(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        self.copy_button = QPushButton("&Copy the report")
        buttons.addButton(self.copy_button, QDialogButtonBox.ButtonRole.ActionRole)
        self.copy_button.clicked.connect(self.copy)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(words)
        column.addWidget(self.report, 1)
        column.addWidget(buttons)
        self.resize(720, 420)

    def copy(self) -> None:
        """Put the report on the clipboard."""
        QGuiApplication.clipboard().setText(self.report.toPlainText())


class CrashHook(QObject):
    """Catches what nobody caught; shows one page at a time and lets the rest go on."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._window: QWidget | None = None
        self._page: CrashPage | None = None

    @property
    def page(self) -> CrashPage | None:
        """The page that is open."""
        return self._page

    def install(self) -> None:
        """Become what Python calls with an exception nobody caught."""
        sys.excepthook = self.caught

    def watch(self, window: QWidget) -> None:
        """Show the page over this window."""
        self._window = window

    def caught(
        self,
        kind: type[BaseException],
        trouble: BaseException,
        trace: TracebackType | None,
    ) -> None:
        """Log the trouble and open the page; Ctrl+C at the terminal still ends."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, trouble, trace)
            return
        report = report_of(kind, trouble, trace)
        log.critical("%s", report)
        if self._page is not None:
            self._page.report.appendPlainText(f"\nand then:\n{report}")
            return
        self._page = CrashPage(report, self._window)
        self._page.destroyed.connect(self._page_gone)
        self._page.open()

    def _page_gone(self) -> None:
        self._page = None
