"""Season: a ribbon a brood over the calendar, and the leaf they will need."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

from rearing.desk import entries
from rearing.desk.actions import Act
from rearing.desk.help_panel import HelpPanel
from rearing.desk.pages.page_keys import is_for_page
from rearing.desk.pages.season_honesty import HonestyPanel
from rearing.desk.pages.season_jobs import SupposeJob
from rearing.desk.pages.season_out import shown_season
from rearing.desk.pages.season_reading import SUPPOSE, SeasonReading
from rearing.desk.pages.season_suppose import SupposeForm, standing
from rearing.desk.pages.season_words import leaf_reading, week_words, whole_reading

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtGui import QKeyEvent

    from rearing.desk.looking_back import LookingBack
    from rearing.desk.page import Shown
    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.keeping.season_rows import Ribbon

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
    Act(
        "season_honesty",
        "Ho&w good the windows were",
        None,
        "Past windows replayed, by when they were made and by species",
        "&Page",
    ),
    Act(
        "season_bare",
        "When lea&ves are down…",
        None,
        "Say when a host is bare: the risk of leaf-drop is told",
        "&Page",
    ),
)


class SeasonPage(SeasonReading):
    """The season under the keeper's keys: read aloud, supposed, looked back on."""

    number: ClassVar[int] = 9
    title: ClassVar[str] = "Season"

    def __init__(
        self,
        session: Session,
        theme: Theme,
        tasks: Tasks | None = None,
        *,
        folder: Path | None = None,
        looking: LookingBack | None = None,
    ) -> None:
        super().__init__(session, theme, tasks, folder=folder, looking=looking)
        self._form: SupposeForm | None = None
        self.sheet.opened.connect(self._open_brood)
        self.sheet.key_pressed.connect(self.answer)

    # what the window asks

    def focus_first(self) -> None:
        if self._faces.currentWidget() is self._shown:
            self.sheet.setFocus()
        else:
            self.setFocus()

    def hints(self) -> str:
        if self._faces.currentWidget() is not self._shown:
            return "Ctrl+3 mothers   F1 keys"
        return "Enter brood   ← → week   R read   W what if   H how good   F1 keys"

    def key_help(self) -> tuple[tuple[str, str], ...]:
        return (
            ("Go", "↑ ↓ from brood to brood, End the leaf, Enter the brood's page"),
            ("Days", "← → a week, PageUp PageDown a month, Home today, + − wider"),
            (
                "Ask",
                "R reads all dates, W what if it stood elsewhere, H how good the "
                "windows were, D when a host is bare",
            ),
        )

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        does = (
            *(self.sheet.go_home, self.ask_suppose, self.read_aloud),
            *(self.look_back, self.ask_bare),
        )
        return tuple(zip(_ACTS, does, strict=True))

    def tables(self) -> tuple[Shown, ...]:
        return shown_season(self.sheet.view, self.sheet)

    # asking

    def _open_brood(self, brood_id: int) -> None:
        self.go_asked.emit("brood", brood_id)

    def answer(self, letter: str) -> None:
        """Do what a letter asks for."""
        if letter == "R":
            self.read_aloud()
        elif letter == "W":
            self.ask_suppose()
        elif letter == "H":
            self.look_back()
        elif letter == "D":
            self.ask_bare()

    def look_back(self) -> None:
        """Show how good the windows have been."""
        ribbon = self.sheet.current()
        taxon = "" if ribbon is None else ribbon.taxon
        self.open_panel(HonestyPanel(self.theme, self.looking, taxon), side=True)
        if not self._is_waiting:
            self.looking.ask()

    def ask_bare(self) -> None:
        """Ask when a host is bare: that of the brood under the hand, or the first."""
        ribbon, view = self.sheet.current(), self.sheet.view
        hosts = ribbon.hosts if ribbon is not None else ()
        if not hosts and view is not None:
            hosts = tuple(one.host for one in view.supplies)
        form = entries.bare(self._session, self.theme, hosts[0] if hosts else "")
        self.open_panel(form)

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
            said += [("", one.words) for one in view.supplies]
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

    def worked_out(self) -> None:
        self._suppose()
        if isinstance(self.panel, HonestyPanel):
            self.looking.ask()

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
            self._tasks.run(job.ribbon, done=self._supposed, topic=SUPPOSE)

    def _supposed(self, ribbon: Ribbon | None) -> None:
        if self._form is not None:
            self.sheet.suppose(ribbon)

    def _forget(self) -> None:
        self._form = None
        self.sheet.suppose(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.panel is not None:
            self.close_panel()
        elif is_for_page(self, event) and event.text().upper() in set("RWHD"):
            self.answer(event.text().upper())
        else:
            super().keyPressEvent(event)
