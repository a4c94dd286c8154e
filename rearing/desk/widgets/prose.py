"""Words over several lines in one of the book's faces, in ink or the softer ink."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QLabel, QSizePolicy

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from rearing.desk.theme import Theme


class Prose(QLabel):
    """A paragraph; `face` names one of the theme's faces, `ink` one of its colours."""

    def __init__(
        self,
        theme: Theme,
        face: str = "body",
        ink: str = "ink",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._face, self._ink = face, ink
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        theme.changed.connect(self._dress)
        self._dress()

    def tell(self, words: str) -> None:
        """Show other words; without any it takes no room."""
        self.setText(words)
        self.setAccessibleName(words)
        self.setVisible(bool(words))

    def _dress(self) -> None:
        look = self._theme.look
        self.setFont(getattr(look.faces, self._face))
        palette = QPalette(self.palette())
        # on the page's own ground Qt writes in Text, elsewhere in WindowText
        for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text):
            palette.setColor(role, look.colour(self._ink))
        self.setPalette(palette)
