"""Season: a ribbon a brood over the calendar, and the leaf they will need."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from rearing.desk.actions import Act
from rearing.desk.help_panel import HelpPanel
from rearing.desk.page import Page
from rearing.desk.pages.page_keys import is_for_page
from rearing.desk.pages.quiet import Quiet
from rearing.desk.pages.season_legend import Legend
from rearing.desk.pages.season_sheet import SeasonSheet
from rearing.desk.pages.season_suppose import SupposeForm, standing
from rearing.desk.pages.season_words import (
    fullest_words,
    leaf_reading,
    week_words,
    whole_reading,
)
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.keeping.moments import counted
from rearing.keeping.season_facts import season_facts
from rearing.keeping.season_rows import season_view, seen_view, suppose

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    from PySide6.QtGui import QHideEvent, QKeyEvent, QShowEvent

    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks, Token
    from rearing.desk.theme import Theme
    from rearing.keeping.season_facts import SeasonFacts
    from rearing.keeping.season_rows import Ribbon, SeasonView
    from rearing.sheets.shelf import SheetShelf

_ACTS = (
    Act("season_today", "Season to to&day", None, "Show today again", "&Page"),
    Act(
        "season_suppose",
        "What i&f it stood elsewhere…",
        None,
        "See a brood's windows shift before it is carried",
        "&Page",
    ),
    Act(
        "season_read",
        "Read the &brood's dates",
        None,
        "All dates of the brood under the hand, in words",
        "&Page",
    ),
)
_UNCONCERNED = frozenset({"site", "outage", "lamp_check", "tree", "cut", "note"})
_TOPIC, _SUPPOSE = "season", "season suppose"


class SeasonJob:
    """Works the windows out, from what was read; knows no book."""

    def __init__(
        self, facts: SeasonFacts, shelf: SheetShelf, token: Token | None
    ) -> None:
        self._facts, self._shelf, self._token = facts, shelf, token

    def view(self) -> SeasonView:
        """Return the season with its windows; once cancelled, not all of them."""
        if self._token is None:
            return season_view(self._facts, self._shelf)
        return season_view(self._facts, self._shelf, self._token.cancelled)


class SupposeJob:
    """Works out where a brood's windows would lie elsewhere."""

    def __init__(
        self,
        facts: SeasonFacts,
        shelf: SheetShelf,
        brood_id: int,
        named: tuple[int, dt.datetime],
    ) -> None:
        self._facts, self._shelf = facts, shelf
        self._brood_id, self._named = brood_id, named

    def ribbon(self) -> Ribbon | None:
        """Return the ribbon as it would be."""
        place_id, at = self._named
        return suppose(
            self._facts, self._shelf, self._brood_id, place_id=place_id, at=at
        )


