"""A brood's numbers as a page to read, and another brood laid beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from rearing.desk.pages import brood_numbers_words as words
from rearing.desk.widgets.beside import stacked
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.listening_lists import PartList
from rearing.desk.widgets.look_columns import LookColumns
from rearing.desk.widgets.prose import Prose
from rearing.desk.widgets.reading_sheet import ReadingSheet
from rearing.desk.widgets.survival_plot import SurvivalPlot
from rearing.desk.widgets.width_plot import Peak, WidthPlot
from rearing.keeping.comparison import beside_words
from rearing.keeping.heads import heads_of
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.theme import Theme
    from rearing.desk.widgets.lines import Column, Line
    from rearing.keeping.comparison import Comparison
    from rearing.keeping.numbers_page import NumbersPage

BESIDE, LEDGER, HATCH, LOSSES, SURVIVAL, STAGES, HEADS, BY_STAGE, BY_DAY = (
    *("Beside", "Ledger", "Hatch", "Lost", "Survival"),
    *("Stages", "Measured", "By stage", "By day"),
)


class NumbersSheet(QWidget):
    """The head and the sections of one brood's numbers."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.header = PageHeader(theme)
        self.sheet = ReadingSheet(theme, "The brood's numbers")
        self.survival = SurvivalPlot(theme, "Survival")
        self.looks = LookColumns(theme, "Stages by day of looking")
        self.widths = WidthPlot(theme, "Widths of heads")
        self._lists: dict[str, PartList] = {}
        self._prose: dict[str, Prose] = {}
        self.told: tuple[NumbersPage, Comparison | None] | None = None
        part = self._part
        self.sheet.arrange(
            (
                (BESIDE, part(theme, BESIDE, words.BESIDE_COLUMNS)),
                (LEDGER, part(theme, LEDGER, words.LEDGER_COLUMNS)),
                (HATCH, part(theme, HATCH, words.HATCH_COLUMNS)),
                (LOSSES, part(theme, LOSSES, words.LOSS_COLUMNS)),
                (SURVIVAL, part(theme, SURVIVAL, (), self.survival)),
                (STAGES, part(theme, STAGES, (), self.looks)),
                (HEADS, part(theme, HEADS, words.FIGURE_COLUMNS, self.widths)),
                (BY_STAGE, part(theme, BY_STAGE, words.LIFE_COLUMNS)),
                (BY_DAY, part(theme, BY_DAY, words.DAY_COLUMNS)),
            )
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.header)
        column.addWidget(self.sheet, 1)

    def _part(
        self, theme: Theme, name: str, columns: Sequence[Column], *charts: QWidget
    ) -> QWidget:
        self._prose[name] = Prose(theme, "lead_quiet")
        parts: list[QWidget] = [self._prose[name], *charts]
        if columns:
            self._lists[name] = PartList(theme, tuple(columns), name)
            parts.append(self._lists[name])
        return stacked(theme, *parts)

    def said(self, name: str) -> str:
        """Return the words of a section."""
        return self._prose[name].text()

    def list(self, name: str) -> PartList:
        """Return the list of a section."""
        return self._lists[name]

    def lines(self, name: str) -> tuple[Line, ...]:
        """Return the lines of a section's list."""
        return self._lists[name].lines()[1:]

    def tell(self, page: NumbersPage, beside: Comparison | None) -> None:
        """Show a brood's numbers, and another's beside them where one is chosen."""
        self.told = (page, beside)
        found = page.life.fates
        self.header.tell(
            Heading(
                code=found.brood.code,
                species=found.taxon,
                words="in numbers",
                verdict=f"{found.all_alive} alive",
                under=f"beside {beside.other.code}" if beside else "",
            )
        )
        self._tell(LEDGER, words.ledger_lines(page.ledger))
        self._prose[LEDGER].tell(words.ledger_words(page.ledger))
        self._tell(HATCH, words.hatch_lines(page.hatch))
        self._prose[HATCH].tell("" if page.hatch else words.NO_EGGS)
        self.looks.tell(words.look_columns(page.looks), words.looks_words(page.looks))
        self.looks.setVisible(bool(page.looks))
        self._prose[STAGES].tell(words.looks_words(page.looks))
        self._tell(LOSSES, words.loss_lines(page.life.losses))
        self.sheet.say(LOSSES, "to what, at which", shown=bool(page.life.losses))
        self._tell_survival(page, beside)
        self._tell_heads(page)
        self._tell(BY_STAGE, words.life_lines(page.life.stages))
        self._prose[BY_STAGE].tell(
            "The unaccounted are taken as lost." if page.life.stages else "None yet."
        )
        self._tell(BY_DAY, words.day_lines(page.life.days))
        self.sheet.say(BY_DAY, "of a loss", shown=bool(page.life.days))
        order = (self.survival, self.looks, self.widths, *self._lists.values())
        self.sheet.order(order)

    def _tell(self, name: str, lines: Sequence[Line]) -> None:
        named = self._lists[name]
        head = words.names_line(named.columns())
        named.set_lines((head, *lines) if lines else ())
        self._lists[name].setVisible(bool(lines))

    def _tell_survival(self, page: NumbersPage, beside: Comparison | None) -> None:
        said = words.survival_words(page.side)
        own = words.survival(page.side, name=page.side.code if beside else "")
        other = words.survival(beside.other, name=beside.other.code) if beside else None
        lots = [lot for lot in (own, other) if lot is not None]
        self.survival.tell(lots, said)
        self.survival.setVisible(bool(lots))
        self._prose[SURVIVAL].tell(said)
        self.sheet.say(BESIDE, beside.other.code if beside else "", shown=bool(beside))
        self._tell(BESIDE, words.beside_lines(beside) if beside else ())
        self._prose[BESIDE].tell(beside_words(beside) if beside else "")

    def _tell_heads(self, page: NumbersPage) -> None:
        widths = [row.value for row in page.heads]
        self._tell(HEADS, words.figure_lines(page))
        self.widths.setVisible(bool(widths))
        if not page.measured:
            self._prose[HEADS].tell("Nothing was measured yet: I enters widths.")
            return
        try:
            heads = heads_of(page.measured) if widths else None
        except Refusal as refusal:
            self.widths.tell(widths, (), (), refusal.sentence)
            self._prose[HEADS].tell(refusal.sentence)
            return
        if heads is None:
            self._prose[HEADS].tell("")
            return
        said = words.heads_words(heads)
        peaks = [Peak(f"L{one.instar}", one.fitted_mm) for one in heads.groups]
        self.widths.tell(widths, peaks, heads.boundaries, said)
        self._prose[HEADS].tell(said)
