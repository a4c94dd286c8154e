"""The table of everything a menu or key can ask for, and its making into actions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QKeySequence

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from PySide6.QtCore import QObject

MENUS = ("&Book", "&Entry", "&Page", "&Sheets", "P&rint", "&Help")


@dataclass(frozen=True, slots=True)
class Act:
    """One thing that can be asked for: its words, its keys, and the menu it is in.

    Keys that do the same are written with "or" between them.
    """

    id: str
    text: str
    keys: str | QKeySequence.StandardKey | None
    tip: str
    menu: str
    checkable: bool = False
    break_before: bool = False


_Standard = QKeySequence.StandardKey

BOOK_ACTS: tuple[Act, ...] = (
    Act("new_book", "&New book…", _Standard.New, "Begin an empty book", "&Book"),
    Act("open_book", "&Open a book…", _Standard.Open, "Open another book", "&Book"),
    Act(
        "sample", "Open the &sample season", None, "A season to try things on", "&Book"
    ),
    Act(
        "copy_book",
        "Make a &copy…",
        "Ctrl+Shift+S",
        "Write a checked copy of the whole book to another file",
        "&Book",
        break_before=True,
    ),
    Act(
        "write_table",
        "Write this &table…",
        "Ctrl+Shift+T",
        "The table under your hand as a CSV file, with its raw values",
        "&Book",
    ),
    Act(
        "copy_table",
        "Copy this ta&ble",
        "Ctrl+Shift+C",
        "The table under your hand, for a spreadsheet",
        "&Book",
    ),
    Act("as_on", "Show as on a &day…", "Ctrl+D", "Read the book as of a day", "&Book"),
    Act("quit", "&Quit", _Standard.Quit, "Close the book; all is saved", "&Book"),
)

ENTRY_ACTS: tuple[Act, ...] = (
    Act("undo", "&Take back", _Standard.Undo, "Take back the last entry", "&Entry"),
    # the foot names Ctrl+Y, which not every desktop's own key for it is
    Act(
        "redo",
        "&Put back",
        "Ctrl+Y or Ctrl+Shift+Z",
        "Put the taken entry back",
        "&Entry",
    ),
)

VIEW_ACTS: tuple[Act, ...] = (
    Act(
        "back",
        "Go &back",
        "Alt+Left",
        "Back to where you came from",
        "&Page",
        break_before=True,
    ),
    Act("find", "&Find…", "Ctrl+K", "Go to a code, a species or a tree", "&Page"),
    Act(
        "view_system",
        "Colours as the s&ystem",
        None,
        "Day or dark as the rest of the desktop",
        "&Page",
        checkable=True,
        break_before=True,
    ),
    Act("view_day", "&Day colours", None, "Ink on paper", "&Page", checkable=True),
    Act("view_dark", "D&ark colours", None, "Pale on dark", "&Page", checkable=True),
    Act(
        "view_red",
        "&Red, for the lamp",
        "Ctrl+Shift+L",
        "Dim red on black; the eyes stay used to the dark",
        "&Page",
        checkable=True,
    ),
    Act("swap_view", "Swap day and dar&k", "Ctrl+L", "Day to dark or back", "&Page"),
    Act(
        "larger",
        "&Larger text",
        _Standard.ZoomIn,
        "Up to 250 %, for reading at a shelf",
        "&Page",
        break_before=True,
    ),
    Act("smaller", "S&maller text", _Standard.ZoomOut, "Down to 80 %", "&Page"),
    Act("plain_size", "&Text at 100 %", "Ctrl+0", "Text as drawn", "&Page"),
    Act("full_screen", "F&ull screen", "F11", "No bright title bar", "&Page"),
)

OTHER_ACTS: tuple[Act, ...] = (
    Act("print", "&Print this page…", _Standard.Print, "On paper", "P&rint"),
    Act("keys", "&Keys", "F1", "Which key does what on this page", "&Help"),
    Act("cautions", "&Cautions", None, "Where the work can hurt", "&Help"),
    Act("about", "&About Rearing", None, "Version, licences, report", "&Help"),
)

ACTS: tuple[Act, ...] = (*BOOK_ACTS, *ENTRY_ACTS, *VIEW_ACTS, *OTHER_ACTS)


def page_act(number: int, title: str) -> Act:
    """Return the act that opens a page: Ctrl and its number."""
    return Act(
        f"page_{number}",
        f"&{number}  {title}",
        f"Ctrl+{number}",
        f"Open the page {title}",
        "&Page",
    )


def make_action(act: Act, owner: QObject, on_asked: Callable[[], object]) -> QAction:
    """Return the act as a Qt action whose asking calls `on_asked`, a bound method."""
    action = QAction(act.text, owner)
    action.setObjectName(act.id)
    action.setStatusTip(act.tip)
    action.setToolTip(act.tip)
    action.setCheckable(act.checkable)
    if isinstance(act.keys, str):
        action.setShortcuts([QKeySequence(key) for key in act.keys.split(" or ")])
    elif act.keys is not None:
        action.setShortcuts(act.keys)
    action.triggered.connect(on_asked)
    return action


def key_words(acts: Iterable[Act]) -> tuple[tuple[str, str], ...]:
    """Return (key, words) of every act that has a key, for the list of keys."""
    return tuple(
        (_keys_said(act.keys), _bare(act.text)) for act in acts if act.keys is not None
    )


def _keys_said(keys: str | QKeySequence.StandardKey) -> str:
    return keys if isinstance(keys, str) else QKeySequence(keys).toString()


def _bare(text: str) -> str:
    """Return an act's words without the marks of its menu, a page's number among."""
    return text.replace("&", "").rstrip("…").lstrip("0123456789 ")
