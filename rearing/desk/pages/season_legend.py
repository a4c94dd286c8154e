"""What each shape of the season means, drawn and named in one line."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.page import INSET
from rearing.desk.pages.season_ribbon import RibbonPainter
from rearing.desk.pages.season_strokes import whisker
from rearing.desk.widgets.date_scale import DateScale
from rearing.desk.widgets.writing import write
from rearing.keeping.ribbons import Piece
from rearing.keeping.season_facts import Flown
from rearing.keeping.season_rows import Ribbon
from rearing.terms import INSTARS, Sex, Stage

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme

_DAY = date(2000, 1, 1)
_START = float(_DAY.toordinal())
_WORDS = (
    ("eggs", "beads: eggs"),
    ("larvae", "larvae, thicker each instar"),
    ("pupae", "capsule: pupae"),
    ("moths", "♂ above, ♀ below: moths"),
    ("expected", "hatched: expected, half of them"),
    ("window", "80 in 100"),
)
_DRAWN = 44


def _sample(pieces: tuple[Piece, ...], flown: tuple[Flown, ...] = ()) -> Ribbon:
    return Ribbon(0, "", "", "", 0, "", "", True, pieces, flown, (), ())


def _instars(begin: float, end: float) -> tuple[Piece, ...]:
    step = (end - begin) / 4
    return tuple(
        Piece(stage, begin + at * step, begin + (at + 1) * step)
        for at, stage in enumerate(INSTARS[:4])
    )


class Legend(QWidget):
    """Draws small ribbons with their words; what has no room is left to the keys."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(
            f"What is drawn: {'; '.join(words for _, words in _WORDS)}"
        )
        theme.changed.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(400), look.px(30))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._theme.look.px(100), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        x, middle = float(look.px(INSET)), self.height() / 2
        ruler = QFontMetricsF(look.faces.small)
        drawn = look.px(_DRAWN)
        for kind, words in _WORDS:
            wide = ruler.horizontalAdvance(words)
            if x + drawn + look.px(6) + wide > self.width() - look.px(INSET):
                break
            self._draw(painter, kind, QRectF(x, 0, drawn, self.height()))
            x += drawn + look.px(6)
            box = QRectF(x, middle - look.px(9), wide + 1, look.px(18))
            write(painter, box, words, look.faces.small, look.colour("ink2"))
            x += wide + look.px(18)
        painter.end()

    def _draw(self, painter: QPainter, kind: str, box: QRectF) -> None:
        painter.save()
        painter.setClipRect(box)
        y = box.center().y()
        last = _DAY + timedelta(days=9)
        scale = DateScale(_DAY, last, box.left(), box.right())
        today = _DAY - timedelta(days=2) if kind == "expected" else last
        made = RibbonPainter(painter, self._theme.look, scale, today)
        draw: Callable[[RibbonPainter, float], None] | None = _SHAPES.get(kind)
        if draw is not None:
            draw(made, y)
        else:
            look = self._theme.look
            left, right = box.left() + 4, box.right() - 4
            ends = (left, left * 0.55 + right * 0.45, right)
            whisker(painter, look, y, ends, look.colour("ink"))
        painter.restore()


def _eggs(made: RibbonPainter, y: float) -> None:
    made.paint(_sample((Piece(Stage.EGG, _START, _START + 10),)), y)


def _larvae(made: RibbonPainter, y: float) -> None:
    made.paint(_sample(_instars(_START, _START + 10)), y)


def _pupae(made: RibbonPainter, y: float) -> None:
    made.paint(_sample((Piece(Stage.PUPA, _START, _START + 10),)), y)


def _moths(made: RibbonPainter, y: float) -> None:
    numbers = (1, 3, 5, 6, 4, 2)
    flown = [
        Flown(_DAY + timedelta(days=2 + at), sex, number)
        for at, number in enumerate(numbers)
        for sex in (Sex.MALE, Sex.FEMALE)
    ]
    made.paint(_sample((), tuple(flown)), y)


_SHAPES = {
    "eggs": _eggs,
    "larvae": _larvae,
    "expected": _larvae,
    "pupae": _pupae,
    "moths": _moths,
}
