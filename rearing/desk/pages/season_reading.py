"""The season page's reading: the last good windows at once, and new ones behind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from rearing.desk.looking_back import LookingBack
from rearing.desk.page import Page
from rearing.desk.pages.quiet import Quiet
from rearing.desk.pages.season_jobs import ReadJob, SeasonJob
from rearing.desk.pages.season_legend import Legend
from rearing.desk.pages.season_sheet import SeasonSheet
from rearing.desk.pages.season_words import fullest_words
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.keeping.kept_season import kept_season
from rearing.keeping.moments import counted, day_words

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from PySide6.QtGui import QHideEvent, QShowEvent

    from rearing.desk.pages.season_jobs import Read
    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.keeping.season_facts import SeasonFacts
    from rearing.keeping.season_rows import SeasonView

_UNCONCERNED = frozenset({"outage", "lamp_check", "note"})
TOPIC, SUPPOSE = "season", "season suppose"
LOOK_BACK_MS = 1500
"""Past windows are replayed once the season has stood so long."""


class SeasonReading(Page):
    """Shows the last good windows at once and works them out again behind."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        tasks: Tasks | None = None,
        *,
        folder: Path | None = None,
        looking: LookingBack | None = None,
    ) -> None:
        super().__init__(theme)
        self._session = session
        self._tasks = tasks
        self._store = None if folder is None else kept_season(folder)
        self.looking = looking or LookingBack(session, tasks, folder)
        self._facts: SeasonFacts | None = None
        self._change = 0
        self._is_stale = True
        self._is_waiting = False
        self._as_of = ""
        self.head = PageHeader(theme)
        self.legend = Legend(theme)
        self.sheet = SeasonSheet(theme)
        self.quiet = Quiet(theme)
        self._arrange()
        session.day_changed.connect(self._day_changed)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(LOOK_BACK_MS)
        self._later.timeout.connect(self.looking.ask)

    def _arrange(self) -> None:
        body, shown = QWidget(), QWidget()
        inner = QVBoxLayout(shown)
        inner.addWidget(self.legend)
        inner.addWidget(self.sheet, 1)
        self._faces = QStackedWidget()
        self._faces.addWidget(shown)
        self._faces.addWidget(self.quiet)
        column = QVBoxLayout(body)
        column.addWidget(self.head)
        column.addWidget(self._faces, 1)
        for layout in (inner, column):
            layout.setContentsMargins(0, 0, 0, 0)
            layout.setSpacing(0)
        self._shown = shown
        self.set_body(body)

    # what the window asks

    def refresh(self, touched: object | None = None) -> None:
        """Read the season again, unless what was touched is no part of it."""
        kinds = {kind for kind, _ in getattr(touched, "subjects", ())}
        if touched is not None and kinds and kinds <= _UNCONCERNED:
            return
        self._is_stale = True
        self._call_off()
        if self.isVisible():
            self._read_soon()

    def _call_off(self) -> None:
        """Let go of what is worked on: it was read before the book changed."""
        self._later.stop()
        if self._tasks is not None:
            self._tasks.cancel(TOPIC)
            self._tasks.cancel(SUPPOSE)
        self.looking.stop()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_stale:
            self._read_soon()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        # a page that is put away must not be called when the job is done
        self._call_off()
        if self._is_waiting:
            self._is_waiting, self._is_stale = False, True

    def _day_changed(self) -> None:
        self.refresh()

    # reading

    def _read_soon(self) -> None:
        """Read once the page is painted: what it last showed is there at once."""
        QTimer.singleShot(0, self._read)

    def _read(self) -> None:
        if not self._is_stale or not self.isVisible():
            return
        self._is_stale = False
        session = self._session
        self._show_last()
        job = ReadJob(session.book.path, session.shelf, session.on)
        if self._tasks is None:
            self._was_read(job.read())
            return
        self._is_waiting = True
        self._tasks.run(job.read, done=self._was_read, topic=TOPIC)

    def _show_last(self) -> None:
        """Show the last good windows of this day, should there be any."""
        session, before = self._session, self.sheet.view
        if before is not None and before.on == session.on and before.is_forecast:
            self._tell_head(before, worked_out=False)
            return
        kept = (
            None if self._store is None else self._store.read(session.book, session.on)
        )
        if kept is not None:
            self._as_of = moment_words(kept.made_at, session.now())
            self._show(kept.answer, worked_out=False)

    def _was_read(self, found: Read) -> None:
        self._facts, self._change = found.facts, found.change
        before = self.sheet.view
        if before is None or before.on != found.facts.on or not before.is_forecast:
            self._show(found.seen)
        shelf = self._session.shelf
        if self._tasks is None:
            self._worked_out(SeasonJob(found.facts, shelf, None).view())
            return
        token = self._tasks.token()
        job = SeasonJob(found.facts, shelf, token)
        self._tasks.run(job.view, done=self._worked_out, topic=TOPIC, token=token)

    def _worked_out(self, view: SeasonView) -> None:
        self._is_waiting = False
        session = self._session
        now = session.now()
        self._as_of = moment_words(now, now)
        self._show(view)
        self.worked_out()
        if self._store is not None:
            self._store.keep(session.book, view.on, view, now, self._change)
            self._later.start()

    def _show(self, view: SeasonView, *, worked_out: bool = True) -> None:
        had_focus = self.hasFocus()
        self.sheet.tell(view)
        if view.ribbons:
            self._faces.setCurrentWidget(self._shown)
            if had_focus:
                self.sheet.setFocus()
        else:
            self.quiet.tell(
                "No brood stands in this year.",
                "Keep a female and enter her eggs: Ctrl+3 turns to the mothers. Each "
                "brood then has a ribbon here, with what is to come and its leaf.",
            )
            self._faces.setCurrentWidget(self.quiet)
        self._tell_head(view, worked_out=worked_out and view.is_forecast)
        self.hints_changed.emit()

    def _tell_head(self, view: SeasonView, *, worked_out: bool) -> None:
        lead, more = fullest_words(view)
        if not worked_out and view.ribbons:
            known = f"Windows as of {self._as_of}, " if view.is_forecast else "Windows "
            more = f"{known}being worked out"
        elif not lead and view.ribbons:
            lead = "No leaf is expected to be needed"
        broods = counted(len(view.ribbons), "brood")
        self.head.tell(
            Heading(
                title="Season",
                words=f"{view.on.year}, {broods}"
                if view.ribbons
                else f"{view.on.year}",
                verdict=lead,
                under=more,
            )
        )

    def worked_out(self) -> None:
        """Follow new windows; does nothing by itself."""


def moment_words(moment: dt.datetime, now: dt.datetime) -> str:
    """Return when it was worked out: 20:00, or with its day when that is another."""
    if moment.date() == now.date():
        return f"{moment:%H:%M}"
    return f"{day_words(moment.date(), year=True)}, {moment:%H:%M}"
