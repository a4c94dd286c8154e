"""Wrong arguments and files: one sentence on stderr, exit 2, never a traceback."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from vega_datasets import local_data

from rearing.__main__ import main
from rearing.commands.arguments import COMMANDS
from tests.commands.conftest import ROOT

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

DAILY = Path(local_data.seattle_weather.filepath)


def assert_refused(answer: Answer, *words: str) -> None:
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.endswith("\n")
    assert answer.err.count("\n") == 1
    assert "Traceback" not in answer.err
    for word in words:
        assert word in answer.err


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (("round",), "still needed: BOOK"),
        (("forecast", "a", "b"), "not understood: b"),
        (("heat", "a.csv"), "still needed: --lower"),
        (("heat", "a.csv", "--lower"), "--lower needs a value"),
        (("heat", "a.csv", "--lower", "warm"), "--lower: “warm” is no temperature"),
        (("heat", "a.csv", "--lower", "nan"), "“nan” is no temperature"),
        (("heat", "a.csv", "--lower", "1", "--method", "x"), "“x” is none of average"),
        (("heat", "a.csv", "--lower", "1", "--cutoff", "x"), "none of horizontal"),
        (("heat", "a.csv", "--lower", "1", "--unit", "k"), "“k” is none of c, f"),
        (("heat", "a.csv", "--lower", "1"), "There is no file at a.csv"),
        (("fit", "."), ". is a folder, not a file"),
        (("fit", ""), "a name of a file is wanted"),
        (("round", "a", "--json=1"), "--json takes no value"),
        (("round", "a", "--js"), "not understood: --js"),
        (("round", "none.rearing"), "There is no file at none.rearing"),
        (("ronud",), "“ronud” is neither a book nor a command (sample, round,"),
        (("--nonsense",), "not understood: --nonsense"),
        (("check", os.devnull), "is not a file that lies on a disk"),
        (("round", "x" * 5000), "File name too long"),
    ],
)
def test_what_can_not_be_answered_is_refused(
    ask: Ask, argv: tuple[str, ...], words: str
) -> None:
    assert_refused(ask(*argv), words)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("soon", "is no date"),
        ("2021-02-30", "is no date"),
        ("3/4/2021", "can mean more than one day"),
        ("12 June", "can mean more than one day"),
        ("June 2021", "can mean more than one day"),
        ("Saturday", "can mean more than one day"),
        ("10:30", "can mean more than one day"),
        ("0001-01-01", "dates here run from 1800 to 2200"),
        ("9999-12-31", "dates here run from 1800 to 2200"),
        ("", "is no date"),
        ("2" * 200, "is no date"),
    ],
)
def test_days_that_are_none_or_several_are_refused(
    ask: Ask, season_book: Path, text: str, why: str
) -> None:
    assert_refused(ask("round", season_book, "--on", text), why)


@pytest.mark.parametrize(
    "text",
    [
        "2021-06-12",
        "20210612",
        "2021-W23-6",
        "12 June 2021",
        "June 12, 2021",
        "Sat 12 Jun 2021",
        "2021/6/25",
        "25/6/2021",
        "25.6.2021",
    ],
)
def test_days_are_read_as_a_keeper_writes_them(
    ask: Ask, season_book: Path, text: str
) -> None:
    answer = ask("round", season_book, "--on", text, "--json")
    assert answer.data["on"] in {"2021-06-12", "2021-06-25"}


@pytest.mark.parametrize("command", ["round", "forecast", "check"])
def test_books_that_are_none_are_refused_and_left_alone(
    ask: Ask, tmp_path: Path, command: str
) -> None:
    path = tmp_path / "Season.rearing"
    for content in (b"", b"SQLite format 3\x00", os.urandom(5000), b"text\n" * 100):
        path.write_bytes(content)
        assert_refused(ask(command, path), "is not a book")
        assert path.read_bytes() == content
        assert [found.name for found in tmp_path.glob("Season*")] == [path.name]
    assert_refused(ask(command, tmp_path), "is a folder")
    assert_refused(ask(command, DAILY), "is not a book")


def test_a_read_only_book_is_refused(ask: Ask, season_book: Path) -> None:
    season_book.chmod(0o444)
    assert_refused(ask("round", season_book), "read-only")


@pytest.mark.parametrize("command", [("heat", "--lower", "10"), ("fit",)])
def test_files_that_are_no_tables_are_refused(
    ask: Ask, tmp_path: Path, season_book: Path, command: tuple[str, ...]
) -> None:
    name, *rest = command
    path = tmp_path / "odd.csv"
    odd = (b"", b"\n" * 9, os.urandom(9000), b"\0" * 500, b"PK\x03\x04" + b"x" * 90)
    for content in (*odd, "Dear diary\n".encode("utf-16")):
        path.write_bytes(content)
        assert_refused(ask(name, path, *rest), "odd.csv")
    assert_refused(ask(name, season_book, *rest), "is a database")


def test_a_label_can_not_steer_the_terminal(ask: Ask) -> None:
    answer = ask("forecast", "a\x1b[31m\nb")
    assert_refused(answer)
    assert "\x1b" not in answer.err


WORDS = st.one_of(
    st.sampled_from(
        [
            *COMMANDS,
            *("--on", "--json", "--all", "--brood", "--lower", "--upper", "--unit"),
            *("--method", "--cutoff", "--zone", "--series", "--day-first", "f", "c"),
            *("10", "-5", "1e400", "hourly", "average", "vertical", "2021-06-12"),
            *("B21-01", "Europe/Ljubljana", "UTC+25", "../..", "BOOK", "FILE", "--"),
        ]
    ),
    st.text(max_size=12),
)


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(words=st.lists(WORDS, max_size=8))
def test_nothing_that_can_be_typed_ends_in_a_traceback(
    words: list[str], season_book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    put = {"BOOK": str(season_book), "FILE": str(DAILY)}
    argv = [put.get(word, word) for word in words]
    if not argv or argv[0] not in {*COMMANDS} - {"sample"}:
        argv = ["round", *argv]  # a window is not opened here
    code = main(argv)
    out, err = capsys.readouterr()
    assert code in {0, 1, 2}
    if code == 2:
        assert out == ""
        assert err.count("\n") == 1


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(content=st.one_of(st.binary(max_size=300), st.text(max_size=300)))
def test_no_file_ends_in_a_traceback(
    content: bytes | str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "any.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    for argv in (["heat", str(path), "--lower", "5"], ["fit", str(path)]):
        assert main(argv) in {0, 2}
        assert "Traceback" not in capsys.readouterr().err


def test_a_pipe_that_is_closed_early_is_no_trouble() -> None:
    shell = shutil.which("bash")
    assert shell
    command = f"{sys.executable} -m rearing heat '{DAILY}' --lower 5 --unit c"
    done = subprocess.run(
        [shell, "-c", f"{command} | head -n 1; echo ${{PIPESTATUS[0]}}"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout.splitlines() == [f"Degree-days of {DAILY.name}", "0"]
    assert done.stderr == ""


def test_a_full_disk_is_told_in_a_sentence() -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", *f"rearing heat {DAILY} --lower 5 --unit c".split()],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr == "It could not be done: No space left on device.\n"


class Interrupting:
    """A stdout whose reader presses Ctrl+C at the first line."""

    encoding = "utf-8"

    def write(self, text: str) -> int:
        raise KeyboardInterrupt

    def flush(self) -> None:
        """Do nothing."""


def test_an_interrupt_stops_quietly(
    season_book: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(sys, "stdout", Interrupting())
    assert main(["round", str(season_book)]) == 130
    assert capsys.readouterr().err == "Stopped.\n"


def test_a_bug_is_told_without_a_traceback(run: Ask, season_book: Path) -> None:
    """A day in the book that is none can only come from outside the verbs."""
    with closing(sqlite3.connect(season_book)) as connection:
        connection.execute("UPDATE fact SET value = 'x' WHERE name = 'as on'")
        connection.commit()
    answer = run("round", season_book)
    assert answer.code != 0
    assert "Rearing met something it did not expect" in answer.err
    assert "Traceback" not in answer.err
    details = run("round", season_book, REARING_DETAILS="1")
    assert "Traceback" in details.err
