"""The photos of a page: the strip of them, one opened large, and new ones put in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QDropEvent, QGuiApplication, QKeyEvent, QKeySequence

from rearing.desk.actions import Act
from rearing.desk.page import Shown
from rearing.desk.photo_entry import PhotoEntry, may_hold_pictures, sources_in
from rearing.desk.typed import near_words
from rearing.desk.widgets.picture_strip import PictureCell, PictureStrip
from rearing.keeping import photos
from rearing.keeping.beside import name_of

if TYPE_CHECKING:
    import datetime as dt

    from rearing.desk.page import Page
    from rearing.desk.pages.picture_face import PictureFace
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.photos import Photo

PHOTO_KEYS = (
    "Ctrl+I   puts photos in; dropped and pasted ones too\n"
    "Ctrl+Shift+I   looks at them, the newest first"
)
NO_THING = (
    "Nothing is in the hand here that a photo could stand beside. Go to it first, or "
    "Ctrl+I asks which it is of."
)
_DRAGGED = {QEvent.Type.DragEnter, QEvent.Type.DragMove}


class PagePhotos(QObject):
    """Gives a page its `strip`, to be placed in a section, and all that goes with it.

    The page calls `tell(subject, id)` whenever it shows a thing, `tell_nothing` where
    it shows none, and hides the section while `is_empty`. Pictures dropped on the page
    or pasted into it stand beside what is in the page's hand.
    """

    # of the class too: a page let go hides once more after its parts were cleared
    _face: PictureFace | None = None

    def __init__(self, page: Page, session: Session, theme: Theme) -> None:
        super().__init__(page)
        self._page = page
        self._session = session
        self._theme = theme
        self._thing: tuple[str, int] | None = None
        self._title = ""
        self._photos: tuple[Photo, ...] = ()
        self.strip = PictureStrip(theme, "Photos", session.pictures)
        self.strip.opened.connect(self.open)
        page.setAcceptDrops(True)
        page.installEventFilter(self)

    # showing

    @property
    def is_empty(self) -> bool:
        """True where no photo stands beside the thing, or what belongs to it."""
        return not self._photos

    def tell(self, subject: str, subject_id: int) -> None:
        """Show the photos of a thing's page."""
        session = self._session
        if self._thing != (subject, subject_id):
            self._leave_face()
            session.pictures.leave_waiting()
        self._thing = (subject, subject_id)
        self._title = name_of(session.book, subject, subject_id)
        found = photos.photos_of(session.book, subject, subject_id, session.on)
        self._show(found)

    def tell_all(self, subject: str, title: str) -> None:
        """Show the photos of all things of a kind, on a page that lists them all."""
        self._title = title
        session = self._session
        self._show(photos.photos_of_all(session.book, subject, session.on))

    def _show(self, found: tuple[Photo, ...]) -> None:
        self._photos = found
        self._session.pictures.look_again()
        self.strip.tell(self._cells())
        if self._face is not None and self._page.covered_by is self._face:
            self._show_face(self._face.at)

    def tell_nothing(self) -> None:
        """Show none: the page shows nothing they could stand beside."""
        self._thing, self._photos = None, ()
        self.strip.tell(())
        self._leave_face()

    def _cells(self) -> tuple[PictureCell, ...]:
        on, zone = self._session.on, self._session.home.zone
        return tuple(_cell(photo, on, zone) for photo in self._photos)

    # one of them, large

    def act(self, page: str) -> Act:
        """Return the page's own act that opens them, for its menu."""
        tip = "The newest first; ← → go on"
        text = "Look at the ph&otos"
        return Act(f"{page}_photos", text, "Ctrl+Shift+I", tip, "&Page")

    def look(self) -> None:
        """Open the newest of what is in the hand, else of all; or say what to do."""
        if self._photos:
            hand = self._page.in_hand()
            things = [photo.thing for photo in self._photos]
            self.open(things.index(hand) if hand in things else 0)
        else:
            self._page.notices.say("No photo stands here yet. Ctrl+I puts one in.")

    def open(self, at: int = 0) -> None:
        """Show a picture as large as the page."""
        from rearing.desk.pages.picture_face import PictureFace

        if self._face is None:
            self._face = PictureFace(self._theme, self._session.pictures)
            self._face.closed.connect(self.close)
            self._face.caption_asked.connect(self._ask_caption)
            self._face.away_asked.connect(self._put_away)
            self._face.turned.connect(self.strip.go)
        self._show_face(at)
        self._page.cover(self._face)

    def close(self) -> None:
        """Go back to the page, the strip in the hand."""
        self._leave_face()
        self.strip.setFocus()

    def _leave_face(self) -> None:
        if self._face is not None and self._page.covered_by is self._face:
            self._page.uncover()

    def _show_face(self, at: int) -> None:
        if not self._photos:
            self._leave_face()
        elif self._face is not None:
            self._face.tell(self._title, self._cells(), at)

    def _ask_caption(self, at: int) -> None:
        from rearing.desk.entries.photo_forms import correct_photo

        form = correct_photo(self._session, self._theme, self._photos[at].id)
        self._page.open_panel(form)

    def _put_away(self, at: int) -> None:
        self._session.do(photos.put_photo_away, photo_id=self._photos[at].id)

    def tables(self) -> tuple[Shown, ...]:
        """Return what stands in the strip as a table to be handed out."""
        from rearing.exchange.photo_tables import photos_table

        if not self._photos:
            return ()
        zone = self._session.home.zone
        told = photos_table(self._title, self._photos, zone)
        return (Shown(told, self.strip),)

    # new ones

    def _entry(self) -> PhotoEntry | None:
        thing = self._page.in_hand() or self._thing
        if thing is None:
            self._page.notices.say(NO_THING)
            return None
        return PhotoEntry(self._page, self._session, self._theme, *thing)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.Hide:
            # coming back to the page, one comes back to the page itself
            self._leave_face()
        elif event.type() in _DRAGGED and isinstance(event, QDropEvent):
            if may_hold_pictures(event.mimeData()):
                event.acceptProposedAction()
                return True
        elif event.type() is QEvent.Type.Drop and isinstance(event, QDropEvent):
            return self._dropped(event)
        elif event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            return event.matches(QKeySequence.StandardKey.Paste) and self._pasted()
        return super().eventFilter(watched, event)

    def _dropped(self, event: QDropEvent) -> bool:
        sources = sources_in(event.mimeData())
        entry = self._entry() if sources else None
        if entry is None:
            return False
        event.acceptProposedAction()
        entry.take(sources)
        return True

    def _pasted(self) -> bool:
        sources = sources_in(QGuiApplication.clipboard().mimeData())
        entry = self._entry() if sources else None
        if entry is None:
            return False
        entry.take(sources)
        return True


def _cell(photo: Photo, on: dt.date, zone: dt.tzinfo) -> PictureCell:
    day = photos.about(near_words(photo.on, on), photo.at)
    if photo.at is not None:
        day += f", {photo.at.astimezone(zone):%H:%M}"
    words = [part for part in (photo.where, photo.caption) if part]
    return PictureCell(photo.named, day, ": ".join(words))
