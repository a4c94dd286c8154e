"""Opening: the window where there can be one, text where there can't, the sample."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from rearing import __version__
from rearing.commands import sample as sample_command
from rearing.commands.sample import NAME, own_sample
from rearing.commands.screen import (
    EVERY_WINDOW,
    NO_SCREEN,
    WAYLAND_WINDOW,
    X_WINDOW,
    no_window_because,
    not_loadable,
)
from rearing.problems import StorageTrouble

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

X = {"DISPLAY": ":0"}


def everything_loads(library: str) -> bool:
    return True


def answers() -> bool:
    return True


def no_answer() -> bool:
    return False


def lacking(*libraries: str) -> Callable[[str], bool]:
    def loads(library: str) -> bool:
        return library not in libraries

    return loads


def test_without_a_screen_round_and_forecast_come_as_text(
    run: Ask, season_book: Path
) -> None:
    answer = run(season_book)
    assert (answer.code, answer.err) == (0, "")
    lines = answer.out.splitlines()
    assert lines[0] == NO_SCREEN
    assert lines[0] == "No screen here, so here is the round and the forecast as text."
    assert "Round of Saturday 12 June 2021 · Hiša na Robu" in lines
    assert "Forecast as on Saturday 12 June 2021 · Hiša na Robu" in lines
    later = run(season_book, "--on", "2021-06-14")
    assert "Round of Monday 14 June 2021 · Hiša na Robu" in later.out


def test_alone_and_without_a_screen_it_says_what_to_do(run: Ask) -> None:
    answer = run()
    assert answer.code == 0
    assert "rearing sample" in answer.out


def test_a_screen_that_does_not_answer_is_said(run: Ask, season_book: Path) -> None:
    answer = run(season_book, DISPLAY=":987")
    assert answer.code == 0
    assert answer.out.startswith("No screen answers at DISPLAY=:987, so here is the")
    assert "Round of" in answer.out


def test_a_file_that_is_no_book_is_refused_before_any_window(
    run: Ask, tmp_path: Path
) -> None:
    path = tmp_path / "letter.rearing"
    path.write_text("Dear diary\n" * 50)
    answer = run(path)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err == "letter.rearing is not a book. Nothing in it was touched.\n"


def test_the_version_is_told(ask: Ask) -> None:
    answer = ask("--version")
    assert (answer.code, answer.out) == (0, f"Rearing {__version__}\n")


@pytest.mark.parametrize("environment", [X, {"QT_QPA_PLATFORM": "xcb", **X}])
def test_with_a_screen_and_its_libraries_a_window_can_be_opened(
    environment: dict[str, str],
) -> None:
    because = no_window_because(
        "linux", environment, loads=everything_loads, answers=answers
    )
    assert because == ()


def test_missing_libraries_are_named_in_one_line_to_install() -> None:
    loads = lacking("libEGL.so.1", "libxcb-cursor.so.0", "libxkbcommon-x11.so.0")
    because = no_window_because("linux", X, loads=loads, answers=answers)
    commands = [line for line in because if "apt-get" in line]
    assert commands == ["    apt-get install libegl1 libxcb-cursor0 libxkbcommon-x11-0"]
    assert because[-1].endswith("here is the round and the forecast as text.")


def test_a_screen_of_memory_needs_no_x() -> None:
    memory = {"QT_QPA_PLATFORM": "offscreen"}
    none_of_x = lacking(*X_WINDOW, *WAYLAND_WINDOW)
    assert not no_window_because("linux", memory, loads=none_of_x, answers=no_answer)
    without_gl = lacking("libGL.so.1")
    because = no_window_because("linux", memory, loads=without_gl, answers=no_answer)
    assert "libgl1" in because[1]


def test_wayland_is_taken_where_its_socket_is_and_x_where_it_is_not(
    tmp_path: Path,
) -> None:
    (tmp_path / "wayland-0").touch()
    wayland = {"WAYLAND_DISPLAY": "wayland-0", "XDG_RUNTIME_DIR": str(tmp_path)}
    no_x, no_wayland = lacking(*X_WINDOW), lacking(*WAYLAND_WINDOW)
    assert not no_window_because("linux", wayland, loads=no_x, answers=no_answer)
    assert not no_window_because(
        "linux", wayland | X, loads=no_wayland, answers=answers
    )
    alone = no_window_because("linux", wayland, loads=no_wayland, answers=answers)
    assert "libwayland-cursor0" in alone[1]
    gone = {**wayland, "WAYLAND_DISPLAY": "wayland-9"}
    assert no_window_because("linux", gone, loads=everything_loads) == (NO_SCREEN,)


def test_other_systems_have_a_screen() -> None:
    assert no_window_because("win32", {}, loads=lacking(*EVERY_WINDOW)) == ()


def test_a_window_that_can_not_be_loaded_is_told_but_a_bug_is_not_hidden() -> None:
    told = not_loadable(ImportError("libodd.so.3: cannot open", name="PySide6.QtGui"))
    assert "libodd.so.3" in told[0]
    bug = ImportError("no such name", name="rearing.desk.app")
    with pytest.raises(ImportError):
        not_loadable(bug)


@pytest.fixture
def shipped(season_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Stand a small season in the place of the sample that is shipped, read-only."""
    folder = tmp_path / "shipped"
    folder.mkdir()
    shutil.copy(season_file, folder / NAME)
    (folder / NAME).chmod(0o444)
    monkeypatch.setattr(sample_command, "sample", folder.joinpath)
    return folder / NAME


