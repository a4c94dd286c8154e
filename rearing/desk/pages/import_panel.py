"""Taking a file of temperatures in: what it is understood to be, then into the book."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt

from rearing.desk.pages.import_answers import (
    answered,
    with_role,
    with_unit,
)
from rearing.desk.pages.import_job import Stop, Write
from rearing.desk.pages.import_reading import ReadingPanel
from rearing.desk.widgets.form_fields import ENTER
from rearing.keeping.temperatures_in import FileOrigin
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtGui import QKeyEvent, QPaintEvent

    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.exchange.temperatures import (
        Doubt,
        Role,
        Temperatures,
        Understanding,
        Unit,
    )
    from rearing.records.journal import Touched

_WRITE = "write a file's readings"


class ImportPanel(ReadingPanel):
    """Asks for a file, shows how it is read, and hands what was taken to `taken`.

    The file is looked at and read, and its readings written, in the lane of files;
    Esc stops that first and leaves the panel only when nothing is going on.
    """

    def __init__(
        self,
        session: Session,
        theme: Theme,
        tasks: Tasks,
        taken: Callable[[Touched], object],
        *,
        place_id: int | None = None,
    ) -> None:
        super().__init__(session, theme, tasks, place_id=place_id)
        self._taken = taken
        self._connect()

    def _connect(self) -> None:
        self.head.look_asked.connect(self.look)
        self.head.zone_changed.connect(self._zone_changed)
        self.sheet.questions.answered.connect(self._answer)
        self.sheet.columns.role_chosen.connect(self._role_chosen)
        self.sheet.columns.unit_chosen.connect(self._unit_chosen)
        self._accept.clicked.connect(self.accept)
        self._leave.clicked.connect(self.leave)

    # changing what was understood

    def _answer(self, doubt: Doubt, choice: str) -> None:
        if self._how is not None:
            self._settled.add(doubt.question)
            self._change(answered(self._how, doubt, choice))
            if self.sheet.questions.focus_first():
                return
            if self._read is None or not self.sheet.series.focus_first():
                self._accept.setFocus()

    def _role_chosen(self, index: int, role: Role) -> None:
        if self._how is not None:
            self._change(with_role(self._how, index, role))

    def _unit_chosen(self, index: int, unit: Unit) -> None:
        if self._how is not None:
            self._change(with_unit(self._how, index, unit))

    def _zone_changed(self, zone: str) -> None:
        if self._how is not None:
            self._change(replace(self._how, zone=zone))

    # taking in

    def accept(self) -> None:
        """Take in what was read; say what is missing where something is."""
        path = self.head.chosen()
        if self._path is None or path != self._path:
            self.look()
            return
        if self.sheet.questions.open:
            self.head.say("A question is open: answer it with the number of its key.")
            self.sheet.questions.focus_first()
        elif self.head.is_working:
            self.head.say("The file is still being read.")
        elif self._read is None or self._how is None:
            self.look()
        else:
            self._write(self._read, self._how, path)

    def _write(self, read: Temperatures, how: Understanding, path: Path) -> None:
        try:
            arriving = self.sheet.series.arriving()
            if not arriving:
                raise Refusal("Say for at least one column whose temperatures it is.")
        except Refusal as refusal:
            self.head.say(refusal.sentence)
            self.sheet.series.focus_first()
            return
        origin = FileOrigin(
            path.name,
            " ".join(how.sentences),
            read.set_aside,
            sum(read.set_aside_counts.values()),
        )
        stop = Stop(self._tasks.token())
        session = self._session
        write = Write(session.book.path, session.entry(), origin, arriving, stop)
        self.head.say("")
        self.head.work("Writing into the book.")
        self._hold(held=True)
        self._run(write.run, self._taken, _WRITE, stop)

    def leave(self) -> None:
        """Stop what is going on; with nothing going on, leave."""
        if self.head.is_working and self._stop is not None:
            self._stop.ask()
            self.head.work("Stopping.")
        else:
            self.closed.emit()

    # keys

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw no edge: the whole page is its own."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyPress:
            pressed: QKeyEvent = event  # type: ignore[assignment]  # told by its type
            if pressed.key() in ENTER:
                self.accept()
                return True
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        in_hand = self.focusWidget()
        if event.key() == Qt.Key.Key_F3:
            self.head.ask_file()
        elif event.key() == Qt.Key.Key_Escape:
            self.leave()
        elif event.key() in ENTER:
            if in_hand is self._leave:
                self.leave()
            elif in_hand is self.head.look_for:
                self.head.ask_file()
            elif in_hand is not self.head.path:
                self.accept()
        else:
            super().keyPressEvent(event)
