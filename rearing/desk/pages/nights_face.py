"""The night book: the lamp nights, what came, and the keys that mean a night."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rearing.desk import entries
from rearing.desk.pages import night_writing
from rearing.desk.pages.mothers_out import shown_nights
from rearing.desk.pages.night_sheet import NightSheet
from rearing.desk.pages.turning_face import TurningFace
from rearing.desk.widgets.header import Heading
from rearing.keeping.descent import moth_call
from rearing.keeping.moments import zone_of
from rearing.keeping.night_page import night_lines, night_page

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.page import Panel, Shown
    from rearing.desk.photos import PagePhotos
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.night_page import NightLine, NightPage

_FORMS: dict[str, Callable[..., Panel]] = {
    "C": entries.check,
    "A": entries.arrival,
    "D": entries.second_look,
    "K": entries.female,
    "O": entries.outage,
}


class NightsFace(TurningFace):
    """The lamp nights, the latest first."""

    nothing: ClassVar[tuple[str, str]] = (
        "No lamp night is entered yet.",
        "T enters one: its evening, its site, its lamp. V goes back to the females.",
    )
    keys: ClassVar[str] = (
        "T new night   C check   A arrival   K keep a female   V females"
    )

    def __init__(self, session: Session, theme: Theme, photos: PagePhotos) -> None:
        names = ("Lamp nights", "The night's page")
        super().__init__(session, theme, night_writing.INDEX_COLUMNS, names)
        self._photos = photos
        self.sheet = NightSheet(theme, self.spread, photos.strip)
        self.page: NightPage | None = None
        self._lines: tuple[NightLine, ...] = ()
        self._signs: dict[int, tuple[str, str]] = {}
        self.sheet.kept_chosen.connect(self._to_moth)

    def read(self) -> None:
        on = self.session.on
        lines = night_lines(self.session.book, on)
        self._lines = lines
        self.spread.index_header.tell(Heading(title="Night book"))
        self.list([night_writing.index_line(line, on) for line in lines])

    def show_chosen(self) -> None:
        if self.chosen is None:
            return
        book, on = self.session.book, self.session.on
        self.page = night_page(book, self.chosen, on)
        night = self.page.night
        self._photos.tell("lamp_night", self.chosen)
        self._signs = {moth.id: moth_call(book, moth, on) for moth in night.kept}
        self.sheet.tell(self.page, self._signs, zone_of(night.site.zone), on)

    def tables(self) -> tuple[Shown, ...]:
        index = self.spread.index
        return shown_nights(self._lines, index, self.page, self.sheet, self._signs)

    def answer(self, key: str) -> bool:
        if self.chosen is None:
            return False
        if key in _FORMS:
            form = _FORMS[key]
            self.form_asked.emit(form(self.session, self.theme, night_id=self.chosen))
        elif key == "N":
            self.form_asked.emit(
                entries.note(
                    self.session,
                    self.theme,
                    subject="lamp_night",
                    subject_id=self.chosen,
                )
            )
        else:
            return False
        return True

    def _to_moth(self, moth_id: object) -> None:
        self.followed.emit("moth", moth_id)
