"""Turning from a brood's page to its numbers, and laying another brood beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk import entries
from rearing.desk.actions import Act
from rearing.desk.entries import offers
from rearing.desk.notices import Tone
from rearing.desk.pages.brood_numbers import HEADS, NumbersSheet
from rearing.desk.widgets.fields import Answers, SearchField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping.comparison import compare
from rearing.keeping.numbers_page import numbers_page
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QWidget

    from rearing.desk.pages.broods_page import BroodsPage
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme

_NUMBERS = Act(
    "brood_numbers",
    "The brood in n&umbers",
    None,
    "Ledger, survival, life table, stages, heads: U on its page",
    "&Page",
)
_BESIDE = Act(
    "brood_beside",
    "A brood be&side it…",
    None,
    "Hatch, survival, losses and pace of two broods: K on its page",
    "&Page",
)


class NumbersFace:
    """Knows whether the numbers are turned to, and which brood stands beside."""

    def __init__(self, page: BroodsPage, session: Session, theme: Theme) -> None:
        self._page, self._session, self._theme = page, session, theme
        self._shown = False
        self._beside: int | None = None
        self.sheet = NumbersSheet(theme)
        self.sheet.sheet.turned.connect(page.turn)
        self.sheet.list(HEADS).chosen.connect(self.ask_correction)

    @property
    def is_shown(self) -> bool:
        """Whether the open brood shows its numbers."""
        return self._shown and self._page.brood_id is not None

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        """Return what the menu offers."""
        return (_NUMBERS, self.swap), (_BESIDE, self.ask_other)

    def put_away(self) -> None:
        """Turn back to pages; the next brood opens on its page."""
        self._shown, self._beside = False, None

    def face(self, brood_id: int) -> QWidget | None:
        """Return the numbers, filled, where they are turned to."""
        if not self._shown:
            return None
        book, on = self._session.book, self._session.on
        other = self._beside if self._beside != brood_id else None
        found = None if other is None else compare(book, brood_id, other, on)
        self.sheet.tell(numbers_page(book, brood_id, on), found)
        return self.sheet

    def swap(self) -> None:
        """Turn to the numbers of the open brood, or back to its page."""
        if self._page.brood_id is None:
            self._page.notices.say("Open a brood first: Enter.", Tone.NEWS)
            return
        self._shown = not self._shown
        if not self._shown:
            self._beside = None
        self._page.show_again()

    def turned_back(self) -> bool:
        """Turn back to the page where the numbers are shown; else False."""
        if not self.is_shown:
            return False
        self.swap()
        return True

    def ask_other(self) -> None:
        """Ask which brood is to be laid beside the open one."""
        brood_id = self._page.brood_id
        if brood_id is None:
            self._page.notices.say("Open a brood first: Enter.", Tone.NEWS)
            return
        others = tuple(x for x in offers.broods(self._session) if x[0] != brood_id)
        if not others:
            self._page.notices.say("There is no other brood to lay beside it.")
            return
        field = SearchField("which", "&Which", options=others, required=True)
        form = EntryForm(
            self._theme,
            "Which brood beside it?",
            (field,),
            self._lay_beside,
            today=self._session.on,
            verb="this one",
        )
        form.kept.connect(self._page.show_again)
        self._page.open_panel(form)

    def ask_correction(self, key: object) -> None:
        """Ask which figure of a kind and stage is to be corrected, and how."""
        told = self.sheet.told
        if told is None or not isinstance(key, tuple):
            return
        from rearing.desk.entries.which import figure_options, which_form

        rows = [row for row in told[0].measured if (row.what, row.stage) == key]
        options = figure_options(self._session, reversed(rows))
        if len(options) == 1:
            self._page.open_panel(self._correct(options[0][0]))
            return
        field = SearchField(
            "which", "&Which", options=options, value=options[0][0], required=True
        )
        told_as = ("Correct a figure", field, self._page, self._correct)
        self._page.open_panel(which_form(self._session, self._theme, *told_as))

    def _correct(self, figure_id: object) -> EntryForm:
        if not isinstance(figure_id, int):
            raise Refusal("Which figure?", field="which")
        return entries.correct_measurement(self._session, self._theme, figure_id)

    def _lay_beside(self, answers: Answers) -> None:
        other = answers.choice("which")
        if not isinstance(other, int):
            raise Refusal("Which brood?", field="which")
        self._beside, self._shown = other, True
