"""Where the program's own files lie: in the wheel, or beside the package in a clone."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).parent


def _beside(folder: str) -> Path:
    inside = _PACKAGE / folder
    return inside if inside.is_dir() else _PACKAGE.parent / folder


def resource(*parts: str) -> Path:
    """Return the path of a file or folder under ``resources/``."""
    return _beside("resources").joinpath(*parts)


def sample(*parts: str) -> Path:
    """Return the path of a file or folder under ``sample_db/``."""
    return _beside("sample_db").joinpath(*parts)
