"""A form made from descriptions: it asks, hands answers on, shows what's refused."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout

from rearing.desk.page import Panel
from rearing.desk.widgets.fields import Answers, Field
from rearing.desk.widgets.form_fields import ENTER, FormFields, plain_label
from rearing.desk.widgets.question import KeyButton, Question
from rearing.problems import AskFirst, Problem, Refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date

    from PySide6.QtGui import QKeyEvent, QShowEvent

    from rearing.desk.theme import Theme
    from rearing.desk.widgets.inputs import AnyInput


_INSET = 24
_LEAST = 3.4
"""Lines of text that the fields keep in the lowest window: one or two of them."""


class _Scroll(QScrollArea):
    """Holds the fields: as high as they want, less where the page has less room."""

    def __init__(self) -> None:
        super().__init__()
        self._wanted = 0
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.viewport().setBackgroundRole(QPalette.ColorRole.AlternateBase)

    def want(self, height: int) -> None:
        """Ask for a height; a field or two stay in sight whatever happens."""
        self._wanted = height
        self.setMaximumHeight(height)
        self.setMinimumHeight(min(height, int(self.fontMetrics().height() * _LEAST)))
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), self._wanted)


class EntryForm(Panel):
    """A panel that asks for an entry and gives it to `keep`.

    `keep(answers)` writes it. It may raise Refusal: the sentence appears under the
    field it names (or at the top, as storage trouble does) and nothing typed is lost.
    It may raise AskFirst: the question appears, and a yes calls it again with
    `answers.sure`. Enter accepts, Esc leaves. `kept` follows an entry that was taken;
    the form then closes, or with `stay` begins afresh for the next. The keyboard
    begins in the field `first`, without it in the first there is.
    """

    kept = Signal()

    def __init__(  # noqa: PLR0913  # each says one thing the page decides
        self,
        theme: Theme,
        title: str,
        ask: Sequence[Field],
        keep: Callable[[Answers], object],
        *,
        today: date,
        verb: str = "enter it",
        caution: str = "",
        columns: int = 1,
        stay: bool = False,
        first: str = "",
    ) -> None:
        super().__init__(theme)
        self._ask = tuple(ask)
        self._first = first
        self._room = 0
        self._keep = keep
        self._today = today
        self._columns = columns
        self._stay = stay
        self.setAccessibleName(title)
        self._title = plain_label(title)
        self._caution = plain_label(caution)
        self._caution.setVisible(bool(caution))
        self._refusal = plain_label("")
        self._refusal.setForegroundRole(QPalette.ColorRole.BrightText)
        self._refusal.setVisible(False)
        self._question = Question(theme)
        self._question.answered.connect(self._answered)
        self._accept = KeyButton(theme, "Enter", verb)
        self._accept.clicked.connect(self.accept)
        self._leave = KeyButton(theme, "Esc", "leave it")
        self._leave.clicked.connect(self.closed)
        self._hint = plain_label("")
        self._build()
        theme.changed.connect(self._dress)
        self._dress()

    def _build(self) -> None:
        self._whole = QVBoxLayout(self)
        self._whole.addWidget(self._title)
        self._whole.addWidget(self._caution)
        self._whole.addWidget(self._refusal)
        self._scroll = _Scroll()
        self._scroll.setAccessibleName(self.accessibleName())
        self._whole.addWidget(self._scroll, 1)
        self._whole.addWidget(self._question)
        foot = QHBoxLayout()
        foot.addWidget(self._accept)
        foot.addWidget(self._leave)
        foot.addWidget(self._hint, 1)
        self._whole.addLayout(foot)
        self._whole.addStretch()
        self._begin()

    def _begin(self) -> None:
        self._fields = FormFields(self.theme, self._ask, self._today, self._columns)
        self._fields.setBackgroundRole(QPalette.ColorRole.AlternateBase)
        self._fields.entered.connect(self.accept)
        self._scroll.setWidget(self._fields)
        self._fields.refitted.connect(self._fit)
        self._fields.in_hand.connect(self._tell_hint)
        self._fit()

    def _tell_hint(self, hint: str, is_note: bool) -> None:  # a signal's arguments
        """Say what the field in hand takes; Enter begins a new line in a note."""
        self._hint.setText(hint)
        self._accept.rename("Ctrl+Enter" if is_note else "Enter")
        in_hand = self._fields.focusWidget()
        if in_hand is not None:
            self._scroll.ensureWidgetVisible(in_hand, 0, self.theme.look.px(8))

    def _fit(self) -> None:
        """Take the height the fields need, up to half the window's."""
        bar = self._scroll.verticalScrollBar().sizeHint().width()
        if self._room:
            sides = 2 * self.theme.look.px(_INSET) + bar
            self._fields.fit_columns(self._room - sides)
        wanted = self._fields.sizeHint().height() + 2
        self._scroll.want(min(wanted, int(self.window().height() * 0.45)))
        self._scroll.setMinimumWidth(self._fields.minimumSizeHint().width() + bar)

    def fit_page(self, width: int) -> None:
        """Put the fields in as many columns as the page has room for."""
        self._room = width
        self._fit()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._fit()

    def _dress(self) -> None:
        look = self.theme.look
        self._title.setFont(look.faces.section)
        self._caution.setFont(look.faces.small)
        self._hint.setFont(look.faces.small)
        inset = look.px(_INSET)
        self._whole.setContentsMargins(inset, look.px(10), inset, look.px(12))
        self._whole.setSpacing(look.px(6))

    # using

    def focus_first(self) -> None:
        if self._first:
            self._fields.focus_on(self._first)
        else:
            self._fields.focus_first()

    def input(self, key: str) -> AnyInput:
        """Return one of the fields."""
        return self._fields.input(key)

    def message(self, key: str = "") -> str:
        """Return what stands under a field (without a key: above them all)."""
        if key:
            return self._fields.words(key)
        return "" if self._refusal.isHidden() else self._refusal.text()

    @property
    def foot(self) -> tuple[str, str]:
        """Return the key that accepts, and what is said of the field in hand."""
        return self._accept.cap, self._hint.text()

    @property
    def caution(self) -> str:
        """Return what stands under the title."""
        return self._caution.text()

    @property
    def question(self) -> Question:
        """The question that is open when an entry wants a yes."""
        return self._question

    def accept(self) -> None:
        """Read the fields and hand the answers on."""
        self._take(sure=False)

    def _answered(self, yes: bool) -> None:  # a signal's argument
        if yes:
            self._take(sure=True)
        else:
            self.focus_first()

    def _take(self, *, sure: bool) -> None:
        self._fields.clear_words()
        self._refusal.setVisible(False)
        self._question.put_away()
        try:
            self._keep(Answers(self._fields.read(), sure=sure))
        except AskFirst as question:
            self._question.ask(question.sentence)
        except Refusal as refusal:
            if not self._fields.show_words(refusal.field, refusal.sentence):
                self._say_above(refusal.sentence)
        except Problem as trouble:
            # The disk or another program: nothing typed is lost, Enter tries again.
            self._say_above(trouble.sentence)
        else:
            self._taken()

    def _say_above(self, sentence: str) -> None:
        self._refusal.setText(sentence)
        self._refusal.setVisible(True)

    def _taken(self) -> None:
        self.kept.emit()
        if self._stay:
            self._begin()
            self.focus_first()
        else:
            self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() not in ENTER:
            super().keyPressEvent(event)
        elif self.focusWidget() is self._leave:
            self.closed.emit()
        else:
            self.accept()
