"""What a page says when it has nothing to show: and what to do then."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from rearing.desk.widgets.header import PageHeader

if TYPE_CHECKING:
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.header import Heading


class QuietPage(QWidget):
    """The head of a page that has nothing to show yet, and the quiet words below."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.head = PageHeader(theme)
        self._quiet = Quiet(theme)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self._quiet, 1)

    def tell(self, heading: Heading, lead: str, more: str = "") -> None:
        """Show another head and other words."""
        self.head.tell(heading)
        self._quiet.tell(lead, more)

    @property
    def words(self) -> str:
        """What is shown under the head."""
        return self._quiet.words


class Quiet(QWidget):
    """A lead sentence and a softer one under it, a third of the way down."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._lead, self._more = QLabel(self), QLabel(self)
        self._column = QVBoxLayout(self)
        self._column.addStretch(2)
        for label in (self._lead, self._more):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            self._column.addWidget(label)
        self._column.addStretch(3)
        theme.changed.connect(self._dress)
        self._dress()

    def tell(self, lead: str, more: str = "") -> None:
        """Show other words."""
        self._lead.setText(lead)
        self._more.setText(more)
        self.setAccessibleName(f"{lead} {more}".strip())

    @property
    def words(self) -> str:
        """What is shown."""
        return self.accessibleName()

    def _dress(self) -> None:
        look = self._theme.look
        side = look.px(60)
        self._column.setContentsMargins(side, 0, side, 0)
        self._column.setSpacing(look.px(8))
        self._lead.setFont(look.faces.subtitle)
        self._more.setFont(look.faces.body)
