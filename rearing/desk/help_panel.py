"""The words of the Help menu: keys, cautions, and what this program is."""

from __future__ import annotations

import platform
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, qVersion
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from rearing import __version__
from rearing.belongings import resource
from rearing.desk.page import INSET, Panel
from rearing.desk.widgets.question import KeyButton

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from PySide6.QtGui import QKeyEvent

    from rearing.desk.theme import Theme

Paragraph = tuple[str, str]
_LICENCES = (
    "Drawn with Qt through PySide6 (LGPL). Written in Vollkorn and Source Sans 3 "
    "(SIL Open Font License). Kept by SQLite through SQLAlchemy and Alembic (MIT). "
    "Figures by NumPy and SciPy (BSD), drawn by Matplotlib."
)


class HelpPanel(Panel):
    """Words to be read at the side of the page, scrolled with the keys, left by Esc."""

    def __init__(
        self, theme: Theme, title: str, paragraphs: Sequence[Paragraph]
    ) -> None:
        super().__init__(theme)
        self.setAccessibleName(title)
        self._title = _label(title)
        self._heads: list[QLabel] = []
        self._texts: list[QLabel] = []
        ground = QWidget()
        ground.setBackgroundRole(self.backgroundRole())
        self._column = QVBoxLayout(ground)
        for head, text in paragraphs:
            self._add(head, text)
        self._column.addStretch(1)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.viewport().setBackgroundRole(self.backgroundRole())
        self._scroll.setWidget(ground)
        self._scroll.setAccessibleName(title)
        self._scroll.setAccessibleDescription(self.words)
        self._leave = KeyButton(theme, "Esc", "close")
        self._leave.clicked.connect(self.closed)
        self._whole = QVBoxLayout(self)
        for part in (self._title, self._scroll, self._leave):
            self._whole.addWidget(part)
        theme.changed.connect(self._dress)
        self._dress()

    def _add(self, head: str, text: str) -> None:
        for words, kept in ((head, self._heads), (text, self._texts)):
            if words:
                label = _label(words)
                kept.append(label)
                self._column.addWidget(label)

    @property
    def words(self) -> str:
        """All that is said."""
        return "\n".join(label.text() for label in (*self._heads, *self._texts))

    def focus_first(self) -> None:
        self._scroll.setFocus()

    def side_width(self) -> int:
        return self.theme.look.px(400)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.closed.emit()
            return
        super().keyPressEvent(event)

    def _dress(self) -> None:
        look = self.theme.look
        inset = look.px(INSET)
        self._whole.setContentsMargins(inset, look.px(16), inset, look.px(12))
        self._column.setContentsMargins(0, 0, look.px(6), 0)
        self._column.setSpacing(look.px(5))
        self._title.setFont(look.faces.subtitle)
        for label in self._heads:
            label.setFont(look.faces.section)
            label.setContentsMargins(0, look.px(8), 0, 0)
        for label in self._texts:
            label.setFont(look.faces.body)


def _label(words: str) -> QLabel:
    label = QLabel(words)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label


def cautions() -> tuple[Paragraph, ...]:
    """Return where the work can hurt, and what is usual against it."""
    text = resource("help", "cautions.txt").read_text(encoding="utf-8")
    first, *rest = [block.strip() for block in text.split("\n\n") if block.strip()]
    parted = (block.partition("\n") for block in rest)
    return (("", first), *((head, words) for head, _, words in parted))


def about(book: Path) -> tuple[Paragraph, ...]:
    """Return what this program is and what it runs on."""
    running = (
        f"Rearing {__version__}, Python {platform.python_version()}, "
        f"Qt {qVersion()}, {platform.platform()}"
    )
    return (
        ("", "The rearing book of a moth keeper: from the lamp night to next year."),
        ("This book", f"{book}\nSaved at every key. A checked copy is kept each day."),
        ("What it runs on", running),
        ("With thanks", _LICENCES),
    )
