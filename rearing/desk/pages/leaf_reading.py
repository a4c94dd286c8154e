"""The leaf page's reading: trees and cuts at once, the weeks to come behind."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QStackedWidget

from rearing.desk.page import Page
from rearing.desk.pages import leaf_words
from rearing.desk.pages.leaf_sheet import LeafSheet
from rearing.desk.pages.quiet import QuietPage
from rearing.desk.pages.season_reading import moment_words
from rearing.desk.photos import PagePhotos
from rearing.desk.widgets.header import Heading
from rearing.keeping.kept_leaf import kept_leaf
from rearing.keeping.larder import cuts_now
from rearing.keeping.last_good import last_change
from rearing.keeping.leaf_tests import leaf_tests
from rearing.keeping.leaf_view import view_of
from rearing.keeping.season_facts import season_facts
from rearing.keeping.trees import trees_now
from rearing.records.book import Book

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from PySide6.QtGui import QHideEvent, QShowEvent

    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.keeping.how_many import HowMany
    from rearing.keeping.larder import CutNow
    from rearing.keeping.leaf_tests import LeafTest
    from rearing.keeping.leaf_view import LeafView
    from rearing.keeping.trees import TreeNow
    from rearing.sheets.shelf import SheetShelf

TOPIC = "leaf"
_UNCONCERNED = frozenset({"outage", "lamp_check", "arrival", "note", "photo"})


@dataclass(frozen=True, slots=True)
class Found:
    """The leaf to come, and the last change that is in it."""

    view: LeafView
    change: int


class LeafJob:
    """Works out the leaf of the weeks to come, with a book of its own."""

    def __init__(self, path: Path, shelf: SheetShelf, on: dt.date) -> None:
        self._path, self._shelf, self._on = path, shelf, on

    def work(self) -> Found:
        """Read, then let go of the book, then work it out."""
        with Book.open(self._path) as book:
            change = last_change(book)
            facts = season_facts(book, self._shelf, self._on)
        return Found(view_of(facts, self._shelf), change)


class LeafReading(Page):
    """Shows what was worked out last at once, and works it out again behind."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        tasks: Tasks | None = None,
        *,
        folder: Path | None = None,
    ) -> None:
        super().__init__(theme)
        self._session = session
        self._tasks = tasks
        self._store = None if folder is None else kept_leaf(folder)
        self.view: LeafView | None = None
        self.trees: tuple[TreeNow, ...] = ()
        self.cuts: tuple[CutNow, ...] = ()
        self.larvae: tuple[LeafTest, ...] = ()
        self.kept: tuple[HowMany, ...] = ()
        self._as_of = ""
        self._is_stale = True
        self._is_waiting = False
        self.photos = PagePhotos(self, session, theme)
        self.sheet = LeafSheet(theme, self.photos.strip)
        self.quiet = QuietPage(theme)
        self._faces = QStackedWidget()
        self._faces.addWidget(self.sheet)
        self._faces.addWidget(self.quiet)
        self.set_body(self._faces)
        session.day_changed.connect(self._day_changed)

    # what the window asks

    def refresh(self, touched: object | None = None) -> None:
        """Read again, unless what was touched has nothing to do with leaf."""
        kinds = {kind for kind, _ in getattr(touched, "subjects", ())}
        if touched is not None and kinds and kinds <= _UNCONCERNED:
            if "photo" in kinds:
                self._read_photos()
            return
        self._is_stale = True
        self._call_off()
        self._read_reach()
        if self.isVisible():
            self._read_soon()

    def _day_changed(self) -> None:
        self.view, self._as_of = None, ""
        self.kept = ()
        self.sheet.tell_keep(self.kept)
        self.refresh()

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

    def _call_off(self) -> None:
        if self._tasks is not None:
            self._tasks.cancel(TOPIC)

    # reading

    def _read_photos(self) -> None:
        self.photos.tell_all("tree", "Trees")
        self.sheet.tell_photos()

    def _read_reach(self) -> None:
        """Read trees, cuts and test larvae: a few milliseconds."""
        book, on = self._session.book, self._session.on
        self.trees = trees_now(book, on)
        self._read_photos()
        days = round(self._session.shelf.defaults.figures.leaf_test_days.middle)
        self.cuts = cuts_now(book, on)
        self.larvae = leaf_tests(book, on, days=days)
        self.sheet.tell_reach(self.trees, self.cuts, self.larvae)
        if self.view is None:
            self._show_last()
        self._show()

    def _show_last(self) -> None:
        """Take the last good answer of this day, should there be one."""
        session = self._session
        if self._store is None:
            return
        kept = self._store.read(session.book, session.on)
        if kept is not None:
            self.view = kept.answer
            self._as_of = moment_words(kept.made_at, session.now())

    def _read_soon(self) -> None:
        """Work it out once the page is painted."""
        QTimer.singleShot(0, self._read)

    def _read(self) -> None:
        if not self._is_stale or not self.isVisible():
            return
        self._is_stale = False
        session = self._session
        job = LeafJob(session.book.path, session.shelf, session.on)
        if self._tasks is None:
            self._worked_out(job.work())
            return
        self._is_waiting = True
        self._show()
        self._tasks.run(job.work, done=self._worked_out, topic=TOPIC)

    def _worked_out(self, found: Found) -> None:
        self._is_waiting = False
        session = self._session
        now = session.now()
        self.view = found.view
        self._as_of = moment_words(now, now)
        self._show()
        if self._store is not None:
            view = found.view
            self._store.keep(session.book, view.on, view, now, found.change)

    def _show(self) -> None:
        view = self.view
        waits = self.sheet.sheet.hasFocus()
        nothing = not self.trees and not self.sheet.cuts.lines()
        if nothing and (view is None or not view.hosts) and not self._is_waiting:
            self.quiet.tell(
                Heading(title="Leaf"),
                "No tree is entered, and nobody here eats leaf yet.",
                "T enters a tree, C leaf that you cut. What is needed stands here once "
                "eggs or larvae are in the book: Ctrl+3 turns to the mothers.",
            )
            self._faces.setCurrentWidget(self.quiet)
        else:
            self.sheet.tell_view(view)
            self.sheet.header.tell(leaf_words.heading(view, self.trees, self._known()))
            self._faces.setCurrentWidget(self.sheet)
            if waits and view is not None:
                self.focus_first()
            self.sheet.keep_in_sight()
        self.hints_changed.emit()

    def _known(self) -> str:
        if self.view is None:
            return ""
        if self._is_waiting:
            return f"As of {self._as_of}, being worked out"
        return f"As of {self._as_of}"

    @property
    def is_quiet(self) -> bool:
        """Whether there is nothing to show."""
        return self._faces.currentWidget() is self.quiet
