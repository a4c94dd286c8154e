"""The sample season: a copy of the keeper's own to try things out in."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

from rearing.belongings import sample
from rearing.problems import StorageTrouble
from rearing.records.pictures import folder_of

if TYPE_CHECKING:
    from pathlib import Path

NAME = "hisa-na-robu.rearing"
_BESIDE = ("", "-wal", "-shm")


def own_sample(folder: Path, *, fresh: bool = False) -> Path:
    """Return the keeper's copy of the sample book, made at first use.

    With `fresh` a new copy takes its place; the one written in is kept beside it.
    """
    path = folder / NAME
    if path.exists() and not fresh:
        return path
    shipped = sample(NAME)
    if not shipped.is_file():
        raise StorageTrouble(
            f"The sample season did not come with this installation ({shipped})."
        )
    folder.mkdir(parents=True, exist_ok=True)
    # Copied under another name first: a half-copied book must never be opened.
    unfinished = path.with_name(NAME + ".unfinished")
    shutil.copyfile(shipped, unfinished)
    if path.exists():
        _keep(path)
    unfinished.rename(path)
    return path


def _keep(path: Path) -> Path:
    """Move a book aside, with its pictures and the log of latest entries."""
    number = 1
    while (kept := path.with_stem(f"{path.stem}-earlier-{number}")).exists():
        number += 1
    for ending in _BESIDE:
        beside = path.with_name(path.name + ending)
        if beside.exists():
            beside.rename(kept.with_name(kept.name + ending))
    if folder_of(path).is_dir():
        folder_of(path).rename(folder_of(kept))
    return kept
