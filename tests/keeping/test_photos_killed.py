"""Killed between a picture and its line: nothing is lost, the odd file is told of."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

from rearing.keeping.photos import photos_of, pictures_spoken_of
from rearing.records.book import Book
from rearing.records.pictures import find, folder_of, look_over
from tests.keeping import photos_until_killed
from tests.keeping.photos_until_killed import NOW, content
from tests.kills import kill_often

if TYPE_CHECKING:
    from tests.keeping import karst_book

KILLS = 40


def test_forty_kills_lose_no_photo_that_was_put_in(
    tmp_path: Path, filled: tuple[Path, karst_book.Ids]
) -> None:
    path, box = Path(shutil.copy(filled[0], tmp_path)), filled[1].box

    def check(confirmed: set[int], _: int) -> int:
        return _check(path, box, confirmed)

    kill_often(photos_until_killed, (path, box), check, kills=KILLS, seed=20210624)


def _check(path: Path, box: int, confirmed: set[int]) -> int:
    """Check book and folder as they were left; return how many photos are in it."""
    with Book.open(path) as book:
        assert book.unsound() == ()
        photos = photos_of(book, "box", box, NOW.date())
        numbers = sorted(int(photo.caption) for photo in photos)
        assert confirmed <= set(numbers)
        assert numbers == list(range(len(numbers)))
        wrong = look_over(path, pictures_spoken_of(book))
        assert (wrong.missing, wrong.altered) == ((), ())
        _check_files(path, len(numbers), wrong.without_row)
        for photo in photos[:2]:
            file = find(path, photo.named)
            assert file is not None
            assert file.read_bytes() == content(int(photo.caption))
    return len(numbers)


def _check_files(path: Path, following: int, odd: tuple[str, ...]) -> None:
    """A file without a line is one cut off in writing, or whole and put in next."""
    whole = [name for name in odd if not name.endswith(".unfinished")]
    digest = hashlib.sha256(content(following)).hexdigest()
    assert whole in ([], [f"{digest[:2]}/{digest}.jpg"])
    for name in whole:
        file = folder_of(path) / name
        assert file.read_bytes() == content(following)
