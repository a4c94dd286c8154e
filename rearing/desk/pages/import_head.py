"""The head of an import: which file, which clock, how far it is, what went wrong."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import unquote, urlsplit

from PySide6.QtCore import Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import (
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QProgressBar,
    QVBoxLayout,
    QWidget,
)

from rearing.desk.dark_dialog import keep_dark
from rearing.desk.widgets.form_fields import plain_label
from rearing.desk.widgets.line_input import LineInput
from rearing.desk.widgets.question import KeyButton

if TYPE_CHECKING:
    from rearing.desk.theme import Theme

_STEPS = 1000
_ZONE_LETTERS = 24


class ImportHead(QWidget):
    """`look_asked` when a file is to be looked at, `zone_changed` for another clock."""

    look_asked = Signal()
    zone_changed = Signal(str)

    def __init__(self, theme: Theme, zone: str) -> None:
        super().__init__()
        self._theme = theme
        self.path = LineInput()
        self.path.setPlaceholderText("Type or paste where the file is, then Enter")
        self.path.setAccessibleName("File")
        self.look_for = KeyButton(theme, "F3", "look for it")
        self.zone = LineInput(zone)
        self.zone.narrow(_ZONE_LETTERS)
        self.zone.setAccessibleName("Clock of the logger")
        self.zone.setAccessibleDescription(
            "A time zone, or a fixed offset such as UTC+01:00 for a logger that keeps "
            "winter time all year"
        )
        self.zone.setToolTip(self.zone.accessibleDescription())
        self._title = plain_label("Take temperatures in")
        self._message = plain_label("")
        self._message.setForegroundRole(QPalette.ColorRole.BrightText)
        self._bar, self._doing = QProgressBar(), plain_label("")
        self._bar.setRange(0, _STEPS)
        self._bar.setTextVisible(False)
        self._dialog: QFileDialog | None = None
        self._arrange()
        self.path.returnPressed.connect(self.look_asked)
        self.look_for.clicked.connect(self.ask_file)
        self.zone.editingFinished.connect(self._zone_edited)
        self._zone_told = zone
        theme.changed.connect(self._dress)
        self._dress()
        self.say("")
        self.at_rest()

    def _arrange(self) -> None:
        where = QWidget()
        row = QHBoxLayout(where)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.path, 1)
        row.addWidget(self.look_for)
        where.setFocusProxy(self.path)
        self._form = QFormLayout()
        self._form.addRow("&File", where)
        self._form.addRow("&Clock of the logger", self.zone)
        self._work = QWidget()
        doing = QHBoxLayout(self._work)
        doing.setContentsMargins(0, 0, 0, 0)
        doing.addWidget(self._bar, 1)
        doing.addWidget(self._doing, 1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self._title)
        self._column.addLayout(self._form)
        self._column.addWidget(self._message)
        self._column.addWidget(self._work)

    # what is asked

    def chosen(self) -> Path | None:
        """Return the path that was typed, pasted or chosen; None for an empty field."""
        typed = self.path.text().strip().strip("\"'").strip()
        if typed.startswith("file:"):
            typed = unquote(urlsplit(typed).path)
        return Path(typed).expanduser() if typed else None

    def ask_file(self) -> None:
        """Open the list of files, without waiting for it."""
        self._dialog = QFileDialog(self, "A file of temperatures")
        keep_dark(self._dialog, self._theme)
        self._dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        self._dialog.setNameFilters(
            ["Tables (*.csv *.txt *.tsv *.dat *.asc)", "Every file (*)"]
        )
        self._dialog.fileSelected.connect(self.take_path)
        self._dialog.open()

    @property
    def dialog(self) -> QFileDialog | None:
        """The file dialog that was opened last."""
        return self._dialog

    def take_path(self, path: str) -> None:
        """Take a path as if it had been typed, and look at the file."""
        self.path.setText(path)
        self.look_asked.emit()

    def _zone_edited(self) -> None:
        zone = self.zone.text().strip()
        if zone != self._zone_told:
            self._zone_told = zone
            self.zone_changed.emit(zone)

    def show_zone(self, zone: str) -> None:
        """Show the clock that a file itself names."""
        self._zone_told = zone
        self.zone.setText(zone)

    # what is told

    @property
    def message(self) -> str:
        """What went wrong, empty when nothing did."""
        return self._message.text()

    def say(self, words: str) -> None:
        """Say what went wrong, or (empty) take the words away."""
        self._message.setText(words)
        self._message.setVisible(bool(words))

    def work(self, words: str) -> None:
        """Show that something is being worked on."""
        self._bar.setValue(0)
        self._bar.setAccessibleName(words)
        self._doing.setText(f"{words} Esc stops it.")
        self._work.setVisible(True)

    def at_rest(self) -> None:
        """Show that nothing is being worked on."""
        self._work.setVisible(False)

    @property
    def is_working(self) -> bool:
        """Whether work is shown."""
        return not self._work.isHidden()

    def progressed(self, share: float) -> None:
        """Show how far the work is, 0 to 1."""
        self._bar.setValue(int(share * _STEPS))

    def _dress(self) -> None:
        look = self._theme.look
        self._title.setFont(look.faces.section)
        self._message.setFont(look.faces.body_strong)
        self._column.setSpacing(look.px(6))
        self._form.setHorizontalSpacing(look.px(12))
        self._form.setVerticalSpacing(look.px(6))
        self._bar.setFixedHeight(look.px(10))
        colours = self._bar.palette()
        colours.setColor(QPalette.ColorRole.Highlight, look.colour("blue"))
        self._bar.setPalette(colours)
