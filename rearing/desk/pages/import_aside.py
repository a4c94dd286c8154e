"""Lines of a file that were not taken: their number, their text, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout

from rearing.desk.page import INSET, Panel, Shown
from rearing.desk.widgets.form_fields import plain_label
from rearing.desk.widgets.lines import Column, Ink, Line
from rearing.desk.widgets.question import KeyButton
from rearing.desk.widgets.ruled_list import RuledList

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.desk.theme import Theme
    from rearing.records.readings import LineSetAside

ASIDE_COLUMNS = (
    Column("Line", Ink.NUMBER),
    Column("What it said", Ink.CODE),
    Column("Why it was set aside", Ink.TEXT, stretch=True),
)
MOST_SHOWN = 200
_LONGEST = 48


def aside_lines(lines: Iterable[LineSetAside]) -> tuple[Line, ...]:
    """Return the lines as ruled ones; a long text is shortened."""
    return tuple(_line(one) for one in list(lines)[:MOST_SHOWN])


def _line(one: LineSetAside) -> Line:
    text = "".join(sign if sign.isprintable() else " " for sign in one.text)
    short = text if len(text) <= _LONGEST else f"{text[:_LONGEST]}…"
    return Line(
        key=(one.line, one.reason),
        cells=(f"{one.line:,}", short, one.reason),
        sentence=f"Line {one.line}, {text}: {one.reason}",
    )


class AsidePanel(Panel):
    """The lines of one import that were set aside."""

    def __init__(
        self, theme: Theme, title: str, lines: Iterable[LineSetAside], number: int
    ) -> None:
        super().__init__(theme)
        self.setAccessibleName(title)
        self._set_aside = tuple(lines)
        shown = aside_lines(self._set_aside)
        more = f", the first {len(shown):,} of them" if number > len(shown) else ""
        self._title = plain_label(f"{title}: {number:,} set aside{more}")
        self._list = RuledList(theme, ASIDE_COLUMNS, title)
        self._list.set_lines(shown)
        self._leave = KeyButton(theme, "Esc", "put away")
        self._leave.clicked.connect(self.closed)
        self._column = QVBoxLayout(self)
        for part in (self._title, self._list, self._leave):
            self._column.addWidget(part)
        theme.changed.connect(self._dress)
        self._dress()

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines shown."""
        return self._list.lines()

    def tables(self) -> tuple[Shown, ...]:
        from rearing.exchange.heat_tables import aside_table

        told = aside_table(self.accessibleName(), self._set_aside)
        return (Shown(told, self._list),)

    def focus_first(self) -> None:
        self._list.setFocus()

    def _dress(self) -> None:
        look = self.theme.look
        inset = look.px(INSET)
        self._column.setContentsMargins(inset, look.px(10), inset, look.px(12))
        self._title.setFont(look.faces.section)
        self._list.setFixedHeight(min(self._list.whole_height() + 4, look.px(230)))
