"""A question asked at the foot of a page, answered with Y or N."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout

from rearing.desk.page import INSET, Panel
from rearing.desk.widgets.question import Question

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.theme import Theme


class AskPanel(Panel):
    """Asks once; a yes calls `agreed`, either answer closes the panel."""

    def __init__(
        self, theme: Theme, sentence: str, agreed: Callable[[], object]
    ) -> None:
        super().__init__(theme)
        self._agreed = agreed
        self.setAccessibleName(sentence)
        self.question = Question(theme)
        self.question.answered.connect(self._answered)
        row = QVBoxLayout(self)
        inset = theme.look.px(INSET)
        row.setContentsMargins(inset, theme.look.px(10), inset, theme.look.px(10))
        row.addWidget(self.question)
        self._sentence = sentence

    def focus_first(self) -> None:
        self.question.ask(self._sentence)

    def _answered(self, yes: bool) -> None:  # a signal's argument
        self.closed.emit()
        if yes:
            self._agreed()
