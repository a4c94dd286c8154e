"""Quick entry from paper: the field sheet's table, typed and entered at once."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
)

from rearing.desk.lamp.ask_clock import read_clock
from rearing.desk.lamp.lamp_look import short_name
from rearing.desk.page import INSET, Panel
from rearing.desk.typed import parse_amount, parse_count
from rearing.desk.widgets.question import KeyButton
from rearing.keeping.lamp_paper import PaperCheck, PaperCount, record_sheet
from rearing.keeping.moments import day_words
from rearing.problems import Problem, Refusal
from rearing.terms import Sex

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from rearing.desk.lamp.lamp_hand import Hand
    from rearing.desk.theme import Theme
    from rearing.keeping.lamp_tally import NightTally

_ROWS = 8
_FIRST = 2
HELP = (
    "One line a check, as on the field sheet. Under a species: 4/2 is 4 males and "
    "2 females, 4/2/1 one more not looked at, 3 alone is not looked at, 40+ at least. "
    "A line with a time only is a check at which nothing came."
)


class PaperTable(Panel):
    """A table of checks; Ctrl+Enter enters all of it, or none."""

    kept = Signal()

    def __init__(
        self, hand: Hand, theme: Theme, night: NightTally, keys: tuple[str, ...]
    ) -> None:
        super().__init__(theme)
        self._hand, self._night, self._keys = hand, night, keys
        title = f"From paper, night of {day_words(night.row.evening)}"
        self.setAccessibleName(title)
        self.table = QTableWidget(_ROWS, _FIRST + len(keys))
        self.table.setAccessibleName(f"{title}. {HELP}")
        self.table.setHorizontalHeaderLabels(["At", "°C", *map(short_name, keys)])
        self.table.verticalHeader().setVisible(False)
        sized = QHeaderView.ResizeMode.Stretch
        self.table.horizontalHeader().setSectionResizeMode(sized)
        self.refusal = QLabel(HELP)
        self.refusal.setWordWrap(True)
        self._title = QLabel(title)
        self._enter = KeyButton(theme, "Ctrl+Enter", "enter it all")
        self._enter.clicked.connect(self.enter)
        self._leave = KeyButton(theme, "Esc", "leave it")
        self._leave.clicked.connect(self.closed)
        self._arrange()

    def _arrange(self) -> None:
        look = self.theme.look
        column = QVBoxLayout(self)
        inset = look.px(INSET)
        column.setContentsMargins(inset, look.px(10), inset, look.px(12))
        self._title.setFont(look.faces.section)
        column.addWidget(self._title)
        column.addWidget(self.refusal)
        self.table.setFixedHeight(look.px(30) * (_ROWS + 1) + look.px(6))
        column.addWidget(self.table)
        foot = QHBoxLayout()
        foot.addWidget(self._enter)
        foot.addWidget(self._leave)
        foot.addStretch(1)
        column.addLayout(foot)

    def focus_first(self) -> None:
        self.table.setFocus()
        self.table.setCurrentCell(0, 0)

    def write(self, row: int, column: int, text: str) -> None:
        """Put words into a cell."""
        self.table.setItem(row, column, QTableWidgetItem(text))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if control and event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.enter()
            return
        super().keyPressEvent(event)

    def enter(self) -> None:
        """Read the table and write it, or say which cell can't be read."""
        try:
            checks = [self._check(row) for row in range(_ROWS) if any(self._texts(row))]
            touched = self._hand.do(
                record_sheet, night_id=self._night.row.id, checks=checks
            )
        except Problem as problem:
            self.refusal.setText(problem.sentence)
            return
        self._hand.read()
        self._hand.say(f"{touched.sentence.partition(', night of')[0]}.")
        self.kept.emit()
        self.closed.emit()

    def _texts(self, row: int) -> list[str]:
        cells = [self.table.item(row, n) for n in range(self.table.columnCount())]
        return [cell.text().strip() if cell else "" for cell in cells]

    def _check(self, row: int) -> PaperCheck:
        texts = self._texts(row)
        column = 0
        try:
            night = self._night
            clock = read_clock(texts[0], night.row.evening, night.zone)
            column = 1
            celsius = parse_amount(texts[1])
            counts: list[PaperCount] = []
            for taxon, text in zip(self._keys, texts[_FIRST:], strict=True):
                column += 1
                counts += read_cell(taxon, text)
        except Refusal as refusal:
            self.table.setCurrentCell(row, column)
            raise Refusal(f"Line {row + 1}: {refusal.sentence}") from None
        return PaperCheck(clock.at, celsius, tuple(counts))


def read_cell(taxon: str, text: str) -> list[PaperCount]:
    """Understand a cell of the field sheet: 4/2, 4/2/1, 3, or about 40 / 2."""
    parts = [part.strip() for part in re.split("/", text)] if text else []
    sexes = (Sex.NOT_LOOKED,) if len(parts) == 1 else tuple(Sex)
    if len(parts) > len(Sex):
        raise Refusal(f"“{text}” has more numbers than there are sexes.")
    told = [(sex, parse_count(part)) for sex, part in zip(sexes, parts, strict=False)]
    return [PaperCount(taxon, sex, *count) for sex, count in told if count and count[0]]
