"""Heat: what each place's temperature rests on, its course, and its degree-days."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget
from shiboken6 import isValid

from rearing.desk.actions import Act
from rearing.desk.page import Page
from rearing.desk.pages.heat_course import HeatCourse
from rearing.desk.pages.heat_lists import PlaceList
from rearing.desk.pages.heat_span import Span
from rearing.desk.pages.heat_thresholds import ThresholdForm, Thresholds, usual
from rearing.desk.pages.heat_words import (
    IMPORT_COLUMNS,
    PLACE_COLUMNS,
    SPAN_CAPS,
    import_line,
    place_line,
    rests_on,
)
from rearing.desk.pages.quiet import Quiet
from rearing.desk.tasks import Tasks
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.margin import FieldSheet
from rearing.desk.widgets.ruled_list import RuledList
from rearing.keeping.heat_page import place_lines, recent_c, set_aside
from rearing.problems import Refusal
from rearing.records.readings import span as read_span

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QKeyEvent, QShowEvent

    from rearing.desk.page import Panel
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.heat_page import PlaceLine
    from rearing.records.journal import Touched
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
)
_CONCERNED = ("place", "reading_import", "fact")


class HeatPage(Page):
    """Places in walking order; under them the chosen one's temperatures and heat."""

    number: ClassVar[int] = 8
    title: ClassVar[str] = "Heat"
    targets: ClassVar[tuple[str, ...]] = ("place",)

    def __init__(
        self, session: Session, theme: Theme, tasks: Tasks | None = None
    ) -> None:
        super().__init__(theme)
        self._session = session
        self.tasks = tasks
        self._taken: tuple[ReadingImportRow, ...] = ()
        self._lines: tuple[PlaceLine, ...] = ()
        self._span = Span(session.on)
        self._count: Thresholds | None = None
        self._is_stale = True
        self._head = PageHeader(theme)
        self._places = PlaceList(
            theme, PLACE_COLUMNS, "Places, in walking order", whole=True
        )
        self._course = HeatCourse(session, theme)
        self._imports = RuledList(
            theme, IMPORT_COLUMNS, "Files that were taken in", whole=True
        )
        self._sheet = FieldSheet(theme, "Heat of the chosen place")
        self._quiet = Quiet(theme)
        self._stack = QStackedWidget()
        self._arrange()
        self._places.moved.connect(self._place_chosen)
        self._places.key_pressed.connect(self._key_of_place)
        self._places.span_asked.connect(self._move_span)
        self._places.scroll_asked.connect(self._scroll)
        self._imports.chosen.connect(self._show_set_aside)
        session.day_changed.connect(self._day_changed)

    def _arrange(self) -> None:
        self._body = QWidget()
        column = QVBoxLayout(self._body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._head)
        self._sheet.set_sections(
            [
                ("Places", "", self._places),
                ("Temperature", "by the hour", self._course.warmth),
                ("Degree-days", "by hourly sums", self._course.heat),
                ("Odd", "", self._course.odd),
                ("Imports", "", self._imports),
            ]
        )
        self._stack.addWidget(self._sheet)
        self._stack.addWidget(self._quiet)
        column.addWidget(self._stack, 1)
        self.set_body(self._body)

    # what the window asks

    def refresh(self, touched: object | None = None) -> None:
        """Read the places and the chosen one's temperatures again, if concerned."""
        concerns = getattr(touched, "concerns", None)
        if concerns is not None and not any(concerns(kind) for kind in _CONCERNED):
            return
        self._is_stale = False
        session = self._session
        self._lines = place_lines(session.book, session.on)
        written = [
            place_line(line, recent_c(session.book, line.row, session.on))
            for line in self._lines
        ]
        self._places.set_lines(written)
        self._show_place()

    def focus_first(self) -> None:
        if self._stack.currentWidget() is self._sheet:
            self._places.setFocus()
        else:
            self.setFocus()

    def hints(self) -> str:
        if not self._lines:
            return "P new place   F1 keys"
        return "I import a file   ← → earlier, later   + − longer, shorter   F1 keys"

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        return tuple(zip(_ACTS, (self.import_file, self.ask_thresholds), strict=True))

    def show_target(self, kind: str, target: object) -> None:
        if isinstance(target, int):
            self._places.set_current(target)

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
        key = self._places.current_key()
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
        self._imports.set_lines([import_line(row, zone) for row in self._taken])
        total = self._course.tell(line, self._span, self.count)
        self._head.tell(
            Heading(
                title="Heat",
                words=f"{line.row.name}, {self._span.words}",
                verdict=total,
                under=self.count.words if total else rests_on(line),
            )
        )
        self._show_sections(any_imports=bool(self._taken))
        self._stack.setCurrentWidget(self._sheet)

    def _show_sections(self, *, any_imports: bool) -> None:
        notes = {**self._course.notes(), "Places": ""}
        if any_imports:
            notes["Imports"] = ""
        for section in self._sheet.sections():
            section.setVisible(section.name in notes)
            section.set_note(notes.get(section.name, ""))

    def _say_nothing_here(self) -> None:
        self._head.tell(Heading(title="Heat"))
        self._quiet.tell(
            "No place is entered yet.",
            "P enters a shelf, a shed or a porch where boxes stand. Then I takes in "
            "what its logger wrote, and forecasts count its heat.",
        )
        self._stack.setCurrentWidget(self._quiet)

    # keys

    def _key_of_place(self, key: object, typed: str) -> None:
        self._answer(typed)

    def _answer(self, typed: str) -> bool:
        cap = typed[:1].upper()
        if cap in SPAN_CAPS:
            self._show_span(Span(self._span.last, SPAN_CAPS[cap]))
        elif cap in {"+", "="}:
            self._show_span(self._span.resized(1))
        elif cap in {"-", "−", "_"}:
            self._show_span(self._span.resized(-1))
        elif cap in {"←", "→"}:
            self._move_span(-1 if cap == "←" else 1)
        elif cap == "I":
            self.import_file()
        elif cap == "T":
            self.ask_thresholds()
        elif cap == "P":
            self._ask("place")
        elif cap == "E":
            self._ask_change()
        else:
            return False
        return True

    def _move_span(self, way: int) -> None:
        self._show_span(self._span.moved(way, self._session.on))

    def _show_span(self, span: Span) -> None:
        if span != self._span:
            self._span = span
            self._show_place()

    def _scroll(self, way: int) -> None:
        bar = self._sheet.verticalScrollBar()
        bar.setValue(bar.value() + way * bar.pageStep() * 3 // 4)

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
        self.open_panel(
            ThresholdForm(self._session, self.theme, self.count, self.count_with)
        )

    def count_with(self, thresholds: Thresholds) -> None:
        """Count degree-days between other thresholds from now on."""
        self._count = thresholds
        self._show_place()

    def import_file(self) -> None:
        """Open the panel that takes a file of temperatures in."""
        from rearing.desk.pages.import_panel import ImportPanel

        if isinstance(self.panel, ImportPanel):
            self.panel.focus_first()
            return
        line = self.chosen()
        panel = ImportPanel(
            self._session,
            self.theme,
            self._lane(),
            self.taken_in,
            place_id=line.row.id if line is not None else None,
        )
        # In the place of the page: there is more to read than a strip has room for.
        self.open_panel(panel, side=True)
        self._body.setVisible(False)

    def _lane(self) -> Tasks:
        if self.tasks is None:
            self.tasks = Tasks(self)
        return self.tasks

    def close_panel(self) -> None:
        """Take the panel away; the page comes back where an import hid it."""
        self._body.setVisible(True)
        super().close_panel()

    def taken_in(self, touched: Touched) -> None:
        """Tell everyone what an import brought, and show it."""
        if not isValid(self):
            return
        self.close_panel()
        self._session.changed.emit(touched)
        self.notices.say(f"Taken in: {touched.sentence}. Ctrl+Z takes it back.")
        ids = [number for kind, number in touched.subjects if kind == "place"]
        if ids and not any(line.row.id in ids for line in [self.chosen()] if line):
            self._places.set_current(min(ids))
        self._go_to_last_reading()

    def _go_to_last_reading(self) -> None:
        line = self.chosen()
        if line is None or line.last is None:
            return
        shown = self._span.first <= line.last <= self._span.last
        if not shown:
            self._show_span(Span(line.last, self._span.length))

    def _ask_change(self) -> None:
        line = self.chosen()
        if line is not None:
            self._ask("change_place", place_id=line.row.id)

    def _ask(self, name: str, **context: object) -> None:
        from rearing.desk import entries

        make: Callable[..., Panel] = getattr(entries, name)
        try:
            self.open_panel(make(self._session, self.theme, **context))
        except Refusal as refusal:
            self.notices.say_problem(refusal)

    def _show_set_aside(self, key: object) -> None:
        """Open the lines of a file that were not taken."""
        from rearing.desk.pages.import_aside import AsidePanel

        book = self._session.book
        row = next((row for row in self._taken if row.id == key), None)
        if row is not None and row.set_aside:
            title = f"{row.file_name}, {row.column}"
            lines = set_aside(book, row)
            self.open_panel(AsidePanel(self.theme, title, lines, row.set_aside))
