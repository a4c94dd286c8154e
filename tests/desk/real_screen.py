"""A real X screen of its own, keys pressed on it, and pictures taken of it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
from time import monotonic
from typing import TYPE_CHECKING, TypeVar

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

T = TypeVar("T")

PROGRAMS = {"Xvfb": "xvfb", "xdotool": "xdotool", "import": "imagemagick"}
LIBRARIES = (
    "libxcb-cursor0 libxcb-icccm4 libxcb-image0 libxcb-keysyms1 libxcb-render-util0 "
    "libxcb-shape0 libxkbcommon-x11-0 libegl1 libgl1 libdbus-1-3 libfontconfig1"
)
WIDTH, HEIGHT = 1280, 800


def until(found: Callable[[], T], what: str, seconds: float = 20.0) -> T:
    """Ask again and again until there is an answer; fail with what was awaited."""
    pause, end = threading.Event(), monotonic() + seconds
    while not (answer := found()):
        if monotonic() > end:
            pytest.fail(f"waited {seconds:.0f} s for {what}")
        pause.wait(0.05)
    return answer


class Screen:
    """A virtual screen without a window manager."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        missing = [deb for name, deb in PROGRAMS.items() if not shutil.which(name)]
        if missing:
            pytest.fail(
                f"A real window needs: apt-get install {' '.join(missing)} {LIBRARIES}"
            )
        # Xvfb itself chooses a free display and writes its number. Without -noreset it
        # begins anew whenever its last client leaves, as each xdotool does that looks
        # for a window before there is one, and the program finds no screen meanwhile.
        reading, writing = os.pipe()
        self._server = subprocess.Popen(
            [
                *("Xvfb", "-displayfd", str(writing), "-nolisten", "tcp"),
                *("-noreset", "-screen", "0", f"{WIDTH}x{HEIGHT}x24"),
            ],
            pass_fds=(writing,),
            stderr=subprocess.DEVNULL,
        )
        os.close(writing)
        with os.fdopen(reading) as told:
            self.display = f":{told.readline().strip()}"
        self._programs: list[subprocess.Popen[str]] = []

    def start(self, arguments: Sequence[str], home: Path) -> subprocess.Popen[str]:
        """Start the program on this screen."""
        env = {
            **os.environ,
            "DISPLAY": self.display,
            "QT_QPA_PLATFORM": "xcb",
            "REARING_HOME": str(home),
        }
        program = subprocess.Popen(
            [sys.executable, "-m", "rearing", *arguments],
            env=env,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self._programs.append(program)
        return program

    def window(self, name: str) -> str:
        """Wait for a window by a part of its name, give it the keyboard."""

        def found() -> str:
            for program in self._programs:
                if program.poll() is not None:
                    pytest.fail(
                        f"The program ended with {program.returncode}: "
                        f"{program.communicate()[1]}\nQt needs: {LIBRARIES}"
                    )
            said = self._tell("search", "--onlyvisible", "--name", name, check=False)
            return said.split("\n")[0]

        window = until(found, f"a window called {name}")
        self._tell("windowfocus", "--sync", window)
        return window

    def press(self, *keys: str) -> None:
        """Press keys as xdotool names them: F, ctrl+z, Return."""
        self._tell("key", "--delay", "60", *keys)

    def type(self, words: str) -> None:
        """Type words."""
        self._tell("type", "--delay", "60", words)

    def shoot(self, path: Path) -> Path:
        """Take a picture of the whole screen."""
        subprocess.run(
            ["import", "-display", self.display, "-window", "root", str(path)],
            check=True,
            timeout=20,
        )
        return path

    def _tell(self, *arguments: str, check: bool = True) -> str:
        return subprocess.run(
            ["xdotool", *arguments],
            env={**os.environ, "DISPLAY": self.display},
            capture_output=True,
            text=True,
            check=check,
            timeout=30,
        ).stdout.strip()

    def close(self) -> None:
        """End what was started, then the screen."""
        for program in self._programs:
            if program.poll() is None:
                program.terminate()
            program.communicate(timeout=20)
        self._server.terminate()
        self._server.wait(timeout=20)
