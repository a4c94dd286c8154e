"""What an import shows of its file: sentences, questions, columns, rows, and places."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from rearing.desk.pages.import_aside import ASIDE_COLUMNS, aside_lines
from rearing.desk.pages.import_columns import ColumnGrid
from rearing.desk.pages.import_places import SeriesGrid, found_in
from rearing.desk.pages.import_questions import Questions
from rearing.desk.widgets.form_fields import plain_label
from rearing.desk.widgets.lines import Column, Ink, Line
from rearing.desk.widgets.margin import FieldSheet
from rearing.desk.widgets.ruled_list import RuledList

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.desk.theme import Theme
    from rearing.exchange.temperatures import (
        Doubt,
        PreviewRow,
        Temperatures,
        Understanding,
    )
    from rearing.records.rows import PlaceRow

ROW_COLUMNS = (
    Column("Line", Ink.NUMBER),
    Column("When", Ink.CODE),
    Column("Temperatures", Ink.TEXT, stretch=True),
)


class ImportSheet(FieldSheet):
    """Sections from top to bottom; those with nothing to say are left out."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, "How the file is read")
        self._understood = plain_label("")
        self.questions = Questions(theme)
        self.columns = ColumnGrid(theme)
        self.rows = RuledList(theme, ROW_COLUMNS, "First rows", whole=True)
        self.series = SeriesGrid(theme)
        self._counted, self._reasons = plain_label(""), plain_label("")
        self._aside = RuledList(theme, ASIDE_COLUMNS, "Set aside", whole=True)
        self.set_sections(
            [
                ("Understood", "", self._understood),
                ("Asked", "", self.questions),
                ("Into", "which place", _column(self._counted, self.series)),
                ("Columns", "", self.columns),
                ("First rows", "as they will be", self.rows),
                ("Set aside", "", _column(self._reasons, self._aside)),
            ]
        )
        theme.changed.connect(self._dress_words)
        self._dress_words()
        self.clear()

    def clear(self) -> None:
        """Show nothing."""
        self._understood.setText("")
        self.questions.ask(())
        self._show(())

    def tell(self, how: Understanding, doubts: Sequence[Doubt]) -> None:
        """Show how a file is understood and what is still asked."""
        self._understood.setText("\n".join(how.sentences))
        self.questions.ask(doubts)
        self.columns.tell(how)
        self.rows.set_lines([_row(row) for row in how.first_rows])
        shown = {"Understood", "Columns", "First rows"}
        self._show(shown | {"Asked"} if doubts else shown)

    def tell_read(
        self,
        read: Temperatures,
        places: Sequence[PlaceRow],
        likely: int | None,
        zone: dt.tzinfo,
    ) -> None:
        """Show what reading the whole file gave, and ask for the places."""
        self._counted.setText(read.sentence)
        self.series.tell(found_in(read, zone), places, likely)
        shown = {s.name for s in self.sections() if not s.isHidden()} | {"Into"}
        if read.set_aside_counts:
            shown.add("Set aside")
            counts = sorted(read.set_aside_counts.items(), key=_most_first)
            self._reasons.setText("\n".join(f"{n:,}: {why}" for why, n in counts))
            self._aside.set_lines(aside_lines(read.set_aside))
        self._show(shown)

    @property
    def words(self) -> str:
        """The sentences shown: how the file is understood and what came of it."""
        return f"{self._understood.text()}\n{self._counted.text()}".strip()

    def _show(self, names: set[str] | tuple[str, ...]) -> None:
        for section in self.sections():
            section.setVisible(section.name in names)

    def _dress_words(self) -> None:
        self._counted.setFont(self._theme.look.faces.lead)


def _column(*parts: QWidget) -> QWidget:
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    for part in parts:
        column.addWidget(part)
    return holder


def _row(row: PreviewRow) -> Line:
    values = ["none" if value is None else f"{value:.2f} °C" for value in row.celsius]
    told = ",   ".join(values).replace("-", "−")
    return Line(
        key=row.line,
        cells=(f"{row.line:,}", row.when, told),
        sentence=f"Line {row.line}: {row.when}, {told}",
    )


def _most_first(item: tuple[str, int]) -> tuple[int, str]:
    return -item[1], item[0]
