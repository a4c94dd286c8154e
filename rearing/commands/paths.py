"""Where the keeper's own files lie, and refusing paths that lead to no file."""

from __future__ import annotations

import os
from pathlib import Path

from rearing.problems import UnreadableFile

HOME_VARIABLE = "REARING_HOME"


def data_folder() -> Path:
    """Return the folder for the keeper's books and sheets; it may not exist yet."""
    own = os.environ.get(HOME_VARIABLE)
    if own:
        return Path(own).expanduser()
    from platformdirs import user_data_path

    return user_data_path("Rearing", appauthor=False)


def refuse_no_file(path: Path) -> None:
    """Refuse a path without a file, a folder, and pipes that would never end."""
    if path.is_dir():
        raise UnreadableFile(f"{path} is a folder, not a file.")
    if not path.exists():
        raise UnreadableFile(f"There is no file at {path}.")
    if not path.is_file():
        raise UnreadableFile(f"{path} is not a file that lies on a disk.")
