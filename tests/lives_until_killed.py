"""Lives of a program that writes and writes and is killed: what runs in its process.

Each line on standard input is one life: what the work is told, parted by tabs, and last
the seconds until the kill. What the work says goes out a line each; then "killed" and
the signal. The program is loaded once and each life is a fork of it.
"""

from __future__ import annotations

import os
import signal
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


def live(work: Callable[..., None]) -> None:
    """Live every life that is asked for: `work` is given its words and never ends."""
    for order in sys.stdin:
        *words, seconds = order.rstrip("\n").split("\t")
        _live_and_die(work, words, float(seconds))


def say(line: object) -> None:
    """Print a line at once, past every buffer."""
    os.write(1, f"{line}\n".encode())


def _live_and_die(work: Callable[..., None], words: list[str], seconds: float) -> None:
    # Held back, so that a life that ends by itself is noticed and not killed.
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGCHLD})
    life = os.fork()
    if not life:
        try:
            work(*words)
        finally:
            os._exit(1)
    if signal.sigtimedwait({signal.SIGCHLD}, seconds) is None:
        os.kill(life, signal.SIGKILL)
        _, status = os.waitpid(life, 0)
        signal.sigtimedwait({signal.SIGCHLD}, 0)
        say(f"killed {os.WTERMSIG(status)}")
    else:
        os.waitpid(life, 0)
        say("ended by itself")
