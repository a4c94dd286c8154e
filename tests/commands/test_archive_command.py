"""The archive written from the command line, and what it refuses."""

from __future__ import annotations

import csv
import zipfile
from typing import TYPE_CHECKING

import pytest
from dwca.read import DwCAReader

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]


def test_the_archive_opens_elsewhere(
    ask: Ask, season_book: Path, tmp_path: Path
) -> None:
    out = tmp_path / "nights.zip"
    answer = ask("archive", season_book, out)
    assert answer.code == 0
    assert answer.out.startswith("Wrote 2 lamp nights with 2 moths to ")
    with DwCAReader(str(out)) as archive:
        assert len(list(archive)) == 4
        assert archive.metadata.findtext("dataset/title") == (
            "Lamp nights of Hiša na Robu"
        )
    assert ask("archive", season_book, out).code == 0


def test_rounded_on_request(ask: Ask, season_book: Path, tmp_path: Path) -> None:
    out = tmp_path / "nights.zip"
    ask("archive", season_book, out, "--round", "0.1")
    with zipfile.ZipFile(out) as archive:
        text = archive.read("event.csv").decode()
    assert "45.53" not in text
    assert "coordinates rounded to 0.1 degrees" in text


def test_one_plain_table(ask: Ask, season_book: Path, tmp_path: Path) -> None:
    out = tmp_path / "nights.csv"
    ask("archive", season_book, out, "--on", "2021-05-20")
    with out.open(encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file)
    assert (row["evening"], row["taxon"]) == ("2021-05-07", "Aglia tau")


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (("out.txt",), "ends neither in .zip"),
        ((), "still needed: OUT"),
        (("out.zip", "--round", "0"), "is no step"),
        (("out.zip", "--round", "x"), "is no number of degrees"),
        (("nowhere/at/all/out.zip",), "There is no folder"),
    ],
)
def test_what_can_not_be_written_is_refused(
    ask: Ask, season_book: Path, argv: tuple[str, ...], words: str
) -> None:
    answer = ask("archive", season_book, *argv)
    assert (answer.code, answer.out) == (2, "")
    assert words in answer.err


def test_the_book_itself_is_never_written_over(
    ask: Ask, season_book: Path, tmp_path: Path
) -> None:
    disguised = season_book.rename(tmp_path / "book.zip")
    before = disguised.read_bytes()
    answer = ask("archive", disguised, disguised)
    assert (answer.code, disguised.read_bytes()) == (2, before)
    assert "not touched" in answer.err
