"""The stand that one book at a time lies open on: opened, begun, copied, put away."""

from __future__ import annotations

import datetime as dt
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QFileDialog, QLineEdit, QMessageBox

from rearing.belongings import sample
from rearing.desk.notices import show_trouble
from rearing.desk.open_book import OpenBook
from rearing.desk.starting import show
from rearing.desk.tasks import Lane
from rearing.keeping.moments import counted
from rearing.problems import Problem, StorageTrouble
from rearing.records.book import SUFFIX, Book
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QWidget

    from rearing.desk.starting import Desk
    from rearing.desk.welcome import Welcome
    from rearing.sheets.shelf import SheetShelf

SAMPLE = "hisa-na-robu.rearing"
_KINDS = f"Rearing books (*{SUFFIX})"
_SHEETS = "species"
COPY_AFTER_MS = 1500
"""The day's copy waits until the first picture stands."""


def _clock() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


class _CopyJob:
    """Makes the day's copy, off the window's thread."""

    def __init__(self, path: Path, now: dt.datetime) -> None:
        self._path, self._now = path, now

    def daily(self) -> Path | None:
        from rearing.records.copies import keep_daily

        return keep_daily(self._path, self._now)


class BookStand(QObject):
    """Opens books; when another is opened, the one before is put away."""

    def __init__(
        self, desk: Desk, folder: Path, clock: Callable[[], dt.datetime] = _clock
    ) -> None:
        super().__init__(desk.app)
        self._desk = desk
        self._folder = folder
        self._clock = clock
        self._shelf: SheetShelf | None = None
        self._open: OpenBook | None = None
        self._welcome: Welcome | None = None
        self._dialog: QFileDialog | None = None

    @property
    def open_book(self) -> OpenBook | None:
        """The book that lies open."""
        return self._open

    @property
    def dialog(self) -> QFileDialog | None:
        """The file dialog that was asked for last, while it is open."""
        return self._dialog

    # opening

    def begin_with(self, path: Path, *, on: dt.date | None = None) -> None:
        """Open a book first; where that fails, say why and offer others."""
        if not self.open(path, on=on) and self._open is None:
            self.welcome()

    def open(self, path: Path, *, on: dt.date | None = None) -> bool:
        """Open a book in its own window, or tell what is wrong with it."""
        try:
            book = Book.open(path, now=self._clock())
        except StorageTrouble as trouble:
            self._tell(trouble)
            return False
        self._lay_open(book, on)
        return True

    def begin(self, path: Path) -> bool:
        """Begin an empty book, or tell why it can't be."""
        named = path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX)
        try:
            book = Book.make(named)
        except StorageTrouble as trouble:
            self._tell(trouble)
            return False
        self._lay_open(book, None)
        return True

    def _lay_open(self, book: Book, on: dt.date | None) -> None:
        before, page = self._open, None
        if before is not None and before.window.page is not None:
            page = before.window.page.number
        if self._shelf is None:
            self._shelf = load_all([self._folder / _SHEETS])
        self._open = OpenBook(
            self._desk,
            book,
            self._shelf,
            self._clock,
            on=on,
            folder=self._folder,
            handlers={
                "new_book": self.ask_new,
                "open_book": self.ask_open,
                "sample": self.open_sample,
                "copy_book": self.ask_copy,
            },
        )
        show(self._desk, self._open.window, book=str(book.path), page=page)
        for old in (before.window if before is not None else None, self._welcome):
            if old is not None:
                old.close()
                old.deleteLater()
        self._welcome = None
        if before is not None:
            before.close()
            before.deleteLater()
        QTimer.singleShot(COPY_AFTER_MS, self._keep_copy)

    def _keep_copy(self) -> None:
        if self._open is None:
            return
        session = self._open.session
        job = _CopyJob(session.book.path, self._clock().astimezone(session.home.zone))
        self._desk.tasks.run(
            job.daily, done=self._copied, failed=self._tell, lane=Lane.FILES
        )

    def _copied(self, made: Path | None) -> None:
        """Say nothing: a copy that was made is no news, one that failed is."""

    def welcome(self) -> None:
        """Offer to begin a book, to open one, or to look at the sample season."""
        if self._welcome is not None:
            return
        from rearing.desk.welcome import Welcome

        self._welcome = Welcome(self._desk.theme)
        self._welcome.new_asked.connect(self.ask_new)
        self._welcome.open_asked.connect(self.ask_open)
        self._welcome.sample_asked.connect(self.open_sample)
        self._welcome.show()

    def clear_away(self) -> None:
        """Put the book away and end the jobs; the last thing that is done."""
        if self._open is not None:
            self._open.window.close()
            self._open.close()
            self._open.deleteLater()
            self._open = None
        if self._welcome is not None:
            self._welcome.close()
        self._desk.tasks.close()

    # asking for files

    def ask_new(self) -> None:
        """Ask where an empty book is to lie."""
        dialog = self._ask("Begin a new book", QFileDialog.AcceptMode.AcceptSave)
        dialog.selectFile(f"My book{SUFFIX}")
        _ready_to_rename(dialog)
        dialog.fileSelected.connect(self._begin_named)

    def ask_open(self) -> None:
        """Ask which book to open."""
        dialog = self._ask("Open a book", QFileDialog.AcceptMode.AcceptOpen)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(self._open_named)

    def ask_copy(self) -> None:
        """Ask where a copy of the whole book is to be written."""
        if self._open is None:
            return
        dialog = self._ask("Copy the book", QFileDialog.AcceptMode.AcceptSave)
        path = self._open.session.book.path
        dialog.selectFile(f"{path.stem} {self._clock():%Y-%m-%d}{SUFFIX}")
        dialog.fileSelected.connect(self._copy_named)

    def _ask(self, title: str, mode: QFileDialog.AcceptMode) -> QFileDialog:
        near = self._open.session.book.path.parent if self._open else Path.home()
        dialog = QFileDialog(self._parent(), title, str(near), _KINDS)
        dialog.setAcceptMode(mode)
        dialog.setDefaultSuffix(SUFFIX.removeprefix("."))
        from rearing.desk.dark_dialog import keep_dark

        keep_dark(dialog, self._desk.theme)
        # A book that is there is never overwritten, so there is nothing to confirm.
        dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)
        dialog.finished.connect(self._dialog_gone)
        self._dialog = dialog
        dialog.open()
        return dialog

    def _dialog_gone(self) -> None:
        if self._dialog is not None:
            self._dialog.deleteLater()
            self._dialog = None

    def _begin_named(self, name: str) -> None:
        self.begin(Path(name))

    def _open_named(self, name: str) -> None:
        self.open(Path(name))

    def _copy_named(self, name: str) -> None:
        from rearing.records.copies import copy_to

        if self._open is None:
            return
        try:
            copy_to(self._open.session.book.path, Path(name))
        except StorageTrouble as trouble:
            self._tell(trouble)
        else:
            self._copy_pictures(Path(name))

    def _copy_pictures(self, copy: Path) -> None:
        """Let the pictures that the book speaks of follow the copy; that may take."""
        from rearing.keeping.photos import pictures_spoken_of
        from rearing.records.pictures import copy_beside

        if self._open is None:
            return
        book = self._open.session.book
        wanted = pictures_spoken_of(book)
        follow = f" {counted(len(wanted), 'picture')} to follow." if wanted else ""
        self._open.window.say(f"Copied and checked: {copy.name}.{follow}")
        if wanted:
            self._desk.tasks.run(
                partial(copy_beside, book.path, copy, wanted),
                done=partial(self._pictures_copied, copy, len(wanted)),
                failed=self._tell,
                lane=Lane.FILES,
            )

    def _pictures_copied(self, copy: Path, wanted: int, done: int) -> None:
        if self._open is None:
            return
        said = f"Copied and checked: {copy.name}, with {counted(done, 'picture')}."
        if done < wanted:
            said += f" {counted(wanted - done, 'picture')} could not be found."
        self._open.window.say(said)

    def open_sample(self) -> None:
        """Open the keeper's own copy of the sample season, made at the first asking."""
        from rearing.records.copies import copy_to

        own = self._folder / SAMPLE
        try:
            if not own.exists():
                copy_to(sample(SAMPLE), own)
        except StorageTrouble as trouble:
            self._tell(trouble)
        else:
            self.open(own)

    # telling

    def _parent(self) -> QWidget | None:
        return self._open.window if self._open is not None else self._welcome

    def _tell(self, trouble: Problem) -> QMessageBox:
        if self._parent() is None:
            self.welcome()
        return show_trouble(self._parent(), trouble)


def _ready_to_rename(dialog: QFileDialog) -> None:
    """Put the hand on the offered name, its ending left alone: typing replaces it."""
    line = dialog.findChild(QLineEdit)
    if line is not None:
        line.setFocus()
        line.setSelection(0, len(line.text().removesuffix(SUFFIX)))
