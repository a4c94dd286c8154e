"""Days away on the round: what would fail is worked out aside, told, and read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QLabel

from rearing.desk.help_panel import HelpPanel
from rearing.keeping.away_days import away_words, next_away

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from PySide6.QtGui import QKeyEvent

    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.keeping.away import Away
    from rearing.records.rows import AwayRow
    from rearing.sheets.shelf import SheetShelf

_TOPIC = "away"
_PAUSE_MS = 1500


class AwayJob:
    """Works out what days away would cost, with a book of its own."""

    def __init__(
        self, path: Path, shelf: SheetShelf, on: dt.date, days: tuple[dt.date, dt.date]
    ) -> None:
        self._path, self._shelf, self._on, self._days = path, shelf, on, days

    def answer(self) -> Away:
        """Return what would fail; of days that have begun, from today on."""
        from rearing.keeping.away import away
        from rearing.records.book import Book

        first, last = self._days
        with Book.open(self._path) as book:
            return away(book, self._shelf, self._on, max(first, self._on), last)


class AwayAhead(QObject):
    """Knows the days away that come next, and what they would cost.

    `changed()` when there is another answer. An entry makes the answer old: it is
    shown as it was until the new one is worked out.
    """

    changed = Signal()

    def __init__(self, session: Session, tasks: Tasks | None, parent: QObject) -> None:
        super().__init__(parent)
        self._session, self._tasks = session, tasks
        self.row: AwayRow | None = None
        self.answer: Away | None = None
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_PAUSE_MS)
        self._later.timeout.connect(self._begin)

    def look(self) -> None:
        """Look which days come next, and work out what they would cost."""
        session = self._session
        row = next_away(session.book, session.on)
        if row != self.row or (self.answer and self.answer.on != session.on):
            self.answer = None
        self.row = row
        if row is None:
            return
        if self.answer is None or self._tasks is None:
            self._begin()
        else:
            # while a round is walked, key after key, the last answer does
            self._later.start()

    def _begin(self) -> None:
        session, row = self._session, self.row
        if row is None:
            return
        days = (row.first_on, row.last_on)
        job = AwayJob(session.book.path, session.shelf, session.on, days)
        if self._tasks is None:
            self._take(job.answer())
        else:
            self._tasks.run(job.answer, done=self._take, topic=_TOPIC)

    @property
    def short(self) -> str:
        """What the head says: Away Mon 28 and Tue 29 June, Ctrl+J."""
        row = self.row
        if row is None:
            return ""
        return f"Away {away_words(row.first_on, row.last_on)}, Ctrl+J"

    @property
    def sentence(self) -> str:
        """What the round's foot says, from the entry until the last day is over."""
        row = self.row
        if row is None:
            return ""
        days = away_words(row.first_on, row.last_on)
        if self.answer is None:
            return f"Away {days}: being worked out. Ctrl+J shows."
        _, _, told = self.answer.sentence.partition(": ")
        return f"Away {days}: {told} Ctrl+J: what saves it."

    def _take(self, answer: Away) -> None:
        self.answer = answer
        self.changed.emit()


class AwayPanel(HelpPanel):
    """The answer at the side of the round: what fails, by when, what would save it.

    C changes the days, X takes them out, P prints what a helper is to do.
    """

    def __init__(
        self,
        theme: Theme,
        ahead: AwayAhead,
        keys: Mapping[str, Callable[[], object]],
    ) -> None:
        row, answer = ahead.row, ahead.answer
        assert row is not None
        title = f"Away {away_words(row.first_on, row.last_on)}"
        super().__init__(theme, title, paragraphs(row, answer))
        self._ahead, self._keys = ahead, keys
        self._offer = QLabel(
            "C other days   X not away after all   P sheet for a helper"
        )
        self._offer.setWordWrap(True)
        self._offer.setTextFormat(Qt.TextFormat.PlainText)
        self._whole.insertWidget(self._whole.count() - 1, self._offer)

    def tell_again(self) -> None:
        """Put the answer in the place of the last one; the keyboard stays."""
        row = self._ahead.row
        if row is None:
            return
        for label in (*self._heads, *self._texts):
            self._column.removeWidget(label)
            label.deleteLater()
        self._heads.clear()
        self._texts.clear()
        self._column.takeAt(self._column.count() - 1)
        for head, text in paragraphs(row, self._ahead.answer):
            self._add(head, text)
        self._column.addStretch(1)
        self._scroll.setAccessibleDescription(self.words)
        self._dress()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        do = self._keys.get(event.text().upper())
        if do is not None:
            do()
            return
        super().keyPressEvent(event)


def paragraphs(row: AwayRow, answer: Away | None) -> tuple[tuple[str, str], ...]:
    """Return the answer as it is read, what fails first first."""
    from rearing.keeping.away_words import alike, group_words, lasting_words

    note = (("", row.note),) if row.note else ()
    if answer is None:
        return (*note, ("", "What would fail is being worked out."))
    told = [("", answer.sentence)]
    told += [group_words(one) for one in alike(answer)]
    told += [("", words) for words in lasting_words(answer)]
    return (*note, *told)
