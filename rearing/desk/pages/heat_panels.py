"""The panels that the Heat page opens: imports, what they set aside, and forms."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from rearing.desk.page import Page
from rearing.desk.tasks import Tasks
from rearing.keeping.fits import likely_taxon
from rearing.keeping.heat_page import set_aside
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from rearing.desk.page import Panel
    from rearing.desk.pages.heat_fit import Asked
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.records.journal import Touched
    from rearing.records.rows import ReadingImportRow


class HeatPanels(Page):
    """A page whose `body` an import takes the place of while it is open.

    `tasks` are those of the desk; a page that was given none has its own.
    """

    def __init__(self, session: Session, theme: Theme, tasks: Tasks | None) -> None:
        super().__init__(theme)
        self._session = session
        self.tasks = tasks
        self.body = QWidget()
        self._rates_asked: Asked | None = None

    def lane(self) -> Tasks:
        """Return what long jobs are run by."""
        if self.tasks is None:
            self.tasks = Tasks(self)
        return self.tasks

    def show_taken(self, place_ids: Sequence[int]) -> None:
        """Turn to a place that readings were taken in for; a page says how."""

    def open_import(self, place_id: int | None) -> None:
        """Open the panel that takes a file in, most likely for this place."""
        from rearing.desk.pages.import_panel import ImportPanel

        if isinstance(self.panel, ImportPanel):
            self.panel.focus_first()
            return
        panel = ImportPanel(
            self._session, self.theme, self.lane(), self.taken_in, place_id=place_id
        )
        # In the place of the page: there is more to read than a strip has room for.
        self.open_panel(panel, side=True)
        self.body.setVisible(False)

    def open_rates(self) -> None:
        """Open the sheet of rates: what the durations on record say of T0 and K."""
        from rearing.desk.pages.heat_fit import Asked, RatesPanel

        if isinstance(self.panel, RatesPanel):
            self.panel.focus_first()
            return
        session = self._session
        taxon = likely_taxon(session.book, session.shelf, session.on)
        asked = self._rates_asked or Asked(taxon)
        panel = RatesPanel(
            session, self.theme, self.lane(), asked, self._remember_rates
        )
        self.open_panel(panel, side=True)
        self.body.setVisible(False)
        self.hints_changed.emit()

    @property
    def shows_rates(self) -> bool:
        """True while the sheet of rates stands in the place of the page."""
        from rearing.desk.pages.heat_fit import RatesPanel

        return isinstance(self.panel, RatesPanel)

    def _remember_rates(self, asked: Asked) -> None:
        self._rates_asked = asked

    def close_panel(self) -> None:
        """Take the panel away; the page comes back where an import hid it."""
        self.body.setVisible(True)
        super().close_panel()
        self.hints_changed.emit()

    def taken_in(self, touched: Touched) -> None:
        """Tell everyone what an import brought, and show it."""
        if not isValid(self):
            return
        self.close_panel()
        self._session.changed.emit(touched)
        self.notices.say(f"Taken in: {touched.sentence}. Ctrl+Z takes it back.")
        self.show_taken([n for kind, n in touched.subjects if kind == "place"])

    def open_set_aside(self, row: ReadingImportRow) -> None:
        """Open the lines of a file that were not taken."""
        from rearing.desk.pages.import_aside import AsidePanel

        title = f"{row.file_name}, {row.column}"
        lines = set_aside(self._session.book, row)
        self.open_panel(AsidePanel(self.theme, title, lines, row.set_aside))

    def chosen_id(self) -> int | None:
        """Return the place under the keeper's hand; a page says which."""
        return None

    def ask_change(self) -> None:
        """Open the form of the chosen place."""
        place_id = self.chosen_id()
        if place_id is not None:
            self.ask("change_place", place_id=place_id)

    def ask_place(self) -> None:
        """Open the form of a new place."""
        self.ask("place")

    def ask_forecast(self) -> None:
        """Open the form of a short weather forecast, for the chosen place if it may."""
        self.ask("forecast", place_id=self.chosen_id())

    def ask_follow(self) -> None:
        """Open the form that settles which place the chosen one follows."""
        from rearing.desk.pages.heat_follow import follow_form

        place_id = self.chosen_id()
        if place_id is None:
            return
        try:
            self.open_panel(follow_form(self._session, self.theme, place_id))
        except Refusal as refusal:
            self.notices.say_problem(refusal)

    def ask(self, name: str, **context: object) -> None:
        """Open one of the entry forms."""
        from rearing.desk import entries

        make: Callable[..., Panel] = getattr(entries, name)
        try:
            self.open_panel(make(self._session, self.theme, **context))
        except Refusal as refusal:
            self.notices.say_problem(refusal)
