"""What the females and the night book have in common: an index that turns a sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import QObject, Signal

from rearing.desk.pages.spread import Spread

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.page import Shown
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.lines import Column, Line
    from rearing.desk.widgets.ruled_list import RuledList


class TurningFace(QObject):
    """One face of a page: subclasses read the book and fill the sheet.

    `form_asked(panel)` asks the page to open a form, `followed(kind, id)` for another
    page, `told(sentence)` for a notice.
    """

    nothing: ClassVar[tuple[str, str]] = ("", "")
    keys: ClassVar[str] = ""
    followed = Signal(str, object)
    form_asked = Signal(object)
    told = Signal(str)

    def __init__(
        self,
        session: Session,
        theme: Theme,
        columns: Sequence[Column],
        names: tuple[str, str],
    ) -> None:
        super().__init__()
        self.session = session
        self.theme = theme
        self.chosen: int | None = None
        self.spread = Spread(theme, columns, *names)
        self.spread.index.moved.connect(self._moved)
        self.spread.index.chosen.connect(self._go_in_to)
        self.spread.sheet.turned.connect(self._turned)

    # what a subclass says

    def read(self) -> None:
        """Read the index and the chosen one's page again."""

    def show_chosen(self) -> None:
        """Fill the sheet with the chosen one."""

    def tables(self) -> tuple[Shown, ...]:
        """Return the tables that are shown."""
        return ()

    def answer(self, key: str) -> bool:
        """Do what a letter asks for; False when it asks nothing."""
        return False

    # turning

    @property
    def is_empty(self) -> bool:
        """True when there is nothing to list."""
        return not self.spread.index.lines()

    def list(self, lines: Sequence[Line]) -> None:
        """Show other lines in the index and keep to the chosen one."""
        index = self.spread.index
        was_blocked = index.blockSignals(True)
        index.set_lines(lines, current=self.chosen)
        index.blockSignals(was_blocked)
        key = index.current_key()
        self.chosen = key if isinstance(key, int) else None
        if self.chosen is not None:
            self.show_chosen()

    def show(self, row_id: int) -> bool:
        """Turn to one of the list; False when it is not in it."""
        return self.spread.index.set_current(row_id)

    def turn(self, step: int) -> None:
        """Turn to the one so many further on in the list."""
        keys = [line.key for line in self.spread.index.lines()]
        if self.chosen in keys:
            at = keys.index(self.chosen) + step
            if 0 <= at < len(keys):
                self.spread.index.set_current(keys[at])

    def go_in(self) -> None:
        """Put the keyboard into the sheet."""
        self.spread.go_in()

    def _go_in_to(self, _key: object) -> None:
        self.go_in()

    def _turned(self, step: int) -> None:
        if step < 0:
            self.spread.go_out()

    def _moved(self, key: object) -> None:
        if isinstance(key, int) and key != self.chosen:
            self.chosen = key
            self.show_chosen()
            self.spread.sheet.verticalScrollBar().setValue(0)

    # keys that mean one line of a list within the sheet

    def at_the_line(self, lines: RuledList, key: str, thing: str) -> object | None:
        """Return the key of the only line that takes a key, or ask which is meant."""
        takers = [
            line
            for line in lines.lines()
            if any(offer.takes(key) for offer in line.keys)
        ]
        if len(takers) == 1:
            return takers[0].key
        if takers:
            self.spread.go_in(lines)
            if lines.current_line() not in takers:
                lines.set_current(takers[0].key)
            self.told.emit(f"Which {thing}? Go to it with ↑ ↓, then {key}.")
        else:
            self.told.emit(f"There is no {thing} here that {key} could mean.")
        return None
