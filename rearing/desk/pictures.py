"""Pictures brought to the window from elsewhere: asked for, awaited, kept a while."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage, QPainter

from rearing.desk.tasks import Lane
from rearing.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtGui import QColor

    from rearing.desk.tasks import Tasks, Token
    from rearing.records.pictures import Named

Result = TypeVar("Result")

_SMALL_KEPT, _LARGE_KEPT = 160, 3


@dataclass(frozen=True, slots=True)
class Asked:
    """A picture at a size: within so many pixels, or small where none are told."""

    named: Named
    width: int = 0
    height: int = 0


class Pictures(QObject):
    """Reads pictures off the window's thread; without `tasks`, at once.

    `arrived(named)` when one that was asked for can be had, or is known not to be.
    """

    arrived = Signal(object)

    def __init__(self, book: Path, tasks: Tasks | None) -> None:
        super().__init__()
        self.book = book
        self._tasks = tasks
        self._had: OrderedDict[Asked, QImage | str] = OrderedDict()
        self._waiting: dict[Asked, Token | None] = {}

    def small(self, named: Named) -> QImage | str | None:
        """Return a picture as in a strip, why there is none, or None while it comes."""
        return self._get(Asked(named))

    def large(self, named: Named, width: int, height: int) -> QImage | str | None:
        """Return a picture within so many pixels, as `small` does."""
        asked = Asked(named, max(width, 1), max(height, 1))
        if asked not in self._had:
            self._leave_other_sizes(asked)
        return self._get(asked)

    def _leave_other_sizes(self, asked: Asked) -> None:
        """Leave what was asked for while a window was being drawn larger or smaller."""
        for other in list(self._waiting):
            if other.width and other.named == asked.named and other != asked:
                token = self._waiting.pop(other)
                if token is not None:
                    token.cancel()

    def look_again(self) -> None:
        """Forget which could not be read: a folder may have come back meanwhile."""
        for asked in [key for key, had in self._had.items() if isinstance(had, str)]:
            del self._had[asked]

    def leave_waiting(self) -> None:
        """Read none of those that are still waited for: nobody looks at them now."""
        for token in self._waiting.values():
            if token is not None:
                token.cancel()
        self._waiting.clear()

    def work(
        self,
        job: Callable[[], Result],
        done: Callable[[Result], object],
        failed: Callable[[Problem], object],
    ) -> None:
        """Do a job with files elsewhere, then tell here; without tasks, at once."""
        if self._tasks is not None:
            self._tasks.run(job, done=done, failed=failed, lane=Lane.FILES)
            return
        try:
            result = job()
        except Problem as problem:
            failed(problem)
        else:
            done(result)

    def _get(self, asked: Asked) -> QImage | str | None:
        if asked in self._had:
            self._had.move_to_end(asked)
            return self._had[asked]
        if asked in self._waiting:
            return None
        done, failed = partial(self._came, asked), partial(self._failed, asked)
        if self._tasks is None:
            self._waiting[asked] = None
            self.work(_Read(self.book, asked, None).run, done, failed)
            return self._had.get(asked)
        token = self._tasks.token()
        self._waiting[asked] = token
        job = _Read(self.book, asked, token).run
        self._tasks.run(job, done=done, failed=failed, lane=Lane.FILES, token=token)
        return None

    def _came(self, asked: Asked, image: QImage | None) -> None:
        if image is not None:
            self._keep(asked, image)

    def _failed(self, asked: Asked, problem: Problem) -> None:
        self._keep(asked, problem.sentence)

    def _keep(self, asked: Asked, had: QImage | str) -> None:
        self._waiting.pop(asked, None)
        self._had[asked] = had
        most = _LARGE_KEPT if asked.width else _SMALL_KEPT
        alike = [key for key in self._had if bool(key.width) == bool(asked.width)]
        for oldest in alike[:-most]:
            del self._had[oldest]
        self.arrived.emit(asked.named)


class _Read:
    """Reads one picture, in a thread of its own."""

    def __init__(self, book: Path, asked: Asked, token: Token | None) -> None:
        self._book, self._asked, self._token = book, asked, token

    def run(self) -> QImage | None:
        """Return the picture; None where nobody waits for it any more."""
        if self._token is not None and self._token.cancelled():
            return None
        from rearing.records import pictures

        asked = self._asked
        if asked.width:
            size = {"width": asked.width, "height": asked.height}
            drawn = pictures.large(self._book, asked.named, **size)
        else:
            drawn = pictures.small(self._book, asked.named)
        # copied, since the bytes are Python's and the picture outlives them
        image = QImage(
            drawn.rgb,
            drawn.width,
            drawn.height,
            3 * drawn.width,
            QImage.Format.Format_RGB888,
        )
        return image.copy()


def dimmed(image: QImage, ink: QColor) -> QImage:
    """Return a picture in shades of one colour, none as bright as that ink.

    Green and blue light undo an hour of getting used to the dark, and so does a white
    page in whatever colour: it is made darker than what is written.
    """
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    shaded = grey.convertToFormat(QImage.Format.Format_RGB32)
    painter = QPainter(shaded)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Multiply)
    painter.fillRect(shaded.rect(), ink.darker(150))
    painter.end()
    return shaded
