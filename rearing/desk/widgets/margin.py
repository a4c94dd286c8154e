"""The field-book page: section names in the margin, entries right of a madder rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPalette, QPen
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QSpacerItem,
    QVBoxLayout,
    QWidget,
)

from rearing.desk.page import INSET
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPaintEvent, QResizeEvent

    from rearing.desk.theme import Look, Theme

_MARGIN_LEAST, _MARGIN_MOST = 112, 190
_RULES_APART = 4
_FIXED = QSizePolicy.Policy.Fixed
_AFTER_RULES = 20


class Section(QWidget):
    """One entry of a page: its name and a note in the margin, its content beside."""

    def __init__(self, theme: Theme, name: str, note: str, content: QWidget) -> None:
        super().__init__()
        self._theme = theme
        self.name = name
        self.note = note
        self.content = content
        self.margin = 0
        self._least = 0
        self.setAccessibleName(f"{name}, {note}" if note else name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._across = QHBoxLayout(self)
        self._across.setSpacing(0)
        self._across.addWidget(content)
        # words over several lines ask for a height by their width, and that alone
        # counts then: the post keeps room for the note beside a single line
        self._post = QSpacerItem(0, 0, _FIXED, _FIXED)
        self._across.addItem(self._post)

    def set_note(self, note: str) -> None:
        """Change the words under the name."""
        self.note = note
        self.setAccessibleName(f"{self.name}, {note}" if note else self.name)
        self._keep_room()
        self.update()

    def _keep_room(self) -> None:
        """Be high enough for the name and, if there is one, the note under it."""
        look = self._theme.look
        self._least = look.px(52 if self.note else 40)
        around = look.px(9) + look.px(11)
        self._post.changeSize(0, max(self._least - around, 0), _FIXED, _FIXED)
        self._across.invalidate()
        self.updateGeometry()

    def minimumSizeHint(self) -> QSize:
        # a fixed least height would count for more than what the content needs
        hint = super().minimumSizeHint()
        return hint.expandedTo(QSize(0, self._least))

    def sizeHint(self) -> QSize:
        return super().sizeHint().expandedTo(QSize(0, self._least))

    def set_margin(self, margin: int) -> None:
        """Stand clear of a margin this wide."""
        look = self._theme.look
        self.margin = margin
        left = margin + look.px(_RULES_APART + _AFTER_RULES)
        self._across.setContentsMargins(left, look.px(9), 0, look.px(11))
        self._keep_room()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        box = QRectF(0, look.px(8), self.margin - look.px(12), look.px(22))
        ink, ink2 = look.colour("ink"), look.colour("ink2")
        write(painter, box, self.name, look.faces.section, ink, right=True)
        box.translate(0, look.px(18))
        write(painter, box, self.note, look.faces.small, ink2, right=True)
        painter.setPen(QPen(look.colour("rule"), 1))
        y = self.height() - 0.5
        painter.drawLine(QPointF(0, y), QPointF(self.width(), y))
        painter.end()


class _Ground(QWidget):
    """Carries the sections and draws the madder rules the whole way down."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.margin = 0
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setAutoFillBackground(True)

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        painter.setPen(QPen(look.colour("madder"), 1))
        for apart in (0, look.px(_RULES_APART)):
            x = look.px(INSET) + self.margin + apart + 0.5
            painter.drawLine(QPointF(x, 0), QPointF(x, self.height()))
        painter.end()


class FieldSheet(QScrollArea):
    """A page that reads top to bottom like its page in a notebook."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._sections: list[Section] = []
        self.setAccessibleName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.viewport().setBackgroundRole(QPalette.ColorRole.Base)
        self._ground = _Ground(theme)
        self._column = QVBoxLayout(self._ground)
        self._column.setSpacing(0)
        self._column.addStretch(1)
        self.setWidget(self._ground)
        theme.changed.connect(self._dress)
        self._dress()

    def sections(self) -> tuple[Section, ...]:
        """Return the sections shown, top to bottom."""
        return tuple(self._sections)

    def set_sections(self, sections: Sequence[tuple[str, str, QWidget]]) -> None:
        """Show other sections: (name, note, content) each; the old ones go."""
        kept = {content for _, _, content in sections}
        for section in self._sections:
            self._column.removeWidget(section)
            if section.content in kept:
                section.content.setParent(None)
            section.deleteLater()
            section.hide()
        self._sections = [
            Section(self._theme, name, note, content)
            for name, note, content in sections
        ]
        for at, section in enumerate(self._sections):
            self._column.insertWidget(at, section)
            section.content.show()
        self._dress()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._inset()

    def _inset(self) -> None:
        """Keep the right edge in line with the header's when a scroll bar comes."""
        inset = self._theme.look.px(INSET)
        bar = self.width() - self.viewport().width()
        right = max(inset - bar, 4)
        self._column.setContentsMargins(inset, 0, right, self._theme.look.px(16))

    def _dress(self) -> None:
        look = self._theme.look
        self._inset()
        margin = margin_width(look, [(s.name, s.note) for s in self._sections])
        self._ground.margin = margin
        for section in self._sections:
            section.set_margin(margin)
        self._ground.update()


def margin_width(look: Look, names: Sequence[tuple[str, str]]) -> int:
    """Return the margin that the longest name or note asks for, within reason."""
    name, note = QFontMetricsF(look.faces.section), QFontMetricsF(look.faces.small)
    longest = max(
        (max(name.horizontalAdvance(a), note.horizontalAdvance(b)) for a, b in names),
        default=0.0,
    )
    wanted = int(longest) + look.px(16)
    return min(max(wanted, look.px(_MARGIN_LEAST)), look.px(_MARGIN_MOST))
