"""The broods: a list of them all, and each one's page as in a notebook."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedWidget

from rearing.desk import entries
from rearing.desk.actions import Act
from rearing.desk.pages.brood_boxes import AT_A_BOX, AT_A_POT, BroodBoxes
from rearing.desk.pages.brood_list import BroodList
from rearing.desk.pages.brood_numbers_face import NumbersFace
from rearing.desk.pages.brood_out import shown_broods, shown_of_open
from rearing.desk.pages.brood_sheet import BroodSheet
from rearing.desk.pages.brood_windows import beside
from rearing.desk.pages.page_help import BROODS_HELP
from rearing.desk.pages.page_keys import is_for_page
from rearing.desk.photos import PagePhotos
from rearing.keeping.broods import brood_lines, brood_page
from rearing.keeping.reach import reach
from rearing.records.rows import BoxRow, EggPotRow

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QKeyEvent

    from rearing.desk.looking_back import LookingBack
    from rearing.desk.page import Shown
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.listening_lists import PartList
    from rearing.keeping.broods import BroodLine, BroodPage

    Thing = tuple[str, int]

_ACTS = (
    Act("brood_next", "Ne&xt brood", "Ctrl+Down", "The brood after this", "&Page"),
    Act("brood_before", "Brood &before", "Ctrl+Up", "The brood before this", "&Page"),
)
_UNCONCERNED = frozenset({"site", "outage", "lamp_check", "arrival", "tree", "cut"})


class BroodsPage(BroodBoxes):
    """Opens on the list; Enter turns to a brood, Esc back to the list."""

    number: ClassVar[int] = 4
    title: ClassVar[str] = "Broods"
    targets: ClassVar[tuple[str, ...]] = ("brood", "box", "egg_pot")

    def __init__(
        self, session: Session, theme: Theme, looking: LookingBack | None = None
    ) -> None:
        super().__init__(session, theme)
        self._looking = looking
        self._lines: tuple[BroodLine, ...] = ()
        self._open: int | None = None
        self._page: BroodPage | None = None
        self._faces = QStackedWidget()
        self.list = BroodList(theme)
        self.photos = PagePhotos(self, session, theme)
        self.sheet = BroodSheet(theme, self.photos.strip)
        self.numbers = NumbersFace(self, session, theme)
        for face in (self.list, self.sheet, self.numbers.sheet):
            self._faces.addWidget(face)
        self.set_body(self._faces)
        self.list.list.chosen.connect(self._choose)
        self.sheet.followed.connect(self.go_asked)
        self.sheet.box_key.connect(self.at_thing)
        self.sheet.sheet.turned.connect(self.turn)

    # what the window asks

    def refresh(self, touched: object | None = None) -> None:
        """Read again, unless what was touched has nothing to do with any brood."""
        kinds = {kind for kind, _ in getattr(touched, "subjects", ())}
        if touched is not None and kinds and kinds <= _UNCONCERNED:
            return
        session = self._session
        self._lines = brood_lines(session.book, session.shelf, session.on)
        self.list.tell(self._lines, session.on)
        if self._open not in {line.id for line in self._lines}:
            self._open = None
        self._show()
        self.hints_changed.emit()

    def focus_first(self) -> None:
        if self._open is None:
            self.list.focus_first()
        elif self.numbers.is_shown:
            self.numbers.sheet.sheet.setFocus()
        elif self.sheet.boxes.lines():
            self.sheet.boxes.setFocus()
        else:
            self.sheet.sheet.setFocus()

    def hints(self) -> str:
        if self._open is None:
            return "Enter open   ↑ ↓ choose   Ctrl+K find   F1 keys"
        if self.numbers.is_shown:
            return "K beside another   I measured   U back to the page   ↑ ↓ read on"
        return "B new box   N note   W emerged   U numbers   Esc all broods"

    def key_help(self) -> tuple[tuple[str, str], ...]:
        return BROODS_HELP

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        turning = zip(_ACTS, (self.next_brood, self.brood_before), strict=True)
        photos = (self.photos.act("brood"), self.photos.look)
        return (*turning, photos, *self.numbers.acts(), *self.box_acts.offered())

    def tables(self) -> tuple[Shown, ...]:
        if self._page is None:
            return shown_broods(self._lines, self.list.list)
        return shown_of_open(self._page, self)

    def show_target(self, kind: str, target: object) -> None:
        """Turn to a brood, or to the brood of a box or pot, and to its line."""
        if not isinstance(target, int):
            return
        book = self._session.book
        brood_id, thing = target, None
        if kind == "box":
            brood_id, thing = book.one(BoxRow, target).brood_id, ("box", target)
        elif kind == "egg_pot":
            brood_id, thing = book.one(EggPotRow, target).brood_id, ("pot", target)
        self.open(brood_id)
        if thing is not None:
            self.sheet.boxes.set_current(thing)
            self.sheet.boxes.keep_in_sight()

    def in_hand(self) -> tuple[str, int] | None:
        boxes = self.sheet.boxes
        line = boxes.current_key() if boxes.hasFocus() else None
        if self._open is not None and isinstance(line, tuple):
            kind, row_id = line
            return ("egg_pot" if kind == "pot" else "box"), int(row_id)
        return None if self._open is None else ("brood", self._open)

    def boxes(self) -> PartList:
        return self.sheet.boxes

    # turning

    @property
    def brood_id(self) -> int | None:
        """The brood whose page is open."""
        return self._open

    def open(self, brood_id: int) -> None:
        """Turn to a brood's page."""
        if brood_id in {line.id for line in self._lines} and brood_id != self._open:
            self._open = brood_id
            self._show()
            self.sheet.sheet.verticalScrollBar().setValue(0)
            self.focus_first()
            self.hints_changed.emit()

    def close_brood(self) -> None:
        """Turn back to the list."""
        self._open, self._page = None, None
        self._show()
        self.focus_first()
        self.hints_changed.emit()

    def turn(self, step: int) -> None:
        """Turn to the brood so many further on in the list."""
        ids = [line.id for line in self._lines]
        if self._open in ids:
            at = ids.index(self._open) + step
            if 0 <= at < len(ids):
                self._open_and_tell(ids[at])

    def next_brood(self) -> None:
        """Turn to the next brood of the list."""
        self.turn(1)

    def brood_before(self) -> None:
        """Turn to the brood before in the list."""
        self.turn(-1)

    def _choose(self, key: object) -> None:
        if isinstance(key, int):
            self._open_and_tell(key)

    def _open_and_tell(self, brood_id: int) -> None:
        """Turn to a brood, and let the window know, so that Back comes back to it."""
        self.open(brood_id)
        self.go_asked.emit("brood", brood_id)

    def show_again(self) -> None:
        """Show the open brood as it is now, on the face that is turned to."""
        self._show()
        self.focus_first()
        self.hints_changed.emit()

    def _show(self) -> None:
        session = self._session
        if self._open is None:
            self.photos.tell_nothing()
            self.numbers.put_away()
            self._faces.setCurrentWidget(self.list)
            return
        self.photos.tell("brood", self._open)
        self._page = brood_page(session.book, session.shelf, self._open, session.on)
        ids = [line.id for line in self._lines]
        turn = f"brood {ids.index(self._open) + 1} of {len(ids)}"
        self.sheet.tell(self._page, session.home.zone, session.on, turn)
        told = None if self._looking is None else self._looking.told()
        past = None if told is None else told.answer
        within = reach(session.book, session.on)
        self.sheet.beside.tell(beside(self._page, within, session.shelf, past))
        self.list.list.set_current(self._open)
        face = self.numbers.face(self._open) or self.sheet
        self._faces.setCurrentWidget(face)

    # keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not is_for_page(self, event):
            super().keyPressEvent(event)
        elif event.key() == Qt.Key.Key_Escape and self._closes():
            if not self.numbers.turned_back():
                self.close_brood()
        elif not self.answer(event.text().upper()):
            super().keyPressEvent(event)

    def _closes(self) -> bool:
        """Tell whether Esc leaves the brood: a notice is put away first."""
        return self._open is not None and self.notices.isHidden()

    def answer(self, key: str) -> bool:
        """Do what a letter asks for on the open brood; False when it asks nothing."""
        if self._open is None or not key:
            return False
        if key == "B":
            self.open_panel(
                entries.open_box(self._session, self.theme, brood_id=self._open)
            )
        elif key == "N":
            self.note("brood", self._open)
        elif key == "U":
            self.numbers.swap()
        elif key == "K":
            self.numbers.ask_other()
        elif key == "A":
            self.sheet.swap_doings()
            self._show()
        elif key == "W":
            self.open_panel(
                entries.emergence(self._session, self.theme, brood_id=self._open)
            )
        elif key in AT_A_BOX or key in AT_A_POT:
            self.ask_which(key)
        else:
            return False
        return True
