"""What the round's page shows: head, lines (or why there are none), foot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from rearing.desk.page import INSET
from rearing.desk.pages.first_steps import STEP_COLUMNS, next_step, steps
from rearing.desk.pages.quiet import Quiet
from rearing.desk.pages.round_foot import RoundFoot
from rearing.desk.pages.round_list import RoundList
from rearing.desk.pages.round_writing import COLUMNS, heading, written
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.lines import State

if TYPE_CHECKING:
    import datetime as dt

    from rearing.desk.theme import Theme
    from rearing.keeping.beginnings import Beginnings
    from rearing.keeping.round_lines import Round


_LARGE = 125
"""Text from this size on [%] leaves no room for lines, foot and a panel."""
_VAST = 175
"""Text from this size on [%] leaves none for the head either."""


class RoundSheet(QWidget):
    """Shows a round as it is told; what is pressed on it is the page's business."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.head = PageHeader(theme)
        self.list = RoundList(theme, COLUMNS, "What is due, in walking order")
        self.steps = RoundList(theme, STEP_COLUMNS, "First steps")
        self.quiet = Quiet(theme)
        self.foot = RoundFoot(theme)
        self._panel_open = False
        self._stack = QStackedWidget()
        for part in (self.list, self.quiet, self.steps):
            self._stack.addWidget(part)
        self._ground = QVBoxLayout()
        self._ground.addWidget(self._stack)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addLayout(self._ground, 1)
        column.addWidget(self.foot)
        theme.changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        inset = self._theme.look.px(INSET)
        self._ground.setContentsMargins(inset, 0, inset, 0)

    @property
    def shown(self) -> QWidget | None:
        """The lines, the first steps, or the quiet words: whichever is seen."""
        return self._stack.currentWidget()

    def tell(
        self, round_: Round, now: dt.datetime, *, as_on: bool, away: str = ""
    ) -> None:
        """Write a round down; the hand stays on its line, or begins at what is due."""
        self.head.tell(heading(round_, now, as_on=as_on, away=away))
        begin = self.list.current_key() is None
        self.list.set_lines(written(round_))
        if begin and not _is_due(self.list):
            self.list.go_on()
        if round_.lines:
            self._show(self.list)

    def tell_first_steps(self, begun: Beginnings) -> None:
        """Show what an empty book needs, the next step under the hand."""
        self.head.tell(Heading(title="Round", words="the first steps of a new book"))
        self.steps.set_lines(steps(begun), current=next_step(begun))
        self._show(self.steps)

    def tell_quiet(self, lead: str, more: str = "") -> None:
        """Show words in place of lines."""
        self.quiet.tell(lead, more)
        self._show(self.quiet)

    def beside_panel(self, panel_open: bool) -> None:
        """Give the foot's room to the lines while large text shares it with a panel."""
        self._panel_open = panel_open
        self._show_foot()

    def _show_foot(self) -> None:
        size = self._theme.look.px(100) if self._panel_open else 0
        self.foot.setVisible(self.shown is not self.steps and size <= _LARGE)
        self.head.setVisible(size <= _VAST)
        self.updateGeometry()  # at once: a panel that is shown now has the room already

    def _show(self, part: QWidget) -> None:
        had_focus = any(w.hasFocus() for w in (self.list, self.steps))
        self._stack.setCurrentWidget(part)
        self._show_foot()
        if had_focus and isinstance(part, RoundList):
            part.setFocus()


def _is_due(lines: RoundList) -> bool:
    line = lines.current_line()
    return line is not None and line.state is State.DUE
