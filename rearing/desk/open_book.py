"""One open book in its window: pages, status line, almanac, and taking back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from rearing.desk.actions import key_words
from rearing.desk.entry_acts import EntryActs
from rearing.desk.notices import show_trouble
from rearing.desk.page import LatePage
from rearing.desk.session import Session
from rearing.desk.telling import almanac_lines, last_words
from rearing.desk.window import Window
from rearing.problems import AskFirst, Problem, Refusal, StorageTrouble

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    from rearing.desk.looking_back import LookingBack
    from rearing.desk.page import Page, Panel
    from rearing.desk.starting import Desk
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf


class Pages:
    """Makes the pages of one book, each when it is turned to for the first time."""

    def __init__(self, session: Session, desk: Desk, folder: Path | None) -> None:
        self._session = session
        self._folder = folder
        self._theme = desk.theme
        self._tasks = desk.tasks
        self._looking: LookingBack | None = None

    def all(self) -> tuple[LatePage, ...]:
        """Return what stands for the pages, in the order of their numbers."""
        return (
            LatePage(1, "Round", ("round",), self.round),
            LatePage(2, "Lamp", (), self.lamp),
            LatePage(3, "Mothers", ("moth", "lamp_night"), self.mothers),
            LatePage(4, "Broods", ("brood", "box", "egg_pot"), self.broods),
            LatePage(5, "Leaf", ("tree", "cut"), self.leaf),
            LatePage(8, "Heat", ("place",), self.heat),
            LatePage(9, "Season", (), self.season),
        )

    def round(self) -> Page:
        """Make the round."""
        from rearing.desk.pages.round_page import RoundPage

        return RoundPage(self._session, self._theme, self._tasks)

    def lamp(self) -> Page:
        """Make the lamp's page."""
        from rearing.desk.pages.lamp_page import LampPage

        return LampPage(self._session, self._theme)

    def mothers(self) -> Page:
        """Make the mothers."""
        from rearing.desk.pages.mothers_page import MothersPage

        return MothersPage(self._session, self._theme)

    def broods(self) -> Page:
        """Make the broods."""
        from rearing.desk.pages.broods_page import BroodsPage

        return BroodsPage(self._session, self._theme, self._look_back())

    def leaf(self) -> Page:
        """Make the leaf."""
        from rearing.desk.pages.leaf_page import LeafPage

        return LeafPage(self._session, self._theme, self._tasks, folder=self._folder)

    def heat(self) -> Page:
        """Make the heat."""
        from rearing.desk.pages.heat_page import HeatPage

        return HeatPage(self._session, self._theme, self._tasks)

    def season(self) -> Page:
        """Make the season."""
        from rearing.desk.pages.season_page import SeasonPage

        return SeasonPage(
            self._session,
            self._theme,
            self._tasks,
            folder=self._folder,
            looking=self._look_back(),
        )

    def _look_back(self) -> LookingBack:
        """Return the one memory of how good the windows were."""
        if self._looking is None:
            from rearing.desk.looking_back import LookingBack

            self._looking = LookingBack(self._session, self._tasks, self._folder)
        return self._looking


