"""The columns of a file: what each is for, and in which unit it was read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from rearing.desk.pages.import_answers import MEASURES
from rearing.desk.widgets.choice_inputs import ChoiceInput
from rearing.desk.widgets.form_fields import plain_label
from rearing.desk.widgets.writing import write
from rearing.exchange.temperatures import Role, Unit

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme
    from rearing.exchange.temperatures import Column, Understanding

_ROLES = tuple((role, str(role)) for role in Role)
_UNITS = tuple((unit, unit.sign) for unit in Unit)
_SAMPLES = 3


class ColumnGrid(QWidget):
    """A row a column.

    `role_chosen(index, role)` and `unit_chosen(index, unit)` when one is changed.
    """

    role_chosen = Signal(int, object)
    unit_chosen = Signal(int, object)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._shown: tuple[Column, ...] = ()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setColumnStretch(3, 1)
        self._roles: dict[int, ChoiceInput] = {}
        self._units: dict[int, ChoiceInput] = {}
        theme.changed.connect(self._dress)
        self._dress()

    def tell(self, how: Understanding) -> None:
        """Show the columns as they are understood now."""
        if how.columns == self._shown:
            return
        if [c.index for c in self._shown] != [c.index for c in how.columns]:
            self._build(how.columns)
        self._shown = how.columns
        for column in how.columns:
            self._put(column)

    @property
    def is_in_hand(self) -> bool:
        """Whether the keyboard is in one of the fields."""
        fields = (*self._roles.values(), *self._units.values())
        return any(field.hasFocus() for field in fields)

    def role(self, index: int) -> ChoiceInput:
        """Return the field of a column's role."""
        return self._roles[index]

    def unit(self, index: int) -> ChoiceInput:
        """Return the field of a column's unit."""
        return self._units[index]

    def _build(self, columns: tuple[Column, ...]) -> None:
        while self._grid.count():
            item = self._grid.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._roles, self._units = {}, {}
        for row, column in enumerate(columns):
            name, samples = plain_label(column.label), Samples(self._theme, column)
            name.setWordWrap(False)
            role = ChoiceInput(_ROLES, column.role)
            unit = ChoiceInput(_UNITS, column.unit or Unit.CELSIUS)
            role.setAccessibleName(f"{column.label}, what it is for")
            unit.setAccessibleName(f"{column.label}, unit")
            for field in (role, unit):
                field.setProperty("column", column.index)
            role.activated.connect(self._role_changed)
            unit.activated.connect(self._unit_changed)
            name.setBuddy(role)
            for place, widget in enumerate((name, role, unit, samples)):
                self._grid.addWidget(widget, row, place)
            self._roles[column.index], self._units[column.index] = role, unit
        self._dress()

    def _put(self, column: Column) -> None:
        role, unit = self._roles[column.index], self._units[column.index]
        role.setCurrentText(str(column.role))
        unit.setCurrentText((column.unit or Unit.CELSIUS).sign)
        unit.setVisible(column.role in MEASURES)

    def _role_changed(self) -> None:
        field = self.sender()
        if isinstance(field, ChoiceInput):
            self.role_chosen.emit(field.property("column"), field.answer())

    def _unit_changed(self) -> None:
        field = self.sender()
        if isinstance(field, ChoiceInput):
            self.unit_chosen.emit(field.property("column"), field.answer())

    def _dress(self) -> None:
        self._grid.setHorizontalSpacing(self._theme.look.px(12))
        self._grid.setVerticalSpacing(self._theme.look.px(4))
        for role in self._roles.values():
            role.setMinimumWidth(self._theme.look.px(110))
        for unit in self._units.values():
            unit.setMinimumWidth(self._theme.look.px(62))


class Samples(QLabel):
    """The first texts of a column, shortened to the room there is."""

    def __init__(self, theme: Theme, column: Column) -> None:
        shown = ",  ".join(column.samples[:_SAMPLES])
        super().__init__(f"{shown} …" if shown else "empty")
        self._theme = theme
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, look = QPainter(self), self._theme.look
        box = QRectF(self.rect())
        write(painter, box, self.text(), look.faces.body, look.colour("pencil"))
        painter.end()
