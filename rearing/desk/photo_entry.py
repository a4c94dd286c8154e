"""Putting photos in: files chosen, dropped or pasted, looked at, dated, entered."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QIODevice, QObject
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QFileDialog

from rearing.desk.dark_dialog import keep_dark
from rearing.keeping import photos
from rearing.keeping.moments import counted
from rearing.problems import Problem, StorageTrouble, UnreadableFile

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from PySide6.QtCore import QMimeData

    from rearing.desk.page import Page
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.photos import NewPhoto, Taken
    from rearing.records.pictures import Offered

KINDS = "Pictures (*.jpg *.jpeg *.png *.tif *.tiff *.webp *.avif *.heic);;All files (*)"
PASTED = "The pasted picture"

Source = Path | bytes


@dataclass(frozen=True, slots=True)
class Looked:
    """Pictures that can be put in with their days, and why others can't be."""

    offered: tuple[Offered, ...]
    days: tuple[Taken, ...]
    refused: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Put:
    """Pictures that lie beside the book now, and why the others don't."""

    photos: tuple[NewPhoto, ...]
    refused: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """A job: read each picture and find its day."""

    sources: tuple[Source, ...]
    zone: dt.tzinfo
    today: dt.date

    def run(self) -> Looked:
        """Return what can be put in."""
        from rearing.records.pictures import offer

        offered, refused = [], []
        for source in self.sources:
            try:
                offered.append(offer(source, PASTED))
            except UnreadableFile as trouble:
                refused.append(trouble.sentence)
        days = tuple(photos.taken(one, self.zone, self.today) for one in offered)
        return Looked(tuple(offered), days, tuple(refused))


@dataclass(frozen=True, slots=True)
class PutBeside:
    """A job: put each picture beside the book; those before a trouble stay put."""

    book: Path
    offered: tuple[Offered, ...]
    days: tuple[Taken, ...]

    def run(self) -> Put:
        """Return what lies beside the book now."""
        put, refused = [], []
        for offered, day in zip(self.offered, self.days, strict=True):
            try:
                put.append(photos.put_beside(self.book, offered, day))
            except UnreadableFile as trouble:
                refused.append(trouble.sentence)
            except StorageTrouble as trouble:
                refused.append(trouble.sentence)
                break
        return Put(tuple(put), tuple(refused))


class PhotoEntry(QObject):
    """Takes pictures for one thing from their choice to their entry, on one page."""

    def __init__(
        self, page: Page, session: Session, theme: Theme, subject: str, subject_id: int
    ) -> None:
        super().__init__(page)
        self._page = page
        self._session = session
        self._theme = theme
        self.subject, self.subject_id = subject, subject_id
        self._caption = ""
        self._sure = False
        self.dialog: QFileDialog | None = None

    # choosing

    def begin(self, written: str) -> None:
        """Take a written file, or open the list of files where none is written."""
        if written:
            self.take([Path(written).expanduser()])
        else:
            self.choose()

    def choose(self) -> None:
        """Open the list of files; several can be taken at once."""
        near = str(_picture_folder())
        self.dialog = QFileDialog(self._page.window(), "Photos", near, KINDS)
        self.dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        keep_dark(self.dialog, self._theme)
        self.dialog.filesSelected.connect(self._chosen)
        self.dialog.finished.connect(self._dialog_gone)
        self.dialog.open()

    def _chosen(self, names: list[str]) -> None:
        self.take([Path(name) for name in names])

    def _dialog_gone(self) -> None:
        if self.dialog is not None:
            self.dialog.deleteLater()
            self.dialog = None

    def take(self, sources: Sequence[Source]) -> None:
        """Look at pictures, then ask for what they don't say."""
        if not sources:
            return
        session = self._session
        many = counted(len(sources), "picture")
        self._page.notices.say(f"Looking at {many}.")
        job = Look(tuple(sources), session.home.zone, session.on)
        session.pictures.work(job.run, self._looked, self._refused)

    def _looked(self, looked: Looked) -> None:
        from rearing.desk.entries.photo_forms import day_form

        self._page.notices.clear()
        if not looked.offered:
            self._page.notices.say_problem(Problem(" ".join(looked.refused)))
            return
        self._page.open_panel(day_form(self._session, self._theme, self, looked))

    # entering

    def put_in(
        self,
        offered: Sequence[Offered],
        days: Sequence[Taken],
        *,
        caption: str,
        sure: bool,
    ) -> None:
        """Put pictures beside the book, then enter them."""
        self._caption, self._sure = caption, sure
        many = counted(len(offered), "picture")
        self._page.notices.say(f"Putting {many} beside the book.")
        job = PutBeside(self._session.book.path, tuple(offered), tuple(days))
        self._session.pictures.work(job.run, self._put, self._refused)

    def _put(self, put: Put) -> None:
        self._page.notices.clear()
        refused = list(put.refused)
        if put.photos:
            try:
                self._session.do(
                    photos.add_photos,
                    subject=self.subject,
                    subject_id=self.subject_id,
                    photos=put.photos,
                    caption=self._caption,
                    sure=self._sure,
                )
            except Problem as problem:
                refused.append(problem.sentence)
        if refused:
            self._page.notices.say_problem(Problem(" ".join(refused)))

    def _refused(self, problem: Problem) -> None:
        self._page.notices.say_problem(problem)


def sources_in(mime: QMimeData) -> list[Source]:
    """Return the pictures that were dropped or copied: files, or a picture itself."""
    files: list[Source] = [
        Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile()
    ]
    if files or not mime.hasImage():
        return files
    image = mime.imageData()
    if not isinstance(image, QImage) or image.isNull():
        return []
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]  # its stub wants bytes
    return [bytes(buffer.data().data())]


def may_hold_pictures(mime: QMimeData) -> bool:
    """Tell whether something dropped could be a picture; its ending decides nothing."""
    return mime.hasImage() or any(url.isLocalFile() for url in mime.urls())


def _picture_folder() -> Path:
    """Return where pictures mostly lie, as the desktop says."""
    from PySide6.QtCore import QStandardPaths

    kind = QStandardPaths.StandardLocation.PicturesLocation
    said = Path(QStandardPaths.writableLocation(kind))
    return said if said.is_dir() else Path.home()