class SeasonPage(Page):
    """Shows the last good windows at once and works them out again behind."""

    number: ClassVar[int] = 9
    title: ClassVar[str] = "Season"

    def __init__(
        self, session: Session, theme: Theme, tasks: Tasks | None = None
    ) -> None:
        super().__init__(theme)
        self._session = session
        self._tasks = tasks
        self._facts: SeasonFacts | None = None
        self._form: SupposeForm | None = None
        self._is_stale = True
        self._is_waiting = False
        self._as_of = ""
        self.head = PageHeader(theme)
        self.legend = Legend(theme)
        self.sheet = SeasonSheet(theme)
        self.quiet = Quiet(theme)
        self._arrange()
        self.sheet.opened.connect(self._open_brood)
        self.sheet.key_pressed.connect(self.answer)
        session.day_changed.connect(self._day_changed)

    def _arrange(self) -> None:
        body, shown = QWidget(), QWidget()
        inner = QVBoxLayout(shown)
        inner.addWidget(self.legend)
        inner.addWidget(self.sheet, 1)
        self._faces = QStackedWidget()
        self._faces.addWidget(shown)
        self._faces.addWidget(self.quiet)
        column = QVBoxLayout(body)
        column.addWidget(self.head)
        column.addWidget(self._faces, 1)
        for layout in (inner, column):
            layout.setContentsMargins(0, 0, 0, 0)
            layout.setSpacing(0)
        self._shown = shown
        self.set_body(body)

    # what the window asks

    def refresh(self, touched: object | None = None) -> None:
        """Read the season again, unless what was touched is no part of it."""
        kinds = {kind for kind, _ in getattr(touched, "subjects", ())}
        if touched is not None and kinds and kinds <= _UNCONCERNED:
            return
        self._is_stale = True
        if self.isVisible():
            self._read_soon()

    def focus_first(self) -> None:
        if self._faces.currentWidget() is self._shown:
            self.sheet.setFocus()
        else:
            self.setFocus()

    def hints(self) -> str:
        if self._faces.currentWidget() is not self._shown:
            return "Ctrl+3 mothers   F1 keys"
        return "Enter brood   ← → week   Home today   R read   W what if   F1 keys"

    def key_help(self) -> tuple[tuple[str, str], ...]:
        return (
            ("Go", "↑ ↓ from brood to brood, End the leaf, Enter the brood's page"),
            ("Days", "← → a week, PageUp PageDown a month, Home today, + − wider"),
            ("Ask", "R reads all dates, W what if it stood elsewhere"),
        )

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        does = (self.sheet.go_home, self.ask_suppose, self.read_aloud)
        return tuple(zip(_ACTS, does, strict=True))

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_stale:
            self._read_soon()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if self._tasks is not None and self._is_waiting:
            # a page that is put away must not be called when the job is done
            self._tasks.cancel(_TOPIC)
            self._tasks.cancel(_SUPPOSE)
            self._is_waiting, self._is_stale = False, True

    def _day_changed(self) -> None:
        self._is_stale = True
        if self.isVisible():
            self._read_soon()

    # reading

    def _read_soon(self) -> None:
        """Read once the page is painted: what it last showed is there at once."""
        QTimer.singleShot(0, self._read)

    def _read(self) -> None:
        if not self._is_stale or not self.isVisible():
            return
        self._is_stale = False
        session = self._session
        shelf = session.shelf
        self._facts = season_facts(session.book, shelf, session.on)
        before = self.sheet.view
        if before is None or before.on != session.on or not before.is_forecast:
            self._show(seen_view(self._facts, shelf))
        else:
            self._tell_head(before, worked_out=False)
        if self._tasks is None:
            self._worked_out(SeasonJob(self._facts, shelf, None).view())
            return
        token = self._tasks.token()
        job = SeasonJob(self._facts, shelf, token)
        self._is_waiting = True
        self._tasks.run(job.view, done=self._worked_out, topic=_TOPIC, token=token)

    def _worked_out(self, view: SeasonView) -> None:
        self._is_waiting = False
        self._as_of = f"{self._session.now():%H:%M}"
        self._show(view)
        self._suppose()

    def _show(self, view: SeasonView) -> None:
        had_focus = self.hasFocus()
        self.sheet.tell(view)
        if view.ribbons:
            self._faces.setCurrentWidget(self._shown)
            if had_focus:
                self.sheet.setFocus()
        else:
            self.quiet.tell(
                "No brood stands in this year.",
                "Keep a female and enter her eggs: Ctrl+3 turns to the mothers. Each "
                "brood then has a ribbon here, with what is to come and its leaf.",
            )
            self._faces.setCurrentWidget(self.quiet)
        self._tell_head(view, worked_out=view.is_forecast)
        self.hints_changed.emit()

    def _tell_head(self, view: SeasonView, *, worked_out: bool) -> None:
        lead, more = fullest_words(view)
        if not worked_out and view.ribbons:
            known = f"Windows as of {self._as_of}, " if view.is_forecast else "Windows "
            more = f"{known}being worked out"
        elif not lead and view.ribbons:
            lead = "No leaf is expected to be needed"
        broods = counted(len(view.ribbons), "brood")
        self.head.tell(
            Heading(
                title="Season",
                words=f"{view.on.year}, {broods}"
                if view.ribbons
                else f"{view.on.year}",
                verdict=lead,
                under=more,
            )
        )

    # asking

    def _open_brood(self, brood_id: int) -> None:
        self.go_asked.emit("brood", brood_id)

    def answer(self, letter: str) -> None:
        """Do what a letter asks for."""
        if letter == "R":
            self.read_aloud()
        elif letter == "W":
            self.ask_suppose()

    def read_aloud(self) -> None:
        """Show all dates of the brood, or of the leaf, in words, and have them read."""
        view = self.sheet.view
        if view is None:
            return
        ribbon = self.sheet.current()
        if ribbon is None:
            title = "Leaf to cut"
            told = [week_words(week, view.on) for week in view.weeks]
            said = [("", words) for words in told] or [("", leaf_reading(view))]
        else:
            title = f"{ribbon.code} {ribbon.taxon}"
            said = [("", words) for words in whole_reading(ribbon, view.on)]
        self.open_panel(HelpPanel(self.theme, title, said), side=True)
        words = " ".join(words for _, words in said)
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self.sheet, words))

    def ask_suppose(self) -> None:
        """Ask where else the brood might stand, and from when."""
        ribbon, facts = self.sheet.current(), self._facts
        view = self.sheet.view
        if ribbon is None or facts is None or view is None:
            self.notices.say("↑ ↓ go to a brood first, then W.")
            return
        if not standing(facts, ribbon.brood_id):
            self.notices.say(f"Nothing of {ribbon.code} stands anywhere any more.")
            return
        form = SupposeForm(self._session, self.theme, facts, ribbon)
        form.changed.connect(self._suppose)
        form.closed.connect(self._forget)
        self.open_panel(form)
        self._form = form

    def _suppose(self) -> None:
        form, facts, ribbon = self._form, self._facts, self.sheet.current()
        if form is None or facts is None or ribbon is None:
            return
        named = form.named()
        if named is None:
            self.sheet.suppose(None)
            return
        job = SupposeJob(facts, self._session.shelf, ribbon.brood_id, named)
        if self._tasks is None:
            self._supposed(job.ribbon())
        else:
            self._is_waiting = True
            self._tasks.run(job.ribbon, done=self._supposed, topic=_SUPPOSE)

    def _supposed(self, ribbon: Ribbon | None) -> None:
        if self._form is not None:
            self.sheet.suppose(ribbon)

    def _forget(self) -> None:
        self._form = None
        self.sheet.suppose(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.panel is not None:
            self.close_panel()
        elif is_for_page(self, event) and event.text().upper() in {"R", "W"}:
            self.answer(event.text().upper())
        else:
            super().keyPressEvent(event)