class OpenBook(QObject):
    """Holds a session, its window and what goes on between them."""

    def __init__(  # noqa: PLR0913  # what the stand knows, once
        self,
        desk: Desk,
        book: Book,
        shelf: SheetShelf,
        clock: Callable[[], dt.datetime],
        *,
        on: dt.date | None,
        handlers: Mapping[str, Callable[[], object]],
        folder: Path | None = None,
    ) -> None:
        super().__init__(desk.app)
        self._desk = desk
        self.session = Session(book, shelf, clock, on=on, tasks=desk.tasks)
        if on is None and self.session.home.as_on is not None:
            self.session.show_on(self.session.home.as_on)
        own: dict[str, Callable[[], object]] = {
            "undo": self.take_back,
            "redo": self.do_again,
            "find": self.find,
            "as_on": self.ask_day,
            "keys": self.show_keys,
            "cautions": self.show_cautions,
            "about": self.show_about,
            "write_table": self.write_table,
            "copy_table": self.copy_table,
        }
        pages = Pages(self.session, desk, folder).all()
        self.window = Window(desk.theme, pages, {**own, **handlers})
        self.entry_acts = EntryActs(self.session, desk.theme, self.window)
        self.session.changed.connect(self._changed)
        self.session.day_changed.connect(self._day_changed)
        self._tell()

    def close(self) -> None:
        """Let go of the book; everything entered is in it."""
        self.session.book.close()

    # telling

    def _changed(self, touched: object) -> None:
        self.window.book_changed(touched)
        self._tell()

    def _day_changed(self) -> None:
        self.window.book_changed(None)
        self._tell()

    def _tell(self) -> None:
        session, window = self.session, self.window
        name = session.home.name or session.book.path.stem
        window.almanac.tell(name, almanac_lines(session))
        window.setWindowTitle(f"{name} – Rearing")
        last, undone = last_words(session.book.journal(most=1), session.on)
        window.say_last(last, undone=undone)

    # taking back

    def take_back(self) -> None:
        """Take back the last entry; one of another day is asked about here."""
        self._try(self._take_back)

    def _take_back(self) -> None:
        try:
            self.session.take_back()
        except AskFirst as question:
            from rearing.desk.asking import AskPanel

            self._open(AskPanel(self._desk.theme, question.sentence, self._take_surely))

    def _take_surely(self) -> None:
        self._try(self._take_back_sure)

    def _take_back_sure(self) -> None:
        self.session.take_back(sure=True)

    def do_again(self) -> None:
        """Put back what was taken back last."""
        self._try(self.session.do_again)

    def _try(self, act: Callable[[], object]) -> None:
        try:
            act()
        except Refusal as refusal:
            self._say(refusal)
        except StorageTrouble as trouble:
            show_trouble(self.window, trouble)

    def _say(self, problem: Problem) -> None:
        page = self.window.page
        if page is not None:
            page.notices.say_problem(problem)

    # going and looking

    def _open(self, panel: Panel) -> None:
        if self.window.page is not None:
            self.window.page.open_panel(panel)

    def find(self) -> None:
        """Open the find box on whatever page is open."""
        from rearing.desk.finder import Finder

        finder = Finder(self.session, self._desk.theme)
        finder.found.connect(self._go_to)
        self._open(finder)

    def _go_to(self, kind: str, target: object) -> None:
        page = self.window.page
        if page is not None:
            page.close_panel()
            if page.take_up(kind, target):
                return
        self.window.follow(kind, target)

    def write_table(self) -> None:
        """Ask where the table under the keeper's hand is to be written."""
        from rearing.desk.table_form import ask_where

        ask_where(self.session, self._desk.theme, self.window.page)

    def copy_table(self) -> None:
        """Put the table under the keeper's hand on the clipboard."""
        from rearing.desk.table_form import copy

        copy(self.window.page)

    def ask_day(self) -> None:
        """Ask as on which day the book is to be read."""
        from rearing.desk.day_panel import day_panel

        self._open(day_panel(self.session, self._desk.theme))

    def show_keys(self) -> None:
        """Show which key does what, those of the page before those of the window."""
        page = self.window.page
        own = page.key_help() if page is not None else ()
        everywhere = "\n".join(
            f"{key}   {words}" for key, words in key_words(self.window.menus.acts())
        )
        self._read("Keys", (*own, ("Everywhere", everywhere)))

    def show_cautions(self) -> None:
        """Show where the work can hurt."""
        from rearing.desk.help_panel import cautions

        self._read("Cautions", cautions())

    def show_about(self) -> None:
        """Show what this is."""
        from rearing.desk.help_panel import about

        self._read("About Rearing", about(self.session.book.path))

    def _read(self, title: str, paragraphs: Sequence[tuple[str, str]]) -> None:
        from rearing.desk.help_panel import HelpPanel

        if self.window.page is not None:
            panel = HelpPanel(self._desk.theme, title, paragraphs)
            self.window.page.open_panel(panel, side=True)
