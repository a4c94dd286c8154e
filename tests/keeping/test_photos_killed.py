"""Killed between a picture and its line: nothing is lost, the odd file is told of."""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import rearing
from rearing.keeping.photos import photos_of, pictures_spoken_of
from rearing.records.book import Book
from rearing.records.pictures import find, folder_of, look_over
from tests.keeping import photos_until_killed
from tests.keeping.photos_until_killed import NOW, content

if TYPE_CHECKING:
    from tests.keeping import karst_book

KILLS = 40


def test_forty_kills_lose_no_photo_that_was_put_in(
    tmp_path: Path, filled: tuple[Path, karst_book.Ids]
) -> None:
    path, box = Path(shutil.copy(filled[0], tmp_path)), filled[1].box
    rng = random.Random(20210624)
    confirmed: set[int] = set()
    written = lives_with_photos = 0
    longest_s = 0.1
    with _keepers() as keepers:
        for _ in range(KILLS):
            life_s = rng.uniform(0.0, longest_s)
            seen = _one_life(keepers, f"{path}\t{box}\t{written}\t{life_s}\n")
            lives_with_photos += bool(seen)
            longest_s *= 0.8 if len(seen) > 4 else 1.25
            longest_s = min(longest_s, 1.0)
            confirmed |= seen
            written = _check(path, box, confirmed)

    assert lives_with_photos >= KILLS // 4


def _keepers() -> subprocess.Popen[str]:
    root = str(Path(rearing.__file__).parents[1])
    return subprocess.Popen(
        [sys.executable, photos_until_killed.__file__],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": root},
    )


def _one_life(keepers: subprocess.Popen[str], order: str) -> set[int]:
    """Have one keeper live and die, and return what it had confirmed."""
    assert keepers.stdin is not None
    assert keepers.stdout is not None
    keepers.stdin.write(order)
    keepers.stdin.flush()
    seen: set[int] = set()
    for line in keepers.stdout:
        if not line.strip().isdigit():
            assert line == "killed 9\n"
            return seen
        seen.add(int(line))
    raise AssertionError("the keepers' own process ended")


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
