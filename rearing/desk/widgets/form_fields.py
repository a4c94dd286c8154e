"""The rows of a form: labels with their keys, fields, and what is wrong with each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from rearing.desk.widgets import fields as asked
from rearing.desk.widgets import inputs
from rearing.desk.widgets.field_hints import TIME_HINT, hint_of
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date

    from PySide6.QtGui import QKeyEvent

    from rearing.desk.theme import Theme

ENTER = frozenset({Qt.Key.Key_Return, Qt.Key.Key_Enter})


class FormFields(QWidget):
    """Fields in one or more columns.

    `entered` when Enter is pressed in one; `refitted` when they need another height;
    `in_hand(hint, is_note)` when the keyboard comes to one.
    """

    entered = Signal()
    in_hand = Signal(str, bool)
    refitted = Signal()

    def __init__(
        self, theme: Theme, ask: Sequence[asked.Field], today: date, columns: int
    ) -> None:
        super().__init__()
        self._theme = theme
        self._ask = tuple(ask)
        self._today = today
        self._inputs: dict[str, inputs.AnyInput] = {}
        self._words: dict[str, QLabel] = {}
        self._forms: list[QFormLayout] = []
        self._across = QHBoxLayout(self)
        share = max(-(-len(self._ask) // max(columns, 1)), 1)
        for start in range(0, len(self._ask), share):
            self._add_column(self._ask[start : start + share])
        theme.changed.connect(self._dress)
        self._dress()

    def _add_column(self, ask: Sequence[asked.Field]) -> None:
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self._forms.append(form)
        self._across.addLayout(form, 1)
        for field in ask:
            self._add(form, field)

    def _add(self, form: QFormLayout, field: asked.Field) -> None:
        made = make_input(field, self._today)
        words = plain_label("")
        words.setForegroundRole(QPalette.ColorRole.BrightText)
        words.setVisible(False)
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        grows = made.sizePolicy().expandingDirections() & Qt.Orientation.Horizontal
        # What is wrong with a narrow field has the whole column to be read in.
        holder.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        if grows:
            column.addWidget(made)
        else:
            column.addWidget(made, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(words)
        holder.setFocusProxy(made.focus_part())
        label = "" if isinstance(field, asked.YesNoField) else field.label
        form.addRow(label, holder)
        self._name(made, field)
        self._inputs[field.key] = made
        self._words[field.key] = words

    def _name(self, made: inputs.AnyInput, field: asked.Field) -> None:
        name = field.label.replace("&", "")
        part = made.focus_part()
        part.setAccessibleName(name)
        part.installEventFilter(self)
        hint = hint_of(field)
        part.setAccessibleDescription(hint)
        made.setToolTip(hint)
        if isinstance(made, QComboBox):
            made.view().setAccessibleName(f"{name}, list")
        if isinstance(made, inputs.MomentInput):
            made.time.setAccessibleName(f"{name}, time of day")
            made.time.setAccessibleDescription(TIME_HINT)
            made.time.installEventFilter(self)
        if isinstance(made, inputs.CountInput):
            made.name_quality(f"{name}, how exact")

    def _dress(self) -> None:
        look = self._theme.look
        self._across.setContentsMargins(0, 0, 0, 0)
        self._across.setSpacing(look.px(24))
        for form in self._forms:
            form.setVerticalSpacing(look.px(6))
            form.setHorizontalSpacing(look.px(10))
        for words in self._words.values():
            words.setFont(look.faces.small)

    def fit_columns(self, room: int) -> None:
        """Put the columns side by side, or under each other where they have no room."""
        beside, below = QHBoxLayout.Direction.LeftToRight, QHBoxLayout.Direction.Down
        self._across.setDirection(beside)
        self._across.activate()
        if self.minimumSizeHint().width() > room:
            self._across.setDirection(below)

    # using

    def focus_first(self) -> None:
        """Put the keyboard in the first field."""
        if self._ask:
            self.focus_on(self._ask[0].key)

    def focus_on(self, key: str) -> None:
        """Put the keyboard in one field."""
        self._inputs[key].focus_part().setFocus(Qt.FocusReason.TabFocusReason)

    def input(self, key: str) -> inputs.AnyInput:
        """Return one of the fields."""
        return self._inputs[key]

    def read(self) -> dict[str, object]:
        """Return what was filled in; Refusal naming the field otherwise."""
        values: dict[str, object] = {}
        for field in self._ask:
            try:
                value = self._inputs[field.key].answer()
            except Refusal as refusal:
                raise Refusal(refusal.sentence, field=field.key) from None
            if field.required and value in {None, "", (None, None)}:
                raise Refusal("This one is needed.", field=field.key)
            values[field.key] = value
        return values

    def clear_words(self) -> None:
        """Take away what stood under the fields."""
        for label in self._words.values():
            label.clear()
            label.setVisible(False)

    def show_words(self, key: str | None, words: str) -> bool:
        """Put words under a field and the keyboard in it; False if it isn't here."""
        label = self._words.get(key or "")
        if label is None or key is None:
            return False
        label.setText(words)
        label.setVisible(True)
        self.focus_on(key)
        return True

    def words(self, key: str) -> str:
        """Return what stands under a field."""
        label = self._words[key]
        return "" if label.isHidden() else label.text()

    def event(self, event: QEvent) -> bool:
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self.refitted.emit()
        return done

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            is_note = isinstance(watched, QPlainTextEdit)
            self.in_hand.emit(watched.accessibleDescription(), is_note)
        if event.type() != QEvent.Type.KeyPress:
            return super().eventFilter(watched, event)
        pressed: QKeyEvent = event  # type: ignore[assignment]  # told by its type
        # Enter in a note begins a new line; with Ctrl it accepts there too
        control = pressed.modifiers() & Qt.KeyboardModifier.ControlModifier
        new_line = isinstance(watched, QPlainTextEdit) and not control
        if pressed.key() not in ENTER or new_line:
            return super().eventFilter(watched, event)
        self.entered.emit()
        return True


def _line(field: asked.TextField, _today: date) -> inputs.AnyInput:
    line = inputs.LineInput(field.value)
    line.setPlaceholderText(field.ghost)
    if field.letters:
        line.narrow(field.letters)
    return line


def _yes_no(field: asked.YesNoField, _today: date) -> inputs.AnyInput:
    box = inputs.YesNoInput(field.label)
    box.setChecked(field.value)
    return box


_MAKERS: dict[type[asked.Field], Callable[..., inputs.AnyInput]] = {
    asked.TextField: _line,
    asked.NoteField: lambda field, _: inputs.NoteInput(field.value),
    asked.CountField: lambda field, _: inputs.CountInput(field),
    asked.AmountField: lambda field, _: inputs.AmountInput(field),
    asked.ChoiceField: lambda field, _: inputs.ChoiceInput(field.options, field.value),
    asked.SearchField: lambda field, _: inputs.SearchInput(field),
    asked.DayField: lambda field, today: inputs.DayInput(field.value, today),
    asked.MomentField: inputs.MomentInput,
    asked.YesNoField: _yes_no,
}


def make_input(field: asked.Field, today: date) -> inputs.AnyInput:
    """Return the field that takes the answer a description asks for."""
    return _MAKERS[type(field)](field, today)


def plain_label(text: str) -> QLabel:
    """Return a label that wraps and never takes its text for markup."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
    return label
