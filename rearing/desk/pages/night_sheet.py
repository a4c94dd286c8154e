"""A lamp night's page: the lamp, the weather, what was counted, who was kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from rearing.desk.entries.lamp_forms import LAMP_CAUTION
from rearing.desk.pages import night_writing as writing
from rearing.desk.pages.remark_words import remark_words
from rearing.desk.widgets.beside import stacked
from rearing.desk.widgets.listening_lists import PartList
from rearing.desk.widgets.prose import Prose

if TYPE_CHECKING:
    import datetime as dt

    from rearing.desk.pages.spread import Spread
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.picture_strip import PictureStrip
    from rearing.keeping.night_page import NightPage

LAMP, WEATHER, COUNTED, CHECKS, LOOKS, KEPT, PHOTOS, NOTES, CAUTION = (
    *("Lamp", "Weather", "Counted", "Checks"),
    *("Second looks", "Kept", "Photos", "Notes", "Caution"),
)


class NightSheet(QObject):
    """Fills the right side of a spread with one night; `kept_chosen(moth id)`."""

    kept_chosen = Signal(object)

    def __init__(self, theme: Theme, spread: Spread, photos: PictureStrip) -> None:
        super().__init__(spread)
        self._spread = spread
        self.photos = photos
        self.lamp = Prose(theme)
        self.weather = Prose(theme)
        self.count_words = Prose(theme, "lead_quiet")
        self.counts = PartList(theme, writing.COUNT_COLUMNS, "Counted by species")
        self.checks = PartList(theme, writing.CHECK_COLUMNS, "Checks")
        self.looks = Prose(theme)
        self.kept = PartList(theme, writing.KEPT_COLUMNS, "Moths kept")
        self.notes = Prose(theme)
        self.caution = Prose(theme, "small", "ink2")
        spread.sheet.arrange(
            (
                (LAMP, self.lamp),
                (WEATHER, self.weather),
                (COUNTED, stacked(theme, self.count_words, self.counts)),
                (CHECKS, self.checks),
                (LOOKS, self.looks),
                (KEPT, self.kept),
                (PHOTOS, self.photos),
                (NOTES, self.notes),
                (CAUTION, self.caution),
            )
        )
        self.caution.tell(LAMP_CAUTION)
        self.kept.chosen.connect(self.kept_chosen)

    def tell(
        self,
        page: NightPage,
        signs: dict[int, tuple[str, str]],
        zone: dt.tzinfo,
        on: dt.date,
    ) -> None:
        """Show a night; `signs` holds what each kept moth is called now."""
        sheet = self._spread.sheet
        self._spread.header.tell(writing.heading(page))
        self.lamp.tell(writing.lamp_words(page, zone))
        weather = writing.weather_words(page)
        self.weather.tell(weather)
        sheet.say(WEATHER, "", shown=bool(weather))
        self._tell_counts(page)
        checks = writing.check_lines(page, zone)
        self.checks.set_lines(checks)
        sheet.say(CHECKS, "as first called", shown=bool(checks))
        looks = writing.call_words(page.calls, page, on)
        self.looks.tell(looks)
        sheet.say(LOOKS, "D", shown=bool(looks))
        kept = writing.kept_lines(page, signs)
        self.kept.set_lines(kept)
        sheet.say(KEPT, "K keeps one", shown=bool(kept))
        self.notes.tell(remark_words(page.notes, on))
        sheet.say(NOTES, "N adds one", shown=bool(page.notes))
        sheet.say(PHOTOS, "Ctrl+I adds", shown=bool(self.photos.cells()))

    def _tell_counts(self, page: NightPage) -> None:
        lines = writing.count_lines(page)
        self.counts.set_lines(lines)
        self.counts.setVisible(bool(lines))
        words = "A blank night: the lamp burnt and nothing was counted."
        if not page.checks:
            words = "No check entered yet. C enters one, A what came."
        elif lines:
            words = "As it counts now."
            if page.night.is_corrected:
                words = "As it counts after the second looks; the first calls stay."
        self.count_words.tell(words)
