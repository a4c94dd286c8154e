"""Work off the window's thread: an executor, and one signal that brings results back.

A job is given frozen rows and arrays, never a session, a model or a widget.
"""

from __future__ import annotations

import sys
import threading
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from enum import Enum, auto
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Qt, Signal

from rearing.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Callable

Result = TypeVar("Result")


class Lane(Enum):
    """Jobs of one lane follow each other: files in one, mathematics in the other."""

    FILES = auto()
    SCIENCE = auto()


class Token:
    """Lets a running job be cancelled, and lets it say how far it is."""

    def __init__(self, report: Callable[[Token, float], None]) -> None:
        self._stop = threading.Event()
        self._report = report

    def cancel(self) -> None:
        """Ask the job to stop; its result will not be delivered."""
        self._stop.set()

    def cancelled(self) -> bool:
        """Tell the job whether to stop; asked between chunks of work."""
        return self._stop.is_set()

    def progress(self, share: float) -> None:
        """Say how far the job is, 0 to 1; may be called from its own thread."""
        self._report(self, share)


@dataclass(frozen=True, slots=True, eq=False)
class _Job:
    token: Token
    topic: str
    done: Callable[..., object]
    failed: Callable[[Problem], object] | None
    progressed: Callable[[float], object] | None


class Tasks(QObject):
    """Runs jobs and delivers what they return on the window's thread.

    `busy_changed(busy)` when the first job starts and when the last is done.
    """

    busy_changed = Signal(bool)
    _finished = Signal(object, object)
    _progressed = Signal(object, float)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._lanes = {lane: ThreadPoolExecutor(1, lane.name) for lane in Lane}
        self._jobs: dict[Token, _Job] = {}
        # queued always: a job that ends before its callback is set is told of from
        # the window's own thread, and must not be delivered before `run` returns
        queued = Qt.ConnectionType.QueuedConnection
        self._finished.connect(self._deliver, queued)
        self._progressed.connect(self._tell_progress, queued)

    @property
    def busy(self) -> bool:
        """Whether anything is being worked on."""
        return bool(self._jobs)

    def token(self) -> Token:
        """Return a token to hand to a job that reports or can be cancelled."""
        return Token(self._progressed.emit)

    def run(  # noqa: PLR0913  # each says one thing the page decides
        self,
        job: Callable[[], Result],
        *,
        done: Callable[[Result], object],
        failed: Callable[[Problem], object] | None = None,
        progressed: Callable[[float], object] | None = None,
        lane: Lane = Lane.SCIENCE,
        topic: str = "",
        token: Token | None = None,
    ) -> Token:
        """Run `job` elsewhere, then call `done` here with what it returned.

        A Problem it raised goes to `failed`; anything else is a bug and goes to the
        crash page. A newer job with the same `topic` cancels the older one.
        """
        if topic:
            self.cancel(topic)
        token = token if token is not None else self.token()
        was_busy = self.busy
        self._jobs[token] = _Job(token, topic, done, failed, progressed)
        future = self._lanes[lane].submit(job)
        future.add_done_callback(partial(self._bring, token))
        if not was_busy:
            self.busy_changed.emit(True)
        return token

    def _bring(self, token: Token, future: Future[Result]) -> None:
        """Carry a finished future over; called in the job's own thread."""
        self._finished.emit(token, future)

    def cancel(self, topic: str) -> None:
        """Cancel whatever works on a topic."""
        for job in list(self._jobs.values()):
            if job.topic == topic:
                job.token.cancel()

    def close(self) -> None:
        """Cancel everything and wait until the threads have ended."""
        for job in self._jobs.values():
            job.token.cancel()
        for lane in self._lanes.values():
            lane.shutdown(wait=True, cancel_futures=True)
        self._jobs.clear()

    def _tell_progress(self, token: Token, share: float) -> None:
        job = self._jobs.get(token)
        if job is not None and job.progressed is not None and not token.cancelled():
            job.progressed(share)

    def _deliver(self, token: Token, future: Future[object]) -> None:
        job = self._jobs.pop(token, None)
        if job is None:
            return
        if not self._jobs:
            self.busy_changed.emit(False)
        if token.cancelled() or future.cancelled():
            return
        trouble = future.exception()
        if trouble is None:
            job.done(future.result())
        elif isinstance(trouble, Problem) and job.failed is not None:
            job.failed(trouble)
        else:
            sys.excepthook(type(trouble), trouble, trouble.__traceback__)
