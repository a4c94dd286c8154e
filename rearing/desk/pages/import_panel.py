"""Taking a file of temperatures in: what it is understood to be, then into the book."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout
from shiboken6 import isValid

from rearing.desk.page import INSET, Panel
from rearing.desk.pages.import_answers import (
    answered,
    reads_alike,
    with_role,
    with_unit,
)
from rearing.desk.pages.import_head import ImportHead
from rearing.desk.pages.import_job import Look, Read, Stop, Write
from rearing.desk.pages.import_sheet import ImportSheet
from rearing.desk.tasks import Lane
from rearing.desk.widgets.form_fields import ENTER
from rearing.desk.widgets.question import KeyButton
from rearing.exchange.temperatures import look_again
from rearing.keeping.places import places
from rearing.keeping.temperatures_in import FileOrigin
from rearing.problems import Problem, Refusal

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

_LOOK, _READ, _WRITE = "look at a file", "read a file", "write a file's readings"


class ImportPanel(Panel):
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
        super().__init__(theme)
        self._session, self._tasks, self._taken = session, tasks, taken
        self._place_id = place_id
        self._path: Path | None = None
        self._how: Understanding | None = None
        self._read: Temperatures | None = None
        self._settled: set[str] = set()
        self._stop: Stop | None = None
        self.setAccessibleName("Take temperatures in")
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.head = ImportHead(theme, session.home.zone_name)
        self.sheet = ImportSheet(theme)
        self._accept = KeyButton(theme, "Enter", "take it in")
        self._leave = KeyButton(theme, "Esc", "leave it")
        self._arrange()
        self._connect()
        theme.changed.connect(self._dress)
        self._dress()

    def _arrange(self) -> None:
        self._column = QVBoxLayout(self)
        self._column.setSpacing(0)
        self._top, self._foot = QHBoxLayout(), QHBoxLayout()
        self._top.addWidget(self.head)
        self._column.addLayout(self._top)
        self._column.addWidget(self.sheet, 1)
        for key in (self._accept, self._leave):
            self._foot.addWidget(key)
        self._foot.addStretch(1)
        self._column.addLayout(self._foot)

    def _connect(self) -> None:
        self.head.look_asked.connect(self.look)
        self.head.zone_changed.connect(self._zone_changed)
        self.sheet.questions.answered.connect(self._answer)
        self.sheet.columns.role_chosen.connect(self._role_chosen)
        self.sheet.columns.unit_chosen.connect(self._unit_chosen)
        self._accept.clicked.connect(self.accept)
        self._leave.clicked.connect(self.leave)

    def _dress(self) -> None:
        look = self.theme.look
        inset = look.px(INSET)
        self._column.setContentsMargins(0, look.px(14), 0, look.px(12))
        self._top.setContentsMargins(inset, 0, inset, look.px(8))
        self._foot.setContentsMargins(inset, look.px(8), inset, 0)

    def focus_first(self) -> None:
        self.head.path.setFocus(Qt.FocusReason.TabFocusReason)

    # looking and reading

    @property
    def understanding(self) -> Understanding | None:
        """How the file will be read."""
        return self._how

    @property
    def read_so_far(self) -> Temperatures | None:
        """What reading the whole file as now understood gave; None until it is done."""
        return self._read

    def look(self) -> None:
        """Look at the file that is named."""
        path = self.head.chosen()
        if path is None:
            self.head.say("Name a file first, or press F3 to look for one.")
            return
        self._path, self._how, self._read = path, None, None
        self._settled.clear()
        self.sheet.clear()
        self.head.say("")
        self.head.work(f"Looking at {path.name}.")
        self._run(Look(path, self.head.zone.text().strip()).run, self._looked, _LOOK)

    def _run(
        self,
        job: Callable[[], object],
        done: Callable[..., object],
        topic: str,
        stop: Stop | None = None,
    ) -> None:
        self._stop = stop if stop is not None else Stop(self._tasks.token())
        self._tasks.run(
            job,
            done=done,
            failed=self._failed,
            progressed=self._progressed,
            lane=Lane.FILES,
            topic=topic,
            token=self._stop.token,
        )

    def _looked(self, how: Understanding) -> None:
        if isValid(self):
            self.head.show_zone(how.zone)
            self._understood(how)
            self.sheet.questions.focus_first()

    def _understood(self, how: Understanding) -> None:
        """Show an understanding and read the whole file by it, unless it was."""
        before, self._how = self._how, how
        open_ = [d for d in how.doubts if d.question not in self._settled]
        self.sheet.tell(how, open_)
        self.head.say("")
        # A yes to what was taken anyway is no reason to read a million rows again.
        is_read = self._read is not None or self.head.is_working
        same = before is not None and reads_alike(before, how)
        if self._path is None or (same and is_read):
            if self._read is not None:
                self._show_read(self._read)
            return
        self._read = None
        self.head.work(f"Reading {self._path.name}.")
        stop = Stop(self._tasks.token())
        self._run(Read(self._path, how, stop).run, self._have_read, _READ, stop)

    def _have_read(self, read: Temperatures) -> None:
        if not isValid(self):
            return
        self._read = read
        self.head.at_rest()
        self._show_read(read)
        if not self.sheet.questions.open and not self.sheet.columns.is_in_hand:
            self.sheet.series.focus_first()

    def _show_read(self, read: Temperatures) -> None:
        standing, zone = places(self._session.book), self._session.home.zone
        self.sheet.tell_read(read, standing, self._place_id, zone)
        for field in self.sheet.series.fields:
            field.installEventFilter(self)

    def _progressed(self, share: float) -> None:
        if isValid(self):
            self.head.progressed(share)

    def _failed(self, problem: Problem) -> None:
        if isValid(self):
            self._stop = None
            self.setEnabled(True)
            self._hold(held=False)
            self.head.at_rest()
            self.head.say(problem.sentence)

    # changing what was understood

    def _change(self, how: Understanding) -> None:
        if self._path is None:
            return
        try:
            self._understood(look_again(self._path, how))
        except (Problem, OSError) as trouble:
            words = trouble.sentence if isinstance(trouble, Problem) else str(trouble)
            self.head.say(words)

    def _answer(self, doubt: Doubt, choice: str) -> None:
        if self._how is not None:
            self._settled.add(doubt.question)
            self._change(answered(self._how, doubt, choice))
            if not self.sheet.questions.focus_first() and self._read is not None:
                self.sheet.series.focus_first()

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

    def _hold(self, *, held: bool) -> None:
        """Let nothing be changed while it is being written."""
        for part in (self.sheet, self.head.path, self.head.look_for, self.head.zone):
            part.setEnabled(not held)
        self._accept.setEnabled(not held)
        if held:
            self._leave.setFocus()

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
