"""The females of the book: the index, her page, and the keys that mean her."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rearing.desk import entries
from rearing.desk.pages import female_writing
from rearing.desk.pages.female_sheet import FemaleSheet
from rearing.desk.pages.mothers_out import shown_females
from rearing.desk.pages.turning_face import TurningFace
from rearing.desk.widgets.header import Heading
from rearing.keeping.females import mother, mother_lines

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.page import Panel, Shown
    from rearing.desk.photos import PagePhotos
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.females import Mother, MotherLine

_POT_FORMS: dict[str, Callable[..., Panel]] = {
    "H": entries.fate,
    "L": entries.put_on_leaf,
    "M": entries.carry,
    "Z": entries.close_pot,
}


class FemalesFace(TurningFace):
    """Those that are here first, then the latest that laid, then the others."""

    nothing: ClassVar[tuple[str, str]] = (
        "No female is kept yet.",
        "T enters a lamp night, K keeps a female from it, E her eggs, night by night.",
    )
    keys: ClassVar[str] = "E eggs   H hatched   K keep   G let go   V night book"

    def __init__(self, session: Session, theme: Theme, photos: PagePhotos) -> None:
        names = ("Females", "Her page")
        super().__init__(session, theme, female_writing.INDEX_COLUMNS, names)
        self._photos = photos
        self.sheet = FemaleSheet(theme, self.spread, photos.strip)
        self.mother: Mother | None = None
        self._lines: tuple[MotherLine, ...] = ()
        self.sheet.followed.connect(self.followed)
        self.sheet.pot_key.connect(self._at_pot)
        self.sheet.laying_key.connect(self._at_laying)

    def read(self) -> None:
        session = self.session
        lines = mother_lines(session.book, session.shelf, session.on)
        self._lines = lines
        here = sum(line.is_here for line in lines)
        words = f"{here} here" if here else "none here"
        self.spread.index_header.tell(Heading(title="Mothers", words=words))
        self.list(list(female_writing.index_lines(lines)))

    def show_chosen(self) -> None:
        if self.chosen is None:
            return
        session = self.session
        self.mother = mother(session.book, session.shelf, self.chosen, session.on)
        self._photos.tell("moth", self.chosen)
        self.sheet.tell(self.mother, session.home.zone, session.on)

    def tables(self) -> tuple[Shown, ...]:
        index = self.spread.index
        return shown_females(self._lines, index, self.mother, self.sheet)

    def answer(self, key: str) -> bool:
        if key == "K":
            night = self.mother.night_id if self.mother is not None else None
            self._ask(entries.female, night_id=night)
            return True
        if self.chosen is None:
            return False
        own: dict[str, tuple[Callable[..., Panel], str]] = {
            "E": (entries.eggs, "mother_id"),
            "G": (entries.let_go, "moth_id"),
            "D": (entries.second_look, "moth_id"),
            "S": (entries.mated, "moth_id"),
            "P": (entries.pairing, "dam_id"),
        }
        if key in own:
            form, name = own[key]
            self._ask(form, **{name: self.chosen})
        elif key == "N":
            self._ask(entries.note, subject="moth", subject_id=self.chosen)
        elif key == "C":
            self._at_laying(self.at_the_line(self.sheet.layings, key, "night"), key)
        elif key in _POT_FORMS:
            self._at_pot(self.at_the_line(self.sheet.pots, key, "pot"), key)
        else:
            return False
        return True

    def _at_pot(self, thing: object, typed: str) -> None:
        if not isinstance(thing, tuple):
            return
        _, pot_id = thing
        key = typed.upper()
        if key == "N":
            self._ask(entries.note, subject="egg_pot", subject_id=pot_id)
        elif key in _POT_FORMS:
            self._ask(_POT_FORMS[key], pot_id=pot_id)

    def _at_laying(self, laying: object, _typed: str) -> None:
        if isinstance(laying, int):
            self._ask(entries.correct_eggs, laying_id=laying)

    def _ask(self, form: Callable[..., Panel], **context: object) -> None:
        self.form_asked.emit(form(self.session, self.theme, **context))
