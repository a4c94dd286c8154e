"""The sheet of rates: durations at temperatures, what was laid through them, and T0.

It takes the place of the Heat page while it is open, as an import does.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout
from shiboken6 import isValid

from rearing.desk.page import INSET, Panel
from rearing.desk.pages.heat_course import Told
from rearing.desk.pages.heat_fit_forms import TableForm, WhoseForm
from rearing.desk.pages.heat_fit_words import (
    BESIDE,
    FIT_COLUMNS,
    POINT_COLUMNS,
    fit_lines,
    head_words,
    point_line,
    points_sentence,
)
from rearing.desk.pages.heat_lists import PlaceList, PlaceSheet
from rearing.desk.pages.heat_out import shown_rates
from rearing.desk.plots.host import ChartHost
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.question import KeyButton
from rearing.desk.widgets.ruled_list import RuledList
from rearing.keeping.fits import fit, question, with_typed
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QKeyEvent, QPaintEvent

    from rearing.charts.rates import RateSheet
    from rearing.desk.page import Shown
    from rearing.desk.pages.heat_fit_forms import Pairs
    from rearing.desk.plots.host import Drawing
    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.keeping.fits import Question, Rates

_TOPIC = "fit rates"
_RATES_HIGH, _RANGES_HIGH = 250, 200


@dataclass(frozen=True, slots=True)
class Asked:
    """Whose rates are shown, a table from elsewhere, and the points turned round.

    `turned` are the keys of those left out that are usually in, or the other way.
    """

    taxon: str
    stage: Stage = Stage.EGG
    typed: Pairs = ()
    turned: frozenset[str] = frozenset()


class RatesPanel(Panel):
    """Shows the rates of a stage; `remember` is told whenever something else is asked.

    The book is read here; the fits are made away from the window's thread.
    """

    def __init__(
        self,
        session: Session,
        theme: Theme,
        tasks: Tasks,
        asked: Asked,
        remember: Callable[[Asked], object],
    ) -> None:
        super().__init__(theme)
        self._session, self._tasks = session, tasks
        self._asked, self._remember = asked, remember
        self._known: Question | None = None
        self._rates: Rates | None = None
        self._form: Panel | None = None
        self.setAccessibleName("Rates")
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.head = PageHeader(theme)
        self.points = PlaceList(theme, POINT_COLUMNS, "Durations", whole=True)
        self._rate_chart = ChartHost(theme, "Rates", _RATES_HIGH)
        self._range_chart = ChartHost(theme, "T0 by range", _RANGES_HIGH)
        self.said = Told(theme)
        self.rates = Told(theme, self._rate_chart)
        self.ranges = Told(theme, self._range_chart)
        self.fits = RuledList(theme, FIT_COLUMNS, "Fits", whole=True)
        self.sheet = PlaceSheet(theme, "Rates of a stage")
        self._back = KeyButton(theme, "Esc", "back to the places")
        self._arrange()
        self.points.key_pressed.connect(self._key_of_point)
        self.points.scroll_asked.connect(self.sheet.leaf)
        self._back.clicked.connect(self.closed)
        theme.changed.connect(self._dress)
        self._dress()
        self._read()

    def _arrange(self) -> None:
        self._column = QVBoxLayout(self)
        self._column.setSpacing(0)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.head)
        self.sheet.set_sections(
            [
                ("Known", "", self.said),
                ("Durations", "", self.points),
                ("Rates", "share a day", self.rates),
                ("T0 by range", "1/D on T", self.ranges),
                ("Fits", "95% intervals", self.fits),
            ]
        )
        self._column.addWidget(self.sheet, 1)
        self._foot = QHBoxLayout()
        self._foot.addWidget(self._back)
        self._foot.addStretch(1)
        self._column.addLayout(self._foot)

    def _dress(self) -> None:
        look = self.theme.look
        inset = look.px(INSET)
        self._foot.setContentsMargins(inset, look.px(6), inset, look.px(8))

    # what the page asks

    @property
    def asked(self) -> Asked:
        """Whose rates are shown, and with what."""
        return self._asked

    @property
    def found(self) -> Rates | None:
        """The fits; None until they are made."""
        return self._rates

    @property
    def form(self) -> Panel | None:
        """The form that is open on this sheet."""
        return self._form

    def tables(self) -> tuple[Shown, ...]:
        where = (self.points, self.fits)
        return shown_rates(self._known, self._used(), self._rates, where)

    def focus_first(self) -> None:
        if self._form is not None:
            self._form.focus_first()
        elif self.points.lines():
            self.points.setFocus()
        else:
            self.setFocus()

    # reading and fitting

    def _read(self) -> None:
        asked, session = self._asked, self._session
        self._known = question(
            session.book,
            session.shelf,
            asked.taxon,
            asked.stage,
            session.on,
            typed=asked.typed,
        )
        self._show_points()

    def _used(self) -> frozenset[str]:
        if self._known is None:
            return frozenset()
        return self._known.usual() ^ self._asked.turned

    def _show_points(self) -> None:
        known, used = self._known, self._used()
        if known is None:
            return
        self.points.set_lines([point_line(p, used=p.key in used) for p in known.points])
        self._head("fitting…")
        lead = points_sentence(known, used)
        self.said.tell(lead, BESIDE)
        points = tuple(p for p in known.points if p.key in used)
        self._tasks.run(partial(fit, points), done=self._show_rates, topic=_TOPIC)

    def _show_rates(self, rates: Rates) -> None:
        if not isValid(self) or self._known is None:
            return
        self._rates = rates
        t0 = "" if rates.ols is None else f"T0 {rates.ols.t0_c.value:.1f} °C"
        self._head(t0.replace("-", "−"))
        self.rates.tell(rates.sentence, charted=bool(self._known.points))
        self._rate_chart.tell(self._draw_rates, rates.sentence)
        self.ranges.tell(rates.moving, charted=bool(rates.moving))
        self._range_chart.tell(self._draw_ranges, rates.moving)
        lines = fit_lines(rates, self._known.sheet) if self._known.points else []
        self.fits.set_lines(lines)
        shown = {"Known": True, "Durations": bool(self._known.points)}
        shown |= {"Rates": bool(self._known.points), "T0 by range": bool(rates.moving)}
        for section in self.sheet.sections():
            section.setVisible(shown.get(section.name, bool(lines)))

    def _head(self, verdict: str) -> None:
        if self._known is not None:
            words = head_words(self._known)
            self.head.tell(Heading(title="Rates", words=words, verdict=verdict))

    def _draw_rates(self) -> Drawing:
        from rearing.charts.rates import draw_rates

        return partial(draw_rates, result=self._drawn())

    def _draw_ranges(self) -> Drawing:
        from rearing.charts.rates import draw_ranges

        return partial(draw_ranges, result=self._drawn())

    def _drawn(self) -> RateSheet:
        from rearing.charts.rates import RateSheet

        if self._known is None or self._rates is None:
            raise ValueError("nothing was fitted yet")
        return RateSheet(self._known.points, self._rates)

    # asking for something else

    def _ask(self, asked: Asked) -> None:
        self._asked = asked
        self._remember(asked)

    def show_whose(self, taxon: str, stage: Stage) -> None:
        """Show the rates of another species or stage."""
        self._ask(Asked(taxon, stage, self._asked.typed))
        self._read()

    def take_table(self, typed: Pairs) -> None:
        """Put another table beside the keeper's own durations."""
        own = frozenset(k for k in self._asked.turned if not k.startswith("typed:"))
        self._ask(replace(self._asked, typed=typed, turned=own))
        if self._known is not None:
            self._known = with_typed(self._known, typed)
        self._show_points()

    def turn(self, key: str) -> None:
        """Leave a point out of the fit, or take it in."""
        self._ask(replace(self._asked, turned=self._asked.turned ^ {key}))
        self._show_points()

    def as_usual(self) -> None:
        """Use again what is usually used."""
        self._ask(replace(self._asked, turned=frozenset()))
        self._show_points()

    # keys and forms

    def _key_of_point(self, key: object, typed: str) -> None:
        self._answer(typed)

    def _answer(self, typed: str) -> bool:
        cap, key = typed[:1].upper(), self.points.current_key()
        if cap == "X" and isinstance(key, str):
            self.turn(key)
        elif cap == "S":
            now = (self._asked.taxon, self._asked.stage)
            self._open(WhoseForm(self._session, self.theme, now, self.show_whose))
        elif cap == "T":
            typed_now = self._asked.typed
            self._open(TableForm(self._session, self.theme, typed_now, self.take_table))
        elif cap == "U":
            self.as_usual()
        else:
            return False
        return True

    def _open(self, form: Panel) -> None:
        self._put_form_away()
        self._form = form
        form.closed.connect(self._close_form)
        self._column.addWidget(form)
        form.show()
        form.focus_first()

    def _close_form(self) -> None:
        self._put_form_away()
        self.focus_first()

    def _put_form_away(self) -> None:
        form, self._form = self._form, None
        if form is not None:
            form.closed.disconnect(self._close_form)
            self._column.removeWidget(form)
            form.hide()
            form.setParent(None)
            form.deleteLater()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw no edge: the whole page is its own."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        leaps = {Qt.Key.Key_PageUp: -1, Qt.Key.Key_PageDown: 1}
        if self._form is None and self._answer(event.text()):
            event.accept()
        elif event.key() in leaps:
            self.sheet.leaf(leaps[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)
