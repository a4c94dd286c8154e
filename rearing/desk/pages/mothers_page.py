"""The mothers: females and their eggs, and the night book they came from."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedWidget

from rearing.desk import entries
from rearing.desk.actions import Act
from rearing.desk.page import Page
from rearing.desk.pages.females_face import FemalesFace
from rearing.desk.pages.nights_face import NightsFace
from rearing.desk.pages.page_help import MOTHERS_HELP
from rearing.desk.pages.page_keys import is_for_page
from rearing.desk.pages.quiet import QuietPage
from rearing.desk.photos import PagePhotos
from rearing.desk.widgets.header import Heading

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QKeyEvent

    from rearing.desk.page import Panel, Shown
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme

    Face = FemalesFace | NightsFace

_ACTS = (
    Act("mother_next", "Ne&xt in the list", "Ctrl+Down", "The one after this", "&Page"),
    Act("mother_before", "The one &before", "Ctrl+Up", "The one before this", "&Page"),
    Act("night_book", "Night boo&k", "Ctrl+B", "The lamp nights, or back", "&Page"),
)
_UNCONCERNED = frozenset({"tree", "cut", "box", "visit", "headcount", "loss", "exit"})


class MothersPage(Page):
    """Females at the left, the chosen one's page at the right; V: the night book."""

    number: ClassVar[int] = 3
    title: ClassVar[str] = "Mothers"
    targets: ClassVar[tuple[str, ...]] = ("moth", "lamp_night")

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__(theme)
        self._session = session
        self.photos = PagePhotos(self, session, theme)
        self.night_photos = PagePhotos(self, session, theme)
        self.females = FemalesFace(session, theme, self.photos)
        self.nights = NightsFace(session, theme, self.night_photos)
        self.quiet = QuietPage(theme)
        self._faces = QStackedWidget()
        for face in (self.females.spread, self.nights.spread, self.quiet):
            self._faces.addWidget(face)
        self._open: Face = self.females
        self.set_body(self._faces)
        self._connect()

    def _connect(self) -> None:
        for face in (self.females, self.nights):
            face.followed.connect(self._follow)
            face.form_asked.connect(self._open_form)
            face.told.connect(self.notices.say)

    # what the window asks

    def refresh(self, touched: object | None = None) -> None:
        """Read again, unless what was touched has nothing to do with this page."""
        kinds = {kind for kind, _ in getattr(touched, "subjects", ())}
        if touched is not None and kinds and kinds <= _UNCONCERNED:
            return
        for face in (self.females, self.nights):
            face.read()
        self._turn_to_new(touched)
        self._show()

    def _turn_to_new(self, touched: object | None) -> None:
        """Show the night or female that was just entered."""
        new_id = getattr(touched, "new_id", 0)
        subjects = getattr(touched, "subjects", ())
        if not new_id:
            return
        if ("lamp_night", new_id) in subjects:
            self._open = self.nights
            self.nights.show(new_id)
        elif ("moth", new_id) in subjects and self.females.show(new_id):
            self._open = self.females

    def _show(self) -> None:
        face = self._open
        if face.is_empty:
            title = "Night book" if self.in_night_book else self.title
            self.quiet.tell(Heading(title=title), *face.nothing)
            self._faces.setCurrentWidget(self.quiet)
        else:
            self._faces.setCurrentWidget(face.spread)
        self.hints_changed.emit()

    def focus_first(self) -> None:
        if self._open.is_empty:
            self.setFocus()
        elif self._open.spread.is_inside:
            self._open.go_in()
        else:
            self._open.spread.index.setFocus()

    def hints(self) -> str:
        return f"{self._open.keys}   F1 keys"

    def key_help(self) -> tuple[tuple[str, str], ...]:
        return MOTHERS_HELP

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        doers = (self.next_one, self.one_before, self.swap)
        turning = zip(_ACTS, doers, strict=True)
        return (*turning, (self.photos.act("mother"), self.look_at_photos))

    def tables(self) -> tuple[Shown, ...]:
        photos = self.night_photos if self.in_night_book else self.photos
        return (*self._open.tables(), *photos.tables())

    def show_target(self, kind: str, target: object) -> None:
        """Turn to a female, or to a lamp night in the night book."""
        if isinstance(target, int):
            self._open = self.nights if kind == "lamp_night" else self.females
            self._open.show(target)
            self._show()
            self._open.go_in()

    def in_hand(self) -> tuple[str, int] | None:
        chosen = self._open.chosen
        kind = "lamp_night" if self.in_night_book else "moth"
        return None if chosen is None else (kind, chosen)

    # turning

    @property
    def in_night_book(self) -> bool:
        """True while the lamp nights are shown."""
        return self._open is self.nights

    def swap(self) -> None:
        """Turn from the females to the night book, or back."""
        self.close_panel()
        self._open = self.females if self.in_night_book else self.nights
        self._show()
        self.focus_first()

    def look_at_photos(self) -> None:
        """Open the photos of the female or the night."""
        (self.night_photos if self.in_night_book else self.photos).look()

    def next_one(self) -> None:
        """Turn to the next female or night."""
        self._open.turn(1)

    def one_before(self) -> None:
        """Turn to the female or night before."""
        self._open.turn(-1)

    def _follow(self, kind: str, target: object) -> None:
        self.go_asked.emit(kind, target)

    def _open_form(self, form: Panel) -> None:
        self.notices.clear()
        self.open_panel(form)

    # keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not is_for_page(self, event):
            super().keyPressEvent(event)
        elif event.key() == Qt.Key.Key_Escape and self.notices.isHidden():
            self._leave()
        elif not self.answer(event.text().upper()):
            super().keyPressEvent(event)

    def _leave(self) -> None:
        if self._open.spread.is_inside:
            self._open.spread.go_out()
        elif self.in_night_book:
            self.swap()

    def answer(self, key: str) -> bool:
        """Do what a letter asks for; False when it asks nothing."""
        if key == "V":
            self.swap()
        elif key == "T":
            self._open_form(entries.night(self._session, self.theme))
        else:
            return bool(key) and self._open.answer(key)
        return True
