"""The troubles a person may meet, each with the sentence that person reads.

::

    Problem
    ├── Refusal            the keeper can mend it: a field, a date, a code
    │   └── AskFirst       allowed, but only after a yes
    ├── UnreadableFile     a file that came in can't be understood
    ├── BrokenSheet        a species sheet with a wrong or missing key
    ├── Cancelled          the keeper stopped a long job; nothing of it was kept
    └── StorageTrouble     the book itself
        ├── NotABook
        ├── NewerBook
        ├── ReadOnlyBook
        └── LockedBook

Anything else that is raised is a bug and ends on the crash page.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


class Problem(Exception):  # noqa: N818 - told to a keeper, not an "error"
    """A trouble told in words meant for the keeper: what happened, what is safe."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class Refusal(Problem):
    """An entry that can't be taken as it stands; `field` names what to mend."""

    def __init__(self, sentence: str, *, field: str | None = None) -> None:
        super().__init__(sentence)
        self.field = field


class AskFirst(Refusal):
    """An entry that is taken when the keeper says yes (pass ``sure=True``)."""


class UnreadableFile(Problem):
    """A file handed to the program that it could not understand."""


class BrokenSheet(Problem):
    """A species sheet that breaks its form: file, key and reason."""

    def __init__(self, path: Path, key: str, reason: str) -> None:
        super().__init__(f"Species sheet {path.name}, {key}: {reason}")
        self.path = path
        self.key = key
        self.reason = reason


class Cancelled(Problem):
    """A long job that the keeper stopped; nothing of it was kept."""


class StorageTrouble(Problem):
    """The book could not be opened or written; nothing in it was changed."""


class NotABook(StorageTrouble):
    """The file is something else."""


class NewerBook(StorageTrouble):
    """The book was made by a newer program."""


class ReadOnlyBook(StorageTrouble):
    """The book may be read but not written."""


class LockedBook(StorageTrouble):
    """Another program holds the book."""
