"""A form whose number was begun by a digit on the line that opened it."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit

from rearing.desk.widgets.form import EntryForm


class BegunForm(EntryForm):
    """A form that goes on with the number a digit at the round's line began."""

    def focus_first(self) -> None:
        super().focus_first()
        line = self.focusWidget()
        if isinstance(line, QLineEdit):
            # the next digit follows the first instead of taking its place
            line.deselect()
            line.end(False)
