"""Killing a program over and over at random moments, and looking what is left."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import rearing

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import ModuleType

LONGEST_S = 1.0


def kill_often(
    program: ModuleType,
    told: tuple[object, ...],
    check: Callable[[set[int], int], int],
    *,
    kills: int,
    seed: int,
) -> set[int]:
    """Let a program live and die, and return the numbers it said it had written.

    A life is told `told`, then how many were written before. `check` is given all that
    was said and the number of the kill, and returns how many it finds written.
    """
    rng = random.Random(seed)
    said: set[int] = set()
    written = lives_with_some = 0
    longest_s = 0.1
    with _started(program) as process:
        for kill in range(kills):
            words = (*told, written, rng.uniform(0.0, longest_s))
            seen = _one_life(process, "\t".join(map(str, words)))
            lives_with_some += bool(seen)
            # long enough for one or two, on a busy machine too
            longest_s = min(longest_s * (0.8 if len(seen) > 4 else 1.25), LONGEST_S)
            said |= seen
            written = check(said, kill)
    assert lives_with_some >= kills // 4
    assert written >= len(said)
    return said


def _started(program: ModuleType) -> subprocess.Popen[str]:
    assert program.__file__ is not None
    return subprocess.Popen(
        [sys.executable, program.__file__],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(Path(rearing.__file__).parents[1])},
    )


def _one_life(process: subprocess.Popen[str], order: str) -> set[int]:
    """Have it live once and die, and return what it said."""
    assert process.stdin is not None
    assert process.stdout is not None
    process.stdin.write(f"{order}\n")
    process.stdin.flush()
    seen: set[int] = set()
    for line in process.stdout:
        if not line.strip().isdigit():
            assert line == "killed 9\n"
            return seen
        seen.add(int(line))
    raise AssertionError("the program itself ended")
