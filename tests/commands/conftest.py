"""Books, answers and files for the tests of the command line."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from rearing.__main__ import main
from tests.commands.small_season import make_season

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command wrote and its exit code."""

    code: int
    out: str
    err: str

    @property
    def data(self) -> Any:
        return json.loads(self.out)


Ask = "Callable[..., Answer]"


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep the tests out of the data folder of whoever runs them."""
    folder = tmp_path / "home"
    monkeypatch.setenv("REARING_HOME", str(folder))
    monkeypatch.setenv("COLUMNS", "96")
    return folder


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str]) -> Callable[..., Answer]:
    """Return the command line, called in this process."""

    def call(*argv: object) -> Answer:
        code = main([str(word) for word in argv])
        return Answer(code, *capsys.readouterr())

    return call


@pytest.fixture
def run() -> Callable[..., Answer]:
    """Return the command line as a process of its own, without a screen."""

    def call(*argv: object, **environment: str) -> Answer:
        hidden = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
        kept = {key: value for key, value in os.environ.items() if key not in hidden}
        done = subprocess.run(
            [sys.executable, "-m", "rearing", *map(str, argv)],
            cwd=ROOT,
            env=kept | environment,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )
        return Answer(done.returncode, done.stdout, done.stderr)

    return call


@pytest.fixture(scope="session")
def season_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the small season once; the tests work on copies of its closed file."""
    path = tmp_path_factory.mktemp("season") / "Season.rearing"
    make_season(path)
    return path


@pytest.fixture
def season_book(season_file: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(season_file, tmp_path / "Season.rearing"))
