"""Pictures beside the book: each a file named by its content, never overwritten.

`Season.rearing` has them in `Season.pictures`, as `ab/abcd….jpg` by the SHA-256 of
what is in the file, with small ones in `small` that can be made again at any time. A
picture is on the disk before the book speaks of it; taking an entry back leaves it
there. The daily copies hold no pictures: the files beside the book never change, and
a copy finds them. A copy made on purpose takes along those it speaks of.
"""

from __future__ import annotations

import datetime as dt
import errno
import hashlib
import os
import secrets
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.problems import ReadOnlyBook, StorageTrouble, UnreadableFile
from rearing.records.copies import FOLDER as COPIES
from rearing.records.engine import refuse_open_book
from rearing.records.picture_files import (
    LARGEST_BYTES,
    Drawn,
    Seen,
    draw,
    see,
    small_file,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

SMALL_SIDE = 320
"""Longest side of a small picture [px]: sharp in a strip, on a fine screen too."""
_SMALL = "small"
_UNFINISHED = ".unfinished"
_SPOILT = ".spoilt"


@dataclass(frozen=True, slots=True)
class Named:
    """A picture as the book speaks of it: its content and the ending of its file."""

    content: str
    suffix: str

    @property
    def path(self) -> str:
        """Where it lies within a folder of pictures."""
        return f"{self.content[:2]}/{self.content}{self.suffix}"


@dataclass(frozen=True, slots=True)
class Offered:
    """A picture that was looked at and may be put beside the book."""

    name: str
    source: Path | bytes
    """A file is read again when it is put in: a hundred would fill the memory."""
    content: str
    size: int
    seen: Seen
    file_day: dt.datetime | None
    """When the file itself was last written; None where it came from no file."""

    @property
    def named(self) -> Named:
        """What it is called in the book."""
        return Named(self.content, self.seen.suffix)


@dataclass(frozen=True, slots=True)
class Wrong:
    """What is not as it should be in a folder of pictures, by the files' names."""

    missing: tuple[str, ...]
    altered: tuple[str, ...]
    without_row: tuple[str, ...]


def folder_of(book: Path) -> Path:
    """Return the folder of the pictures beside a book; it may not exist yet."""
    return book.parent / f"{book.stem}.pictures"


def offer(source: Path | bytes, name: str = "The picture") -> Offered:
    """Read a file (or what was pasted) and understand it as a picture.

    Raises UnreadableFile, and touches nothing.
    """
    if isinstance(source, bytes):
        return _offered(name, source, source, None)
    name = source.name
    refuse_open_book(source)
    try:
        told = source.stat()
        if told.st_size > LARGEST_BYTES:
            most = LARGEST_BYTES // 1_000_000
            raise UnreadableFile(
                f"{name} is larger than {most} MB. It was not put in; a smaller copy "
                "of it can be."
            )
        data = source.read_bytes()
    except OSError as trouble:
        raise UnreadableFile(
            f"{name} can't be read: {trouble.strerror or trouble}. It was not put in."
        ) from trouble
    written = dt.datetime.fromtimestamp(told.st_mtime, dt.UTC)
    return _offered(name, source, data, written)


def _offered(
    name: str, source: Path | bytes, data: bytes, written: dt.datetime | None
) -> Offered:
    content = hashlib.sha256(data).hexdigest()
    return Offered(name, source, content, len(data), see(data, name), written)


def put(book: Path, offered: Offered) -> Named:
    """Put a picture beside the book, whole or not at all; return what it is called.

    The same picture a second time is the same file. Raises StorageTrouble, or
    UnreadableFile where the file is no longer what was looked at.
    """
    named = offered.named
    source = offered.source
    data = source if isinstance(source, bytes) else _read(source)
    if hashlib.sha256(data).hexdigest() != offered.content:
        raise UnreadableFile(
            f"{offered.name} was changed meanwhile. It was not put in; look again."
        )
    folder = folder_of(book)
    into = folder / named.path
    with _told_plainly(folder, offered.name):
        if into.exists():
            if _content(into) == named.content:
                return named
            # kept, in case more than nothing is left in it, but out of the way
            into.replace(_free(into.with_name(into.name + _SPOILT)))
        _write(into, data)
    return named


def find(book: Path, named: Named) -> Path | None:
    """Return where a picture lies, None where it does not.

    A copy in the folder of copies looks beside the book that it is a copy of too.
    """
    places = [folder_of(book)]
    before, is_copies, rest = book.parent.name.rpartition(f" {COPIES}")
    if is_copies and not rest:
        places.append(book.parent.parent / f"{before}.pictures")
    for folder in places:
        path = folder / named.path
        if path.is_file():
            return path
    return None


def small(book: Path, named: Named) -> Drawn:
    """Return a picture as it stands in a strip; a small file of it is made once.

    Raises UnreadableFile where the picture is missing or spoilt.
    """
    path = find(book, named)
    if path is None:
        raise UnreadableFile(missing_words(book))
    kept = path.parents[1] / _SMALL / named.content[:2] / f"{named.content}.jpg"
    side = SMALL_SIDE
    with suppress(OSError, UnreadableFile):
        return draw(kept.read_bytes(), kept.name, width=side, height=side)
    made = small_file(_read(path), path.name, side=side)
    with suppress(OSError):  # shown all the same where nothing can be written
        _write(kept, made)
    return draw(made, path.name, width=side, height=side)


def large(book: Path, named: Named, *, width: int, height: int) -> Drawn:
    """Return a picture as large as fits into a frame.

    Raises UnreadableFile where the picture is missing or spoilt.
    """
    path = find(book, named)
    if path is None:
        raise UnreadableFile(missing_words(book))
    return draw(_read(path), path.name, width=width, height=height)


def missing_words(book: Path) -> str:
    """Return what to do about a picture that is not where it should be."""
    return (
        f"The picture is not in {folder_of(book).name}. Where the book was moved or "
        "named anew, its folder of pictures goes with it."
    )


def look_over(book: Path, spoken_of: Iterable[Named]) -> Wrong:
    """Return which pictures are missing or altered, and which files have no row."""
    folder = folder_of(book)
    wanted = {named.path: named for named in spoken_of}
    missing, altered = [], []
    for path, named in sorted(wanted.items()):
        found = find(book, named)
        if found is None:
            missing.append(path)
        elif _content(found) != named.content:
            altered.append(path)
    there = [] if not folder.is_dir() else _files(folder)
    return Wrong(
        tuple(missing), tuple(altered), tuple(sorted(set(there) - set(wanted)))
    )


def copy_beside(
    book: Path,
    copy: Path,
    spoken_of: Iterable[Named],
    *,
    goes_on: Callable[[], bool] = lambda: True,
) -> int:
    """Put the pictures that a copy of the book speaks of beside that copy.

    Returns how many lie there. Raises StorageTrouble, after which the copy itself
    stands all the same. `goes_on` is asked before each picture.
    """
    folder = folder_of(copy)
    done = 0
    for named in dict.fromkeys(spoken_of):
        source = find(book, named)
        if source is None or not goes_on():
            continue
        into = folder / named.path
        with _told_plainly(folder, source.name):
            if not into.exists():
                _write(into, source.read_bytes())
        done += 1
    return done


def _files(folder: Path) -> list[str]:
    small_ones = folder / _SMALL
    return [
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and small_ones not in path.parents
    ]


def _content(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as trouble:
        raise UnreadableFile(
            f"{path.name} can't be read: {trouble.strerror or trouble}."
        ) from trouble


def _free(path: Path) -> Path:
    """Return a path nothing lies at: nothing is overwritten here."""
    number, free = 1, path
    while free.exists():
        number += 1
        free = path.with_name(f"{path.name}{number}")
    return free


def _write(into: Path, data: bytes) -> None:
    """Write a file under another name, have it on the disk, then give it its name."""
    into.parent.mkdir(parents=True, exist_ok=True)
    # two keepers may put the same picture in at the same moment
    own = f"{into.name}.{secrets.token_hex(4)}{_UNFINISHED}"
    unfinished = into.with_name(own)
    try:
        with unfinished.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(into)
        _settle(into.parent)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise


def _settle(folder: Path) -> None:
    """Have the name itself on the disk, where folders can be synced."""
    for one in (folder, folder.parent):
        with suppress(OSError):
            handle = os.open(one, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)


@contextmanager
def _told_plainly(folder: Path, name: str) -> Iterator[None]:
    try:
        yield
    except OSError as trouble:
        if trouble.errno in {errno.ENOSPC, errno.EDQUOT}:
            raise StorageTrouble(
                f"The disk is full. {name} was not put in, and the book is as it was. "
                "Free some space and put it in again."
            ) from trouble
        kind = StorageTrouble
        if trouble.errno in {errno.EACCES, errno.EPERM, errno.EROFS}:
            kind = ReadOnlyBook
        raise kind(
            f"{folder.name} beside the book can't be written "
            f"({trouble.strerror or trouble}). {name} was not put in, and the book is "
            "as it was."
        ) from trouble
