"""Paints a season: ribbons that scroll over leaf bars, on one scale of days."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPalette
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QSizePolicy

from rearing.desk.pages import season_plan as plans
from rearing.desk.pages.season_paint import SheetPainter
from rearing.desk.pages.season_words import (
    leaf_reading,
    moved_words,
    reading,
    week_words,
)

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent, QResizeEvent
    from PySide6.QtWidgets import QWidget

    from rearing.desk.pages.season_plan import Plan
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.date_scale import DateScale
    from rearing.keeping.season_rows import Ribbon, SeasonView

_WEEK, _MONTH = timedelta(days=7), timedelta(days=30)


class SeasonCanvas(QAbstractScrollArea):
    """Holds what is shown, where it stands and what the reading line says of it.

    `read_changed(words)` follows whatever changes the reading line.
    """

    read_changed = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._view: SeasonView | None = None
        self._row = 0
        self._hovered: int | None = None
        self._hovered_day: date | None = None
        self._first: date | None = None
        self._width_at = plans.USUAL_WIDTH
        self._supposed: Ribbon | None = None
        self._plan: Plan | None = None
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Season")
        self.viewport().setBackgroundRole(QPalette.ColorRole.Base)
        self.viewport().setMouseTracking(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        theme.changed.connect(self._lay_out)

    # showing

    def tell(self, view: SeasonView) -> None:
        """Show another season; the brood under the keeper's hand stays so."""
        kept = self.current()
        moved = self._view is None or view.on != self._view.on
        self._view = view
        ids = [one.brood_id for one in view.ribbons]
        if kept is not None and kept.brood_id in ids:
            self._row = ids.index(kept.brood_id)
        else:
            self._row = min(self._row, len(ids))
        if moved:
            self._first = None
        self._lay_out()
        self._read()

    def suppose(self, ribbon: Ribbon | None) -> None:
        """Show a brood as it would be elsewhere beside what is; None forgets it."""
        self._supposed = ribbon
        self._read()
        self.viewport().update()

    @property
    def view(self) -> SeasonView | None:
        """What is shown."""
        return self._view

    @property
    def supposed(self) -> Ribbon | None:
        """What is supposed of the current brood."""
        return self._supposed

    def current(self) -> Ribbon | None:
        """Return the brood under the keeper's hand; None when it is on the leaf."""
        if self._view is None or self._row >= len(self._view.ribbons):
            return None
        return self._view.ribbons[self._row]

    def set_current(self, brood_id: int) -> None:
        """Go to a brood."""
        for row, one in enumerate(self._view.ribbons if self._view else ()):
            if one.brood_id == brood_id:
                self._go(row)

    def plan(self) -> Plan | None:
        """Return where everything stands."""
        return self._plan

    def scale(self) -> DateScale | None:
        """Return the days that are shown."""
        if self._plan is None or self._first is None:
            return None
        return self._plan.scale(self._first, self._width_at)

    def words(self) -> str:
        """Return what the reading line says."""
        view = self._view
        if view is None:
            return ""
        if self._hovered is not None:
            return self._words_of(self._hovered, self._hovered_day)
        return self._words_of(self._row, None)

    def _words_of(self, row: int, day: date | None) -> str:
        view = self._view
        if view is None:
            return ""
        if row >= len(view.ribbons):
            weeks = [w for w in view.weeks if day and w.monday <= day <= w.sunday]
            told = ". ".join(week_words(week, view.on) for week in weeks)
            return told or leaf_reading(view)
        ribbon = view.ribbons[row]
        if self._supposed is not None and ribbon.brood_id == self._supposed.brood_id:
            moved = moved_words(ribbon, self._supposed, view.on)
            return f"{ribbon.code} then: {moved}."
        return reading(ribbon, view.on)

    def _read(self) -> None:
        words = self.words()
        if words != self.accessibleDescription():
            self.setAccessibleDescription(words)
            self.read_changed.emit(words)
        self.viewport().update()

    # measuring

    def _lay_out(self) -> None:
        view = self._view
        if view is None:
            return
        size = self.viewport().size()
        look = self._theme.look
        self._plan = plans.make_plan(look, size.width(), size.height(), view.ribbons)
        if self._first is None:
            self._first = plans.first_day(self._plan, view.on, self._width_at)
        bar = self.verticalScrollBar()
        room = int(self._plan.rows.height())
        bar.setRange(0, max(int(self._plan.content) - room, 0))
        bar.setPageStep(max(room, 1))
        bar.setSingleStep(look.px(46))
        self.viewport().update()

    def sizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(800), look.px(520))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        at_today = self._first
        if self._view is not None and event.oldSize().width() != event.size().width():
            at_today = None
        self._first = at_today
        self._lay_out()
        self._bring_into_sight()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        view, plan, scale = self._view, self._plan, self.scale()
        if view is None or plan is None or scale is None:
            return
        painter = QPainter(self.viewport())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        made = SheetPainter(painter, plan, scale, view)
        offset = self.verticalScrollBar().value()
        current = self._row if self.hasFocus() or self._supposed else None
        made.paint(offset, current, self._supposed)
        made.foot(self.words())
        painter.end()

    # going

    def _go(self, row: int) -> None:
        if self._view is None:
            return
        self._row = min(max(row, 0), len(self._view.ribbons))
        self._hovered = None
        self._bring_into_sight()
        self._read()

    def _bring_into_sight(self) -> None:
        plan = self._plan
        if plan is None or self._row >= len(plan.row_heights):
            return
        bar = self.verticalScrollBar()
        top, tall = plan.top_of(self._row), plan.row_heights[self._row]
        room = plan.rows.height()
        if top < bar.value():
            bar.setValue(int(top))
        elif top + tall > bar.value() + room:
            bar.setValue(int(top + tall - room + 1))
