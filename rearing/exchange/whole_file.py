"""Files that are written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Put content into a file; until all of it is there, what was there stays."""
    number, name = tempfile.mkstemp(dir=path.parent, suffix=".unfinished")
    unfinished = Path(name)
    try:
        with os.fdopen(number, "wb") as file:
            file.write(content)
        unfinished.chmod(0o644)
        unfinished.replace(path)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise
