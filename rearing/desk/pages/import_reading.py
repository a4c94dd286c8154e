"""The part of an import that looks at a file and reads it, off the window's thread."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout
from shiboken6 import isValid

from rearing.desk.page import INSET, Panel
from rearing.desk.pages.import_answers import reads_alike
from rearing.desk.pages.import_head import ImportHead
from rearing.desk.pages.import_job import Compare, Look, Read, Stop
from rearing.desk.pages.import_places import place_named
from rearing.desk.pages.import_sheet import ImportSheet
from rearing.desk.tasks import Lane
from rearing.desk.widgets.question import KeyButton
from rearing.exchange.temperatures import look_again
from rearing.keeping.places import places
from rearing.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.exchange.temperatures import Temperatures, Understanding

_LOOK, _READ = "look at a file", "read a file"
_COMPARE = "compare a file with the book"


class ReadingPanel(Panel):
    """Head, sheet and foot of an import; knows the file, and what reading it gave."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        tasks: Tasks,
        *,
        place_id: int | None,
    ) -> None:
        super().__init__(theme)
        self._session, self._tasks = session, tasks
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
        self.sheet.series.places_changed.connect(self._compare)
        self._accept = KeyButton(theme, "Enter", "take it in")
        self._leave = KeyButton(theme, "Esc", "leave it")
        self._arrange()
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
        self.focus_first()  # the keyboard may be on a question that goes away now
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
        named = "" if self._path is None else self._path.stem
        likely = place_named(named, standing) or self._place_id
        self.sheet.tell_read(read, standing, likely, zone)
        for field in self.sheet.series.fields:
            field.installEventFilter(self)
        self._compare()

    def _compare(self) -> None:
        """Ask the book what of the series it has already; the answer comes later."""
        bound = self.sheet.series.bound()
        if any(one is not None for one in bound):
            self._tasks.run(
                Compare(self._session.book.path, bound).run,
                done=self._compared,
                failed=self._not_compared,
                lane=Lane.FILES,
                topic=_COMPARE,
            )

    def _compared(self, told: tuple[str, ...]) -> None:
        if isValid(self) and len(told) == len(self.sheet.series.fields):
            self.sheet.series.tell_new(told)

    def _not_compared(self, problem: Problem) -> None:
        """Say nothing: taking the file in tells of the same trouble."""

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
            if not self.sheet.series.focus_first():
                self.focus_first()

    def _change(self, how: Understanding) -> None:
        if self._path is None:
            return
        try:
            self._understood(look_again(self._path, how))
        except (Problem, OSError) as trouble:
            words = trouble.sentence if isinstance(trouble, Problem) else str(trouble)
            self.head.say(words)

    def _hold(self, *, held: bool) -> None:
        """Let nothing be changed while it is being written."""
        for part in (self.sheet, self.head.path, self.head.look_for, self.head.zone):
            part.setEnabled(not held)
        self._accept.setEnabled(not held)
        if held:
            self._leave.setFocus()
