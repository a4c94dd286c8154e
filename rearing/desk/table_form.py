"""A page's tables handed out: written to a file as CSV, or put on the clipboard."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication

from rearing.desk.entries.asking import chosen
from rearing.desk.widgets.fields import ChoiceField, TextField
from rearing.desk.widgets.form import EntryForm
from rearing.exchange.tables import SUFFIX, file_name, save_table, tab_text
from rearing.keeping.moments import counted

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from rearing.desk.page import Page, Shown
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Answers, Field
    from rearing.exchange.tables import Table

CAUTION = (
    "Raw values, the unit in each heading. A text that a spreadsheet would take for a "
    "formula has an apostrophe before it."
)
_NOTHING = "Nothing on this page is a table just now."


def in_hand(page: Page) -> Shown | None:
    """Return the table that has the keyboard, else the page's first; None: none."""
    shown = tables_of(page)
    focus = page.focusWidget()
    for one in shown:
        if one.where is not None and _has(one.where, focus):
            return one
    return shown[0] if shown else None


def tables_of(page: Page) -> tuple[Shown, ...]:
    """Return the tables of the panel that stands open; without any, the page's."""
    panel = page.panel
    return (panel.tables() if panel is not None else ()) or page.tables()


def _has(part: QWidget, focus: QWidget | None) -> bool:
    return focus is not None and (part is focus or part.isAncestorOf(focus))


def copy(page: Page | None) -> None:
    """Put the table in hand on the clipboard, and say which it was."""
    if page is None:
        return
    one = in_hand(page)
    if one is None:
        page.notices.say(_NOTHING)
        return
    QGuiApplication.clipboard().setText(tab_text(one.table))
    page.notices.say(f"Copied {_words(one.table)}.{_others(page)}")


def ask_where(session: Session, theme: Theme, page: Page | None) -> None:
    """Open the form that writes a table of the page to a file."""
    if page is None:
        return
    one = in_hand(page)
    if one is None:
        page.notices.say(_NOTHING)
        return
    page.lay_over(table_form(session, theme, page, one))


def table_form(session: Session, theme: Theme, page: Page, begun: Shown) -> EntryForm:
    """Return the form: which table, where there are several, and into which file."""
    writer = _Writer(session, page)
    return EntryForm(
        theme,
        f"Write a table: {begun.table.name}" if writer.is_one else "Write a table",
        writer.ask(begun),
        writer.write,
        today=session.on,
        verb="write it",
        caution=CAUTION,
    )


class _Writer:
    """Writes one of the tables that the page showed when it was asked."""

    def __init__(self, session: Session, page: Page) -> None:
        self._session = session
        self._page = page
        self._shown = tables_of(page)

    @property
    def is_one(self) -> bool:
        """True where nothing is to be chosen."""
        return len(self._shown) == 1

    def ask(self, begun: Shown) -> list[Field]:
        """Return what is asked for."""
        tables = [one.table for one in self._shown]
        names = [(at, _words(one)) for at, one in enumerate(tables)]
        which = ChoiceField(
            "table",
            "&Table",
            options=tuple(names),
            value=tables.index(begun.table),
            hint="The one that had the keyboard, or another of this page",
        )
        file = TextField(
            "file",
            "&File",
            ghost="beside the book, under the table’s name",
            hint="Empty: beside the book, named by page, table, day and book",
        )
        return [file] if self.is_one else [which, file]

    def write(self, answers: Answers) -> None:
        """Write it, and say where."""
        at = 0 if self.is_one else chosen(answers, "table", int)
        told = self._shown[at].table
        path = self._path(answers.text("file").strip(), told)
        save_table(path, told, sure=answers.sure)
        self._page.notices.say(f"Wrote {_words(told)} to {path}.")

    def _path(self, typed: str, told: Table) -> Path:
        """Return the file meant; a bare name lies beside the book."""
        session = self._session
        book = session.book.path
        offered = file_name(self._page.title, told, session.on, book.stem)
        path = book.parent / Path(typed).expanduser() if typed else book.parent
        if path.is_dir():
            return path / offered
        return path if path.suffix else path.with_name(path.name + SUFFIX)


def _words(told: Table) -> str:
    return f"{told.name} ({counted(len(told.rows), 'row')})"


def _others(page: Page) -> str:
    more = len(tables_of(page)) - 1
    if not more:
        return ""
    return f" Tab goes to {'another' if more == 1 else 'others'} of this page."
