"""The lamp on paper: labels of kept females, and a field sheet for a wet night."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QMarginsF, QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPageLayout, QPainter, QPen
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QWidget

from rearing.desk.fonts import faces, load_families
from rearing.desk.lamp.lamp_look import paint_sex, short_name
from rearing.terms import Sex

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from PySide6.QtGui import QPagedPaintDevice

    from rearing.keeping.lamp_tally import NightTally

_MONTHS = ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii")
_LABEL_MM = (62.0, 25.0)
_MARGIN_MM = 10.0
_CHECKS = 8
_KEPT = 5
_BESIDE = (
    "UV, hot glass, mains in dew and rain: follow local rules; ask a qualified person.",
    "♂ / ♀ / ○ not looked.  ≥ at least, c. about.  The night is that of the evening.",
)


class Paper(Protocol):
    """Something that can be drawn on pages."""

    landscape: bool

    def paint(self, device: QPagedPaintDevice) -> None:
        """Draw all of it."""


@dataclass(frozen=True, slots=True)
class Label:
    """One female's label: it goes on the bag, and a second one inside."""

    code: str
    taxon: str
    evening: dt.date
    site: str

    @property
    def lines(self) -> tuple[str, str, str]:
        """The three lines of the label; the month is in Roman numerals, as on pins."""
        day = self.evening
        night = f"{day.day}.{_MONTHS[day.month - 1]}.{day.year}"
        return self.code, self.taxon, f"night of {night}  {self.site}"


def labels_of(night: NightTally) -> tuple[Label, ...]:
    """Return two labels for each female kept in a night."""
    return tuple(
        Label(moth.code, moth.taxon, night.row.evening, night.site.name)
        for moth in night.kept
        for _ in range(2)
    )


class _Pen:
    """A painter that measures in millimetres and points, in black."""

    def __init__(self, device: QPagedPaintDevice) -> None:
        self.painter = QPainter(device)
        self.mm = device.logicalDpiX() / 25.4
        self._faces = faces(load_families())
        self.width = device.width() / self.mm
        self.height = device.height() / self.mm

    def font(self, points: float, *, serif: bool = False, bold: bool = False) -> QFont:
        """Return a face; a name in serif is a species and slants."""
        plain = self._faces.code if bold else self._faces.body
        font = QFont(self._faces.species if serif else plain)
        font.setPointSizeF(points)
        return font

    def text(self, x: float, y: float, words: str, font: QFont) -> float:
        """Write on a base line at millimetres; return the width in millimetres."""
        self.painter.setFont(font)
        self.painter.setPen(Qt.GlobalColor.black)
        self.painter.drawText(QPointF(x * self.mm, y * self.mm), words)
        ruler = QFontMetricsF(font, self.painter.device())
        return ruler.horizontalAdvance(words) / self.mm

    def line(self, x: float, y: float, to_x: float, to_y: float, mm: float) -> None:
        """Draw a line that is some millimetres thick."""
        self.painter.setPen(QPen(Qt.GlobalColor.black, mm * self.mm))
        start, end = QPointF(x, y) * self.mm, QPointF(to_x, to_y) * self.mm
        self.painter.drawLine(start, end)

    def sex(self, x: float, y: float, sex: Sex, side: float) -> None:
        """Draw a sign whose left foot is at millimetres."""
        box = QRectF(x * self.mm, (y - side) * self.mm, side * self.mm, side * self.mm)
        pen = QPen(Qt.GlobalColor.black, 0.25 * self.mm)
        paint_sex(self.painter, box, sex, pen)


class LabelPages:
    """Labels in rows, cut lines between them."""

    landscape = False

    def __init__(self, labels: Sequence[Label]) -> None:
        self.labels = tuple(labels)

    def paint(self, device: QPagedPaintDevice) -> None:
        """Draw all labels, on as many pages as they need."""
        pen = _Pen(device)
        wide, high = _LABEL_MM
        across = max(int(pen.width / wide), 1)
        down = max(int(pen.height / high), 1)
        for number, label in enumerate(self.labels):
            page, place = divmod(number, across * down)
            if page and not place:
                device.newPage()
            row, column = divmod(place, across)
            self._label(pen, label, column * wide, row * high)
        pen.painter.end()

    def _label(self, pen: _Pen, label: Label, x: float, y: float) -> None:
        wide, high = _LABEL_MM
        for edge in (
            (x, y, x + wide, y),
            (x, y + high, x + wide, y + high),
            (x, y, x, y + high),
            (x + wide, y, x + wide, y + high),
        ):
            pen.line(*edge, 0.1)
        code, taxon, night = label.lines
        end = pen.text(x + 4, y + 9, code, pen.font(17, bold=True))
        pen.sex(x + 4 + end + 3, y + 9, Sex.FEMALE, 5)
        pen.text(x + 4, y + 15.5, taxon, pen.font(12, serif=True))
        pen.text(x + 4, y + 21.5, night, pen.font(9.5))