def note_in(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE fact SET value = 'Mine' WHERE name = 'home'")
        connection.commit()


def home_in(path: Path) -> str:
    with closing(sqlite3.connect(path)) as connection:
        row = connection.execute("SELECT value FROM fact WHERE name = 'home'")
        return str(row.fetchone()[0])


def test_the_sample_is_copied_once_and_kept(
    shipped: Path, home: Path, ask: Ask
) -> None:
    path = own_sample(home)
    assert path == home / NAME
    note_in(path)
    assert own_sample(home) == path
    assert home_in(path) == "Mine"
    answer = ask("round", path)
    assert "Round of Saturday 12 June 2021 · Mine" in answer.out


def test_a_fresh_sample_keeps_the_one_written_in(shipped: Path, home: Path) -> None:
    path = own_sample(home)
    note_in(path)
    # As after a crash: the latest entries lie in a log beside the book.
    path.with_name(NAME + "-wal").write_bytes(b"")
    for number in (1, 2):
        assert own_sample(home, fresh=True) == path
        assert home_in(path) == "Hiša na Robu"
        kept = home / f"hisa-na-robu-earlier-{number}.rearing"
        assert kept.exists()
    assert home_in(home / "hisa-na-robu-earlier-1.rearing") == "Mine"
    assert not path.with_name(NAME + "-wal").exists()


def test_a_sample_that_was_not_shipped_is_said(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sample_command, "sample", tmp_path.joinpath)
    with pytest.raises(StorageTrouble, match="did not come with this installation"):
        own_sample(home)
    assert not home.exists()


def test_the_sample_opens_on_its_own_day(
    shipped: Path, ask: Ask, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    answer = ask("sample")
    assert (answer.code, answer.err) == (0, "")
    assert answer.out.startswith(NO_SCREEN)
    assert "Round of Saturday 12 June 2021" in answer.out
    assert (home / NAME).exists()


def test_the_shipped_sample_opens_full_and_is_sound(
    ask: Ask, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    answer = ask("sample")
    assert (answer.code, answer.err) == (0, "")
    assert "Round of Saturday 12 June 2021 · Hiša na Robu" in answer.out
    assert "[ ] B2" in answer.out
    check = ask("check", home / NAME)
    assert (check.code, check.err) == (0, "")
    assert check.out.endswith("Nothing is wrong.\n")
