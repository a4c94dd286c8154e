"""How a brood stands in its instars: bars by number, the resting ones hatched."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.marks import pencil_band
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme

_ROW, _BAR = 29, 21


@dataclass(frozen=True, slots=True)
class StagePart:
    """So many in one stage (egg, L1 …, wandering, pupa), feeding or at rest."""

    stage: str
    number: int
    resting: bool = False

    @property
    def words(self) -> str:
        """The part in words."""
        return f"{self.number} {'resting in ' if self.resting else ''}{self.stage}"


@dataclass(frozen=True, slots=True)
class StageRow:
    """One box: its name, its parts in order of age, how it is known."""

    name: str
    parts: tuple[StagePart, ...]
    known: str = ""

    @property
    def number(self) -> int:
        """All of them."""
        return sum(part.number for part in self.parts)


class StageBar(QWidget):
    """Draws one bar a box, all to the same scale."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._name = name
        self._rows: tuple[StageRow, ...] = ()
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    def tell(self, rows: Sequence[StageRow]) -> None:
        """Show other boxes."""
        self._rows = tuple(rows)
        self.setAccessibleName(f"{self._name}. {self.sentence()}")
        self.updateGeometry()
        self.update()

    def sentence(self) -> str:
        """Return all of it in words."""
        return ". ".join(
            f"{row.name}: {', '.join(part.words for part in row.parts)}; {row.known}"
            for row in self._rows
        )

    def sizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(500), look.px(_ROW) * len(self._rows))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._theme.look.px(220), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        name = QFontMetricsF(look.faces.body_strong)
        known = QFontMetricsF(look.faces.body)
        names = max((name.horizontalAdvance(r.name) for r in self._rows), default=0)
        knowns = max((known.horizontalAdvance(r.known) for r in self._rows), default=0)
        left = min(names + look.px(18), self.width() * 0.3)
        room = self.width() - left - knowns - look.px(18)
        most = max((row.number for row in self._rows), default=0)
        box = QRectF(0, 0, self.width(), look.px(_ROW))
        ink, ink2 = look.colour("ink"), look.colour("ink2")
        for row in self._rows:
            label = QRectF(box)
            label.setWidth(left - look.px(8))
            write(painter, label, row.name, look.faces.body_strong, ink)
            write(painter, box, row.known, look.faces.body, ink2, right=True)
            self._bar(painter, row, box.top(), left, room / max(most, 1))
            box.translate(0, look.px(_ROW))
        if self.hasFocus():
            painter.setPen(QPen(look.colour("blue"), 1, Qt.PenStyle.DashLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _bar(
        self, painter: QPainter, row: StageRow, top: float, left: float, one: float
    ) -> None:
        look = self._theme.look
        x, y = left, top + (look.px(_ROW) - look.px(_BAR)) / 2
        for part in row.parts:
            wide = part.number * one
            box = QRectF(x, y, max(wide - look.px(2), 2.0), look.px(_BAR))
            self._part(painter, part, box)
            x += wide

    def _part(self, painter: QPainter, part: StagePart, box: QRectF) -> None:
        look = self._theme.look
        fill, ink = self._shades(part.stage)
        if part.resting:
            pencil_band(painter, look, box, look.colour("rule2"))
            face, text = look.faces.pencil_strong, f"{part.stage} rest  {part.number}"
            ink = look.tokens.ink2
        else:
            painter.fillRect(box, fill)
            painter.setPen(QPen(look.colour("rule2"), 1))
            painter.drawRect(box)
            face, text = look.faces.body_strong, f"{part.stage}  {part.number}"
        ruler = QFontMetricsF(face)
        for short in (text, f"{part.stage} {part.number}", str(part.number)):
            text = short
            if ruler.horizontalAdvance(text) <= box.width() - look.px(4):
                break
        else:
            return
        wide = ruler.horizontalAdvance(text)
        room = QRectF(box.center().x() - wide / 2, box.top(), wide, box.height())
        if part.resting:
            painter.fillRect(room.adjusted(-3, 2, 3, -2), look.colour("page"))
        write(painter, room, text, face, ink)

    def _shades(self, stage: str) -> tuple[str, str]:
        tokens = self._theme.look.tokens
        if stage.startswith("L") and stage[1:].isdecimal():
            return tokens.instar(int(stage[1:]))
        return tokens.wash, tokens.ink