class FieldSheetPage:
    """One page in the order of the screen, to be filled with pencil."""

    landscape = True

    def __init__(self, keys: Sequence[str]) -> None:
        self.keys = tuple(keys)

    def paint(self, device: QPagedPaintDevice) -> None:
        """Draw the sheet."""
        pen = _Pen(device)
        pen.text(0, 8, "Lamp night", _upright(pen, 18))
        self._blanks(
            pen, 18, ("Evening of", "Site, station", "Lamp", "Lit at", "Out at")
        )
        self._blanks(
            pen, 28, ("°C start", "°C end", "Cloud, wind, rain, dew", "Lamp dark")
        )
        foot = self._table(pen, 36)
        self._kept(pen, foot + 9)
        for number, words in enumerate(_BESIDE):
            y = pen.height - 5.5 + 4.5 * number
            pen.text(0, y, words, pen.font(8.5))
        pen.painter.end()

    def _blanks(self, pen: _Pen, y: float, names: Sequence[str]) -> None:
        step = pen.width / len(names)
        for number, name in enumerate(names):
            x = number * step
            wide = pen.text(x, y, name, pen.font(10))
            pen.line(x + wide + 2, y + 0.5, x + step - 4, y + 0.5, 0.15)

    def _table(self, pen: _Pen, top: float) -> float:
        names = [*map(short_name, self.keys), *("",) * max(9 - len(self.keys), 0)]
        first, step = 32.0, (pen.width - 32.0) / len(names)
        row = 9.5
        foot = top + 12 + row * _CHECKS
        pen.text(0, top + 10, "At", pen.font(10))
        pen.text(17, top + 10, "°C", pen.font(10))
        for number, name in enumerate(names):
            x = first + number * step
            face = pen.font(min(10, 190 / max(len(name), 8) * step / 26), serif=True)
            pen.text(x + 1.5, top + 4.5, name, face)
            for place, sex in enumerate(Sex):
                pen.sex(x + 2 + place * step / 3, top + 10.5, sex, 3.6)
                thin = 0.35 if place == 0 else 0.1
                at = x + place * step / 3
                pen.line(at, top if place == 0 else top + 6, at, foot, thin)
        for number in range(_CHECKS + 1):
            y = top + 12 + number * row
            pen.line(0, y, pen.width, y, 0.35 if number in {0, _CHECKS} else 0.15)
        pen.line(15, top, 15, foot, 0.1)
        return foot

    def _kept(self, pen: _Pen, top: float) -> None:
        pen.text(0, top, "Kept", _upright(pen, 12))
        for number in range(_KEPT):
            names = ("Code", "Species", "Bag", "At", "Wings, mated?")
            self._blanks(pen, top + 9 + 9 * number, names)


def _upright(pen: _Pen, points: float) -> QFont:
    font = pen.font(points, serif=True)
    font.setItalic(False)
    return font


class _Job(QObject):
    """Waits for the keeper's choice of printer, then draws."""

    def __init__(self, window: QWidget, paper: Paper) -> None:
        self._printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        lay_out(self._printer, paper)
        dialog = QPrintDialog(self._printer, window)
        super().__init__(dialog)
        self._paper = paper
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.accepted.connect(self.print_it)
        QDialog.open(dialog)

    def print_it(self) -> None:
        """Draw on the printer that was chosen."""
        self._paper.paint(self._printer)


def lay_out(device: QPagedPaintDevice, paper: Paper) -> None:
    """Set the page up as a paper wants it."""
    sideways, upright = (
        QPageLayout.Orientation.Landscape,
        QPageLayout.Orientation.Portrait,
    )
    device.setPageOrientation(sideways if paper.landscape else upright)
    inset = QMarginsF(_MARGIN_MM, _MARGIN_MM, _MARGIN_MM, _MARGIN_MM)
    device.setPageMargins(inset, QPageLayout.Unit.Millimeter)


def ask_printer(window: QWidget, paper: Paper) -> None:
    """Ask which printer, without waiting; a file is one of them."""
    _Job(window, paper)
