"""Heat: what each place's temperature rests on, its course, and its degree-days."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout
from shiboken6 import isValid

from rearing.desk.actions import Act
from rearing.desk.pages.heat_course import HeatCourse
from rearing.desk.pages.heat_lists import PlaceList, PlaceSheet
from rearing.desk.pages.heat_out import shown_heat
from rearing.desk.pages.heat_panels import HeatPanels
from rearing.desk.pages.heat_reading import (
    Course,
    CourseJob,
    is_much,
    read_course,
)
from rearing.desk.pages.heat_span import Span
from rearing.desk.pages.heat_thresholds import ThresholdForm, Thresholds, usual
from rearing.desk.pages.heat_words import (
    IMPORT_COLUMNS,
    KEY_HELP,
    NO_PLACE,
    PLACE_COLUMNS,
    SIZES,
    SPAN_CAPS,
    import_line,
    place_line,
    rests_on,
    sum_words,
)
from rearing.desk.pages.quiet import Quiet
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.ruled_list import RuledList
from rearing.keeping.heat_page import place_lines, recent_c
from rearing.records.readings import span as read_span

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QKeyEvent, QShowEvent

    from rearing.desk.page import Shown
    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.lines import Line
    from rearing.keeping.heat_page import PlaceLine
    from rearing.records.rows import ReadingImportRow

_ACTS = (
    Act(
        "import_temperatures",
        "&Import temperatures…",
        "Ctrl+I",
        "Take a logger's or weather file in",
        "&Entry",
    ),
    Act(
        "thresholds",
        "&Thresholds…",
        "Ctrl+T",
        "Between which temperatures heat is counted",
        "&Page",
        break_before=True,
    ),
    Act(
        "rates",
        "&Rates…",
        "Ctrl+R",
        "What durations on record say of T0 and K",
        "&Page",
    ),
)
_DOERS = {
    "I": "import_file",
    "T": "ask_thresholds",
    "R": "open_rates",
    "F": "ask_forecast",
    "L": "ask_follow",
    "P": "ask_place",
    "E": "ask_change",
}
_TOPIC = "heat of a place"
_CONCERNED = ("place", "forecast_day", "place_follow", "reading_import", "fact")


class HeatPage(HeatPanels):
    """Places in walking order; under them the chosen one's temperatures and heat."""

    number: ClassVar[int] = 8
    title: ClassVar[str] = "Heat"
    targets: ClassVar[tuple[str, ...]] = ("place",)

    def __init__(
        self, session: Session, theme: Theme, tasks: Tasks | None = None
    ) -> None:
        super().__init__(session, theme, tasks)
        self._taken: tuple[ReadingImportRow, ...] = ()
        self._lines: tuple[PlaceLine, ...] = ()
        self._span = Span(session.on)
        self._count: Thresholds | None = None
        self._is_stale = True
        self.head = PageHeader(theme)
        self.places = PlaceList(
            theme, PLACE_COLUMNS, "Places, in walking order", whole=True
        )
        self.course = HeatCourse(session, theme)
        self.imports = RuledList(
            theme, IMPORT_COLUMNS, "Files that were taken in", whole=True
        )
        self.sheet = PlaceSheet(theme, "Heat of the chosen place")
        self.quiet = Quiet(theme)
        self._stack = QStackedWidget()
        self._arrange()
        self.places.moved.connect(self._place_chosen)
        self.places.key_pressed.connect(self._key_of_place)
        self.places.span_asked.connect(self._move_span)
        self.places.scroll_asked.connect(self.sheet.leaf)
        self.imports.chosen.connect(self._show_set_aside)
        session.day_changed.connect(self._day_changed)

    def _arrange(self) -> None:
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        self.sheet.set_sections(
            [
                ("Places", "", self.places),
                ("Temperature", "by the hour", self.course.warmth),
                ("Forecast", "typed", self.course.forecast),
                ("Rule", "between places", self.course.rule),
                ("Degree-days", "by hourly sums", self.course.heat),
                ("Odd", "", self.course.odd),
                ("Imports", "", self.imports),
            ]
        )
        self._stack.addWidget(self.sheet)
        self._stack.addWidget(self.quiet)
        column.addWidget(self._stack, 1)
        self.set_body(self.body)

    # what the window asks

    def refresh(self, touched: object | None = None) -> None:
        """Read the places and the chosen one's temperatures again, if concerned."""
        concerns = getattr(touched, "concerns", None)
        if concerns is not None and not any(concerns(kind) for kind in _CONCERNED):
            return
        if touched is not None:
            self.notices.clear()  # what it told may have been taken back just now
        self._is_stale = True  # the list tells of its current line when it is filled
        session = self._session
        self._lines = place_lines(session.book, session.on)
        self.places.set_lines(written(session, self._lines))
        self._is_stale = False
        self._show_place()

    def focus_first(self) -> None:
        if self._stack.currentWidget() is self.sheet:
            self.places.setFocus()
        else:
            self.setFocus()

    def hints(self) -> str:
        if self.shows_rates:
            return "X leave out, take in   S species   T table   Esc back   F1 keys"
        if not self._lines:
            return "P new place   F1 keys"
        return "I import a file   F forecast   ← → earlier, later   R rates   F1 keys"

    def key_help(self) -> tuple[tuple[str, str], ...]:
        return KEY_HELP

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        does = (self.import_file, self.ask_thresholds, self.open_rates)
        return tuple(zip(_ACTS, does, strict=True))

    def tables(self) -> tuple[Shown, ...]:
        taken = (self._taken, self.imports)
        return shown_heat(self._lines, self.places, self.course, taken)

    def show_target(self, kind: str, target: object) -> None:
        if isinstance(target, int):
            self.places.set_current(target)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_stale:
            self.refresh()

    def _day_changed(self) -> None:
        self._span = Span(self._session.on, self._span.length)
        self._count = None
        self._is_stale = True
        if self.isVisible():
            self.refresh()

    # showing

    @property
    def span(self) -> Span:
        """The days that are shown."""
        return self._span

    @property
    def count(self) -> Thresholds:
        """The thresholds degree-days are counted between."""
        if self._count is None:
            self._count = usual(self._session)
        return self._count

    def chosen(self) -> PlaceLine | None:
        """Return the place under the keeper's hand."""
        key = self.places.current_key()
        return next((line for line in self._lines if line.row.id == key), None)

    def _place_chosen(self, key: object) -> None:
        if key is not None and not self._is_stale:
            self._show_place()

    def _show_place(self) -> None:
        line = self.chosen()
        if line is None:
            self._say_nothing_here()
            return
        session = self._session
        self._taken = read_span(session.book, line.row.id).imports[::-1]
        zone = session.home.zone
        self.imports.set_lines([import_line(row, zone) for row in self._taken])
        job = CourseJob(session.book.path, line, self._span, self.count, session.on)
        if is_much(line, self._span):
            self.head.tell(heading(line, self._span, "", "reading…"))
            self.lane().run(job.run, done=self._show_course, topic=_TOPIC)
            self._stack.setCurrentWidget(self.sheet)
            return
        if self.tasks is not None:
            self.tasks.cancel(_TOPIC)
        self._show_course(
            read_course(session.book, line, self._span, self.count, session.on)
        )

    def _show_course(self, course: Course) -> None:
        """Show what was read; the charts and sentences before stood until now."""
        if not isValid(self):
            return
        self.course.tell(course)
        known = course.is_known
        verdict = sum_words(course.days) if known else ""
        under = self.count.words if known else rests_on(course.line)
        self.head.tell(heading(course.line, self._span, verdict, under))
        self._show_sections(any_imports=bool(self._taken))
        self._stack.setCurrentWidget(self.sheet)

    def _show_sections(self, *, any_imports: bool) -> None:
        notes = {**self.course.notes(), "Places": ""}
        if any_imports:
            notes["Imports"] = ""
        for section in self.sheet.sections():
            section.setVisible(section.name in notes)
            section.set_note(notes.get(section.name, ""))

    def _say_nothing_here(self) -> None:
        self.head.tell(Heading(title="Heat"))
        self.quiet.tell(*NO_PLACE)
        self._stack.setCurrentWidget(self.quiet)

    # keys

    def _key_of_place(self, key: object, typed: str) -> None:
        self._answer(typed)

    def _answer(self, typed: str) -> bool:
        cap = typed[:1].upper()
        if cap in SPAN_CAPS:
            self._show_span(Span(self._span.last, SPAN_CAPS[cap]))
        elif cap in SIZES:
            self._show_span(self._span.resized(SIZES[cap]))
        elif cap in {"←", "→"}:
            self._move_span(-1 if cap == "←" else 1)
        elif cap in _DOERS:
            getattr(self, _DOERS[cap])()
        else:
            return False
        return True

    def _move_span(self, way: int) -> None:
        self._show_span(self._span.moved(way, self._session.on))

    def _show_span(self, span: Span) -> None:
        if span != self._span:
            self._span = span
            self._show_place()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.notices.clear()
        elif self.panel is None and self._answer(event.text()):
            event.accept()
        else:
            super().keyPressEvent(event)

    # forms

    def ask_thresholds(self) -> None:
        """Open the form of the thresholds."""
        form = ThresholdForm(self._session, self.theme, self.count, self.count_with)
        self.open_panel(form)

    def count_with(self, thresholds: Thresholds) -> None:
        """Count degree-days between other thresholds from now on."""
        self._count = thresholds
        self._show_place()

    def import_file(self) -> None:
        """Open the panel that takes a file of temperatures in."""
        self.open_import(self.chosen_id())

    def show_taken(self, place_ids: Sequence[int]) -> None:
        """Turn to a place that readings were taken in for, and to the last of them."""
        line = self.chosen()
        if line is None or line.row.id not in place_ids:
            self.places.set_current(min(place_ids))
            line = self.chosen()
        if line is None or line.last is None:
            return
        if not self._span.first <= line.last <= self._span.last:
            self._show_span(Span(line.last, self._span.length))

    def chosen_id(self) -> int | None:
        line = self.chosen()
        return line.row.id if line is not None else None

    def _show_set_aside(self, key: object) -> None:
        row = next((row for row in self._taken if row.id == key), None)
        if row is not None and row.set_aside:
            self.open_set_aside(row)


def written(session: Session, lines: Sequence[PlaceLine]) -> list[Line]:
    """Return the places as ruled lines, each with what it stood at last."""
    book, on = session.book, session.on
    return [place_line(line, recent_c(book, line.row, on)) for line in lines]


def heading(line: PlaceLine, span: Span, verdict: str, under: str) -> Heading:
    """Return the head of the page: the place, the days, and what they gave."""
    words = f"{line.row.name}, {span.words}"
    return Heading(title="Heat", words=words, verdict=verdict, under=under)
