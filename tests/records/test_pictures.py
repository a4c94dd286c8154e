"""Pictures beside a book: whole or not at all, never overwritten, found again."""

from __future__ import annotations

import datetime as dt
import errno
import hashlib
import os
from typing import TYPE_CHECKING

import pytest

from rearing.problems import ReadOnlyBook, StorageTrouble, UnreadableFile
from rearing.records import pictures
from rearing.records.pictures import Named
from tests.records.drawn_pictures import picture

if TYPE_CHECKING:
    from pathlib import Path

GREEN = picture(shade="green")
RED = picture(shade="red")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "Season.rearing"


def put(book: Path, data: bytes) -> Named:
    return pictures.put(book, pictures.offer(data))


def lying(book: Path) -> list[str]:
    folder = pictures.folder_of(book)
    return sorted(
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file()
    )


def test_a_picture_lies_under_the_hash_of_its_content(book: Path) -> None:
    named = put(book, GREEN)

    digest = hashlib.sha256(GREEN).hexdigest()
    assert lying(book) == [f"{digest[:2]}/{digest}.jpg"]
    assert named == Named(digest, ".jpg")
    found = pictures.find(book, named)
    assert found is not None
    assert found.read_bytes() == GREEN


def test_the_same_picture_twice_is_one_file(book: Path, tmp_path: Path) -> None:
    renamed = tmp_path / "Copy of IMG_0001.JPG"
    renamed.write_bytes(GREEN)

    first = put(book, GREEN)
    path = pictures.find(book, first)
    assert path is not None
    written = path.stat().st_mtime_ns
    second = pictures.put(book, pictures.offer(renamed))

    assert second == first
    assert len(lying(book)) == 1
    assert path.stat().st_mtime_ns == written


def test_a_file_is_offered_with_the_moment_it_was_written(tmp_path: Path) -> None:
    file = tmp_path / "IMG.jpg"
    file.write_bytes(GREEN)
    os.utime(file, (1_623_500_000, 1_623_500_000))

    offered = pictures.offer(file)

    assert offered.file_day == dt.datetime(2021, 6, 12, 12, 13, 20, tzinfo=dt.UTC)
    assert offered.name == "IMG.jpg"


def test_a_file_that_was_changed_meanwhile_is_not_put_in(
    book: Path, tmp_path: Path
) -> None:
    file = tmp_path / "IMG.jpg"
    file.write_bytes(GREEN)
    offered = pictures.offer(file)
    file.write_bytes(RED)

    with pytest.raises(UnreadableFile, match="changed meanwhile"):
        pictures.put(book, offered)
    assert not pictures.folder_of(book).exists()


def test_a_missing_file_is_told_of_in_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match=r"^IMG\.jpg can't be read: No such file"):
        pictures.offer(tmp_path / "IMG.jpg")
    with pytest.raises(UnreadableFile, match="can't be read: Is a directory"):
        pictures.offer(tmp_path)


def test_a_file_too_large_is_not_even_read(tmp_path: Path) -> None:
    file = tmp_path / "film.tif"
    with file.open("wb") as hollow:
        hollow.truncate(300_000_000)

    with pytest.raises(UnreadableFile, match="larger than 200 MB"):
        pictures.offer(file)


def test_nothing_is_left_where_the_disk_is_full(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)

    with pytest.raises(StorageTrouble, match=r"The disk is full.* is as it was"):
        put(book, GREEN)
    assert lying(book) == []


def test_a_folder_that_can_t_be_written_is_told_of(book: Path) -> None:
    # a file where the folder should be: this stops even the machine's own master
    pictures.folder_of(book).write_text("in the way")

    with pytest.raises(StorageTrouble, match=r"Season\.pictures .* can't be written"):
        put(book, GREEN)


def test_a_read_only_folder_is_told_of_as_such(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_handle: int) -> None:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(os, "fsync", refuse)

    with pytest.raises(ReadOnlyBook, match="Read-only file system"):
        put(book, GREEN)


