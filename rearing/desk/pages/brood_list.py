"""The list of broods: those that live first, each with how far it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from rearing.desk.page import INSET
from rearing.desk.pages.quiet import Quiet
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, State
from rearing.desk.widgets.listening_lists import IndexList
from rearing.keeping.moments import counted

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.desk.theme import Theme
    from rearing.keeping.broods import BroodLine

_COLUMNS = (
    Column("Code", Ink.CODE),
    Column("Species", Ink.SPECIES),
    Column("Where it stands", Ink.TEXT, stretch=True),
    Column("Alive", Ink.NUMBER),
    Column("What", Ink.KNOWN),
)
_KEYS = (KeyOffer("Enter", "open its page"),)


class BroodList(QWidget):
    """The heading and the ruled list, or what to do first when there is none."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.header = PageHeader(theme)
        self.list = IndexList(theme, _COLUMNS, "Broods")
        self.quiet = Quiet(theme)
        self._faces = QStackedWidget()
        within = QWidget()
        self._across = QHBoxLayout(within)
        self._across.addWidget(self.list)
        self._faces.addWidget(within)
        self._within = within
        self._faces.addWidget(self.quiet)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.header)
        column.addWidget(self._faces, 1)
        self._theme = theme
        theme.changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        inset = self._theme.look.px(INSET)
        self._across.setContentsMargins(inset, 0, inset, 0)

    def tell(self, lines: Sequence[BroodLine], on: dt.date) -> None:
        """Show the broods as on a day."""
        living = [line for line in lines if line.is_open]
        alive = sum(line.alive for line in living)
        waiting = sum(line.waiting for line in living)
        said = [f"{alive} alive"] if alive else []
        said += [counted(waiting, "egg") + " waiting"] if waiting else []
        self.header.tell(
            Heading(
                title="Broods",
                words=f"{len(living)} living, {len(lines) - len(living)} finished",
                verdict=", ".join(said),
            )
        )
        self.list.set_lines([_line(line) for line in lines])
        self._faces.setCurrentWidget(self._within if lines else self.quiet)
        self.quiet.tell(
            "No brood yet.",
            "Eggs make one: keep a female on the page Mothers (Ctrl+3), then E there.",
        )

    def focus_first(self) -> None:
        """Put the keyboard on the list."""
        self.list.setFocus()


def _line(line: BroodLine) -> Line:
    number = line.alive or line.waiting
    what = "alive" if line.alive else "eggs waiting" if line.waiting else ""
    if line.alive and line.waiting:
        what = f"alive, {counted(line.waiting, 'egg')} waiting"
    return Line(
        key=line.id,
        cells=(line.code, line.short, line.words, str(number or ""), what),
        sentence=f"{line.code}, {line.taxon}: {line.words}. {number} {what}",
        group="Living" if line.is_open else "Finished",
        state=State.PLAIN,
        keys=_KEYS,
    )
