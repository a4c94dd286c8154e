"""The round on paper: black on white, large, a box to tick at every line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from rearing.desk.widgets.writing import wrap
from rearing.keeping.round_lines import Task

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from PySide6.QtGui import QPagedPaintDevice
    from PySide6.QtPrintSupport import QPrinter

    from rearing.desk.fonts import Faces
    from rearing.desk.widgets.header import Heading
    from rearing.keeping.round_lines import Round, RoundLine, RoundPlace

SIZES = (14.0, 13.0, 12.5, 12.0, 11.5, 11.0, 10.5, 10.0)
"""Type sizes [pt], the largest tried first; the last may need a second sheet."""

_POINTS = 72.0
_BESIDE = 0.86
"""The type of a reason, as a part of its line's: read at arm's length by headlamp."""
_CODE_MOST, _TASK_MOST = 0.2, 0.24


@dataclass(frozen=True, slots=True)
class Piece:
    """Words on the sheet: left end and baseline [device pixels], and the face.

    `box` is the side of a box to tick before it, nought for none.
    """

    x: float
    y: float
    text: str
    face: QFont
    box: float = 0.0
    ticked: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """Pieces that stay together, from their own top; `height` [device pixels]."""

    pieces: tuple[Piece, ...]
    height: float
    begins_place: bool = False


class RoundPaper:
    """Lays out a round on sheets of one device, as large as one sheet allows."""

    def __init__(
        self, round_: Round, head: str, faces: Faces, device: QPagedPaintDevice
    ) -> None:
        self._round, self._head = round_, head
        self._faces, self._device = faces, device
        layout = device.pageLayout()
        self._room = QRectF(layout.paintRectPixels(device.logicalDpiX()))
        self._room.moveTo(0, 0)

    def sheets(self) -> tuple[tuple[Piece, ...], ...]:
        """Return what stands on each sheet; one, where the largest type allows it."""
        placed: tuple[tuple[Piece, ...], ...] = ()
        for size in SIZES:
            placed = tuple(self._placed(list(self._blocks(size))))
            if len(placed) == 1:
                break
        return placed

    def paint(self) -> None:
        """Paint every sheet."""
        painter = QPainter(self._device)
        self.paint_with(painter)
        painter.end()

    def paint_with(self, painter: QPainter) -> None:
        """Paint every sheet with a painter that is at a fresh one."""
        for at, sheet in enumerate(self.sheets()):
            if at:
                self._device.newPage()
            for piece in sheet:
                self._write(painter, piece)

    def _placed(self, blocks: Sequence[Block]) -> Iterator[tuple[Piece, ...]]:
        sheet: list[Piece] = []
        y = 0.0
        for at, block in enumerate(blocks):
            # a place's name is not left alone at the foot of a sheet
            follows = blocks[at + 1].height if block.begins_place else 0.0
            if sheet and y + block.height + follows > self._room.height():
                yield tuple(sheet)
                sheet, y = [], 0.0
            sheet += [
                Piece(one.x, one.y + y, one.text, one.face, one.box, one.ticked)
                for one in block.pieces
            ]
            y += block.height
        yield tuple(sheet)

    # what stands on it

    def _blocks(self, size: float) -> Iterator[Block]:
        strong = self._face(self._faces.code_line, size)
        plain = self._face(self._faces.body, size * _BESIDE)
        head = self._face(self._faces.section, size * 1.3)
        yield self._line_of(self._head, head, 1.5)
        found = self._round
        for words in (found.leaf_sentence, found.room_sentence, found.hatch_sentence):
            yield from self._paragraph(words, plain)
        code, task = self._columns(strong)
        for place in self._round.places:
            yield self._place(place, self._face(self._faces.section, size * 1.1))
            for line in place.lines:
                yield self._line(line, strong, plain, (code, task))

    def _place(self, place: RoundPlace, face: QFont) -> Block:
        words = f"{place.name}  {place.note}".rstrip()
        named = self._line_of(words, face, 1.7)
        return Block(named.pieces, named.height, begins_place=True)

    def _line(
        self, line: RoundLine, strong: QFont, plain: QFont, columns: tuple[float, float]
    ) -> Block:
        ruler, small = self._ruler(strong), self._ruler(plain)
        side, y = ruler.capHeight() * 1.25, ruler.ascent() * 1.15
        first = side * 1.9
        second = first + columns[0]
        third = second + columns[1]
        number = "" if line.number is None else f"{line.number} {line.known}"
        said = line.done or _short_reason(line)
        told = "; ".join(filter(None, (said.rstrip("."), line.until, number)))
        rows = wrap(told, plain, self._room.width() - third, ruler=small) or ("",)
        ticked = bool(line.done)
        box = side if line.task.is_due or ticked else 0.0
        pieces = [
            Piece(first, y, line.code, strong, box, ticked),
            Piece(second, y, str(line.task), strong),
            *(
                Piece(third, y + small.lineSpacing() * at, row, plain)
                for at, row in enumerate(rows)
            ),
        ]
        tall = y + small.lineSpacing() * (len(rows) - 1) + ruler.descent() * 1.2
        return Block(tuple(pieces), tall)

    def _columns(self, face: QFont) -> tuple[float, float]:
        ruler, wide = self._ruler(face), self._room.width()
        gap = ruler.averageCharWidth() * 1.6
        lines = self._round.lines
        codes = max((ruler.horizontalAdvance(x.code) for x in lines), default=0.0)
        tasks = max((ruler.horizontalAdvance(x.task) for x in lines), default=0.0)
        return min(codes + gap, wide * _CODE_MOST), min(tasks + gap, wide * _TASK_MOST)

    def _paragraph(self, words: str, face: QFont) -> Iterator[Block]:
        ruler = self._ruler(face)
        for row in wrap(words, face, self._room.width(), ruler=ruler):
            yield self._line_of(row, face, 1.15)

    def _line_of(self, words: str, face: QFont, leading: float) -> Block:
        ruler = self._ruler(face)
        tall = ruler.height() * leading
        return Block((Piece(0, tall - ruler.descent() * 1.3, words, face),), tall)

    # how it is written

    def _face(self, like: QFont, size: float) -> QFont:
        face = QFont(like)
        face.setPointSizeF(size)
        return face

    def _ruler(self, face: QFont) -> QFontMetricsF:
        return QFontMetricsF(face, self._device)

    def _write(self, painter: QPainter, piece: Piece) -> None:
        unit = self._device.logicalDpiX() / _POINTS
        painter.setPen(QPen(Qt.GlobalColor.black, 0.9 * unit))
        painter.setFont(piece.face)
        painter.drawText(QPointF(piece.x, piece.y), piece.text)
        if not piece.box:
            return
        box = QRectF(unit / 2, piece.y - piece.box * 0.9, piece.box, piece.box)
        painter.drawRect(box)
        if piece.ticked:
            painter.drawLine(box.topLeft(), box.bottomRight())
            painter.drawLine(box.topRight(), box.bottomLeft())


def _short_reason(line: RoundLine) -> str:
    """Return why, with the room a box lacks in two words where more is asked for."""
    room = line.room
    if room is None or line.task is Task.MORE_ROOM:
        return line.reason
    short = "Too full." if room.is_now else "Soon too full."
    return line.reason.replace(room.words, short).replace(room.words[:-1], short[:-1])


def put_on_paper(round_: Round, head: Heading, faces: Faces, printer: QPrinter) -> str:
    """Paint a round on a printer's paper or into its file; return where it went."""
    words = f"Round, {head.words.rpartition(',')[0]}: {head.verdict}"
    RoundPaper(round_, words, faces, printer).paint()
    path = printer.outputFileName()
    return (
        f"The round is {f'in the file {path}' if path else 'on its way to the paper'}."
    )


def put_days_on_paper(
    rounds: Sequence[Round], heads: Sequence[str], faces: Faces, printer: QPrinter
) -> None:
    """Paint several days, each on sheets of its own."""
    painter = QPainter(printer)
    for at, (one, head) in enumerate(zip(rounds, heads, strict=True)):
        if at:
            printer.newPage()
        RoundPaper(one, head, faces, printer).paint_with(painter)
    painter.end()