def test_a_spoilt_file_makes_room_for_the_sound_one_and_is_kept(book: Path) -> None:
    named = put(book, GREEN)
    path = pictures.folder_of(book) / named.path
    for rot in (b"rot", b"more rot"):
        path.write_bytes(rot)
        assert put(book, GREEN) == named

    assert path.read_bytes() == GREEN
    assert path.with_name(f"{path.name}.spoilt").read_bytes() == b"rot"
    assert path.with_name(f"{path.name}.spoilt2").read_bytes() == b"more rot"


def test_a_small_picture_is_made_once_and_can_be_made_again(book: Path) -> None:
    named = put(book, picture((900, 600)))

    first = pictures.small(book, named)
    kept = pictures.folder_of(book) / "small" / named.content[:2]
    (file,) = kept.iterdir()
    assert (first.width, first.height) == (320, 213)
    file.write_bytes(b"rot")
    assert pictures.small(book, named) == first
    file.unlink()
    assert pictures.small(book, named) == first
    assert file.is_file()


def test_a_picture_is_shown_where_nothing_can_be_written(book: Path) -> None:
    named = put(book, picture((900, 600)))
    (pictures.folder_of(book) / "small").write_text("in the way")

    assert pictures.small(book, named).width == 320


def test_a_picture_is_shown_as_large_as_the_frame(book: Path) -> None:
    named = put(book, picture((900, 600)))

    drawn = pictures.large(book, named, width=450, height=450)

    assert (drawn.width, drawn.height) == (450, 300)


def test_a_missing_picture_says_what_to_do(book: Path) -> None:
    named = Named("ab" * 32, ".jpg")

    with pytest.raises(UnreadableFile, match=r"not in Season\.pictures.*goes with"):
        pictures.small(book, named)
    with pytest.raises(UnreadableFile, match=r"not in Season\.pictures.*goes with"):
        pictures.large(book, named, width=10, height=10)


def test_looking_over_finds_what_is_missing_altered_and_unspoken_of(
    book: Path,
) -> None:
    sound, spoilt, unspoken = (put(book, x) for x in (GREEN, RED, picture((9, 9))))
    gone = Named("ab" * 32, ".jpg")
    pictures.small(book, sound)
    (pictures.folder_of(book) / spoilt.path).write_bytes(b"rot")

    found = pictures.look_over(book, [sound, spoilt, gone])

    assert found.missing == (gone.path,)
    assert found.altered == (spoilt.path,)
    assert found.without_row == (unspoken.path,)


def test_looking_over_a_book_without_pictures_finds_nothing(book: Path) -> None:
    assert pictures.look_over(book, []) == pictures.Wrong((), (), ())


def test_a_copy_takes_the_pictures_it_speaks_of(book: Path, tmp_path: Path) -> None:
    wanted, other = put(book, GREEN), put(book, RED)
    copy = tmp_path / "stick" / "Season 2021.rearing"
    copy.parent.mkdir()

    assert pictures.copy_beside(book, copy, [wanted, wanted]) == 1
    assert pictures.copy_beside(book, copy, [wanted]) == 1

    found = pictures.find(copy, wanted)
    assert found == tmp_path / "stick" / "Season 2021.pictures" / wanted.path
    assert pictures.find(copy, other) is None


def test_a_copy_that_is_stopped_takes_no_further_picture(
    book: Path, tmp_path: Path
) -> None:
    wanted = [put(book, GREEN), put(book, RED)]
    copy = tmp_path / "copy.rearing"
    answers = iter([True, False])

    done = pictures.copy_beside(book, copy, wanted, goes_on=lambda: next(answers))

    assert done == 1
    assert pictures.find(copy, wanted[1]) is None


def test_a_daily_copy_finds_the_pictures_beside_its_book(book: Path) -> None:
    named = put(book, GREEN)
    daily = book.parent / "Season copies" / "Season 2021-06-12 073000 daily.rearing"

    assert pictures.find(daily, named) == pictures.folder_of(book) / named.path
    elsewhere = book.parent / "Other copies" / "Season 2021-06-12 daily.rearing"
    assert pictures.find(elsewhere, named) is None
