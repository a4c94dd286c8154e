"""The panel that says how good the windows have been, by age and by species."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from rearing.desk.page import INSET, Panel
from rearing.desk.pages.season_dots import PastDots
from rearing.desk.pages.season_out import shown_past
from rearing.desk.widgets.prose import Prose
from rearing.desk.widgets.question import KeyButton
from rearing.keeping.moments import day_words
from rearing.keeping.past_windows import ENOUGH

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from rearing.desk.looking_back import LookingBack
    from rearing.desk.page import Shown
    from rearing.desk.theme import Theme
    from rearing.keeping.past_windows import PastWindows

TITLE = "How good the windows have been"
MEANING = (
    "Each dot is a window of a finished brood, replayed as on the day it was made: "
    "filled where the event came within it, a crossed ring where not. In brackets the "
    "share that held, as sure as the number allows (95 in 100)."
)
_WIDE = 460


class HonestyPanel(Panel):
    """Shows the last good answer at once, and another as soon as there is one."""

    def __init__(self, theme: Theme, looking: LookingBack, taxon: str) -> None:
        super().__init__(theme)
        self.setAccessibleName(TITLE)
        self._looking, self._taxon = looking, taxon
        self._title = Prose(theme, "subtitle")
        self._lead = Prose(theme, "lead_quiet")
        self._error = Prose(theme)
        self._meaning = Prose(theme, "small", "ink2")
        self._age_head = Prose(theme, "section")
        self._by_age = PastDots(theme, "By when they were made")
        self._species_head = Prose(theme, "section")
        self._by_species = PastDots(theme, "By species")
        self._own_head = Prose(theme, "section")
        self._own = PastDots(theme, "Of this species by when they were made")
        self._as_of = Prose(theme, "pencil", "ink2")
        self._leave = KeyButton(theme, "Esc", "close")
        self._leave.clicked.connect(self.closed)
        self._arrange()
        looking.changed.connect(self.show_last)
        looking.progressed.connect(self._progress)
        theme.changed.connect(self._dress)
        self._dress()
        self.show_last()

    def _arrange(self) -> None:
        ground = QWidget()
        ground.setBackgroundRole(self.backgroundRole())
        self._column = QVBoxLayout(ground)
        parts: tuple[QWidget, ...] = (
            *(self._lead, self._error, self._age_head, self._by_age),
            *(self._species_head, self._by_species, self._own_head, self._own),
            self._meaning,
        )
        for part in parts:
            self._column.addWidget(part)
        self._column.addStretch(1)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.viewport().setBackgroundRole(self.backgroundRole())
        self._scroll.setWidget(ground)
        self._scroll.setAccessibleName(TITLE)
        self._whole = QVBoxLayout(self)
        whole: tuple[QWidget, ...] = (self._title, self._as_of, self._scroll)
        for part in (*whole, self._leave):
            self._whole.addWidget(part)
        self._title.tell(TITLE)

    @property
    def words(self) -> str:
        """All that is said."""
        told = (self._as_of, self._lead, self._error)
        rows = (self._by_age, self._by_species, self._own)
        said = [one.text() for one in told] + [one.sentence() for one in rows]
        return "\n".join(one for one in said if one)

    def show_last(self) -> None:
        """Show the last good answer, or that it is being worked out."""
        told = self._looking.told()
        if told is None:
            self._lead.tell("The windows of your finished broods are being replayed.")
            return
        past = told.answer
        whole = past.of()
        self._lead.tell(whole.words)
        self._error.tell(whole.error_words)
        self._rows(past)
        if self._looking.is_current:
            self._as_of.tell("")
        else:
            day = f"{day_words(told.made_at.date(), year=True)}, {told.made_at:%H:%M}"
            self._as_of.tell(f"as of {day}; being worked out again")
        self._scroll.setAccessibleDescription(self.words)

    def _rows(self, past: PastWindows) -> None:
        enough = len(past.windows) >= ENOUGH
        ages = [(_made(age), past.of(age=age)) for age in past.ages] if enough else []
        self._by_age.tell(ages)
        self._age_head.tell("By when they were made" if ages else "")
        species = [(name, past.of(taxon=name)) for name in past.species]
        self._by_species.tell(species if enough else [])
        self._species_head.tell("By species" if enough else "")
        own = past.of(taxon=self._taxon)
        rows = [(_made(age), past.of(taxon=self._taxon, age=age)) for age in past.ages]
        shown = enough and len(own.windows) >= ENOUGH and len(past.species) > 1
        self._own.tell(rows if shown else [])
        self._own_head.tell(f"{self._taxon} by when they were made" if shown else "")
        self._meaning.tell(MEANING if enough else "")

    def _progress(self, share: float) -> None:
        told = self._looking.told()
        before = ""
        if told is not None:
            before = f"as of {day_words(told.made_at.date(), year=True)}; "
        self._as_of.tell(f"{before}being worked out, {share:.0%}")

    def tables(self) -> tuple[Shown, ...]:
        told = self._looking.told()
        past = None if told is None else told.answer
        return shown_past(past, self._looking.zone, self)

    def focus_first(self) -> None:
        self._scroll.setFocus()

    def side_width(self) -> int:
        return self.theme.look.px(_WIDE)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.closed.emit()
            return
        super().keyPressEvent(event)

    def _dress(self) -> None:
        look = self.theme.look
        inset = look.px(INSET)
        self._whole.setContentsMargins(inset, look.px(16), inset, look.px(12))
        self._column.setContentsMargins(0, 0, look.px(6), 0)
        self._column.setSpacing(look.px(6))


def _made(age: str) -> str:
    return {"egg": "as eggs", "pupation": "gone down"}.get(age, f"in {age}")
