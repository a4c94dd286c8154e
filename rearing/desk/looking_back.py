"""How good the windows have been: replayed away from the window, and kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from rearing.keeping.kept_season import kept_past
from rearing.keeping.last_good import Kept, last_change
from rearing.keeping.past_windows import PastWindows, past_windows
from rearing.records.book import Book

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks, Token
    from rearing.sheets.shelf import SheetShelf

_TOPIC = "looking back"


class LookJob:
    """Replays every window of the finished broods, with a book of its own."""

    def __init__(
        self,
        path: Path,
        shelf: SheetShelf,
        on: dt.date,
        made_at: dt.datetime,
        token: Token | None,
    ) -> None:
        self._path, self._shelf = path, shelf
        self._on, self._made_at, self._token = on, made_at, token

    def replay(self) -> Kept[PastWindows]:
        """Replay them; once cancelled, not all."""
        token = self._token
        with Book.open(self._path) as book:
            change = last_change(book)
            found = past_windows(
                book,
                self._shelf,
                self._on,
                stop=None if token is None else token.cancelled,
                progress=None if token is None else token.progress,
            )
        return Kept(found, self._made_at, change)


class LookingBack(QObject):
    """Knows the last good answer of a book, and works it out anew when asked.

    `changed()` when there is another, `progressed(share)` while it is worked out.
    """

    changed = Signal()
    progressed = Signal(float)

    def __init__(
        self, session: Session, tasks: Tasks | None, folder: Path | None
    ) -> None:
        super().__init__()
        self._session = session
        self._tasks = tasks
        self._store = None if folder is None else kept_past(folder)
        self._last: dict[dt.date, Kept[PastWindows]] = {}
        self._running: dt.date | None = None

    @property
    def zone(self) -> dt.tzinfo:
        """The zone of the home whose windows these are."""
        return self._session.home.zone

    def told(self) -> Kept[PastWindows] | None:
        """Return the last good answer as on the day shown; None where there is none."""
        on = self._session.on
        if on not in self._last and self._store is not None:
            kept = self._store.read(self._session.book, on)
            if kept is not None:
                self._last[on] = kept
        return self._last.get(on)

    @property
    def is_current(self) -> bool:
        """Whether nothing was entered since the last good answer."""
        told = self.told()
        return told is not None and told.change == last_change(self._session.book)

    @property
    def is_running(self) -> bool:
        """Whether it is being worked out."""
        return self._running is not None

    def ask(self) -> None:
        """Work it out, unless it is current or under way."""
        session = self._session
        if self._running == session.on or self.is_current:
            return
        tasks = self._tasks
        token = None if tasks is None else tasks.token()
        job = LookJob(
            session.book.path, session.shelf, session.on, session.now(), token
        )
        if tasks is None:
            self._done(job.replay())
            return
        self._running = session.on
        tasks.run(
            job.replay,
            done=self._done,
            progressed=self.progressed.emit,
            topic=_TOPIC,
            token=token,
        )

    def stop(self) -> None:
        """Let it be for now: other work waits."""
        if self._tasks is not None and self._running is not None:
            self._tasks.cancel(_TOPIC)
            self._running = None

    def _done(self, found: Kept[PastWindows]) -> None:
        self._running = None
        on = found.answer.on
        self._last[on] = found
        if self._store is not None:
            book = self._session.book
            self._store.keep(book, on, found.answer, found.made_at, found.change)
        self.changed.emit()
