"""The workplace's preferences: how the window looks and where it was left."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import isfinite
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QSettings

from rearing.desk.theme import View
from rearing.desk.tokens import RED_DEFAULT_STEP, RED_STEPS

if TYPE_CHECKING:
    from pathlib import Path

_VERSION = 1


@dataclass(frozen=True, slots=True)
class Settings:
    """Preferences only; whatever changes a number is kept in the book instead."""

    view: View = View.SYSTEM
    text_scale: float = 1.0
    last_book: str = ""
    last_page: int = 1
    red_step: int = RED_DEFAULT_STEP


def open_store(path: Path) -> QSettings:
    """Return the ini file at `path` as a store of settings."""
    return QSettings(str(path), QSettings.Format.IniFormat)


def load(store: QSettings) -> Settings:
    """Read the preferences; a value that makes no sense falls back to its default."""
    plain = Settings()
    return Settings(
        view=_view(str(store.value("view", plain.view))),
        text_scale=_number(store.value("text_scale"), plain.text_scale),
        last_book=str(store.value("last_book", plain.last_book)),
        last_page=int(_number(store.value("last_page"), plain.last_page)),
        red_step=_step(store.value("red_step"), plain.red_step),
    )


def save(store: QSettings, settings: Settings) -> None:
    """Write the preferences that differ from the defaults; forget the others."""
    store.setValue("version", _VERSION)
    plain = Settings()
    for field in fields(Settings):
        value = getattr(settings, field.name)
        if value == getattr(plain, field.name):
            store.remove(field.name)
        else:
            store.setValue(field.name, str(value))


def window_geometry(store: QSettings) -> QByteArray | None:
    """Return where the window stood, None the first time."""
    value = store.value("window")
    return value if isinstance(value, QByteArray) else None


def keep_window_geometry(store: QSettings, geometry: QByteArray) -> None:
    """Remember where the window stands."""
    store.setValue("window", geometry)


def _view(text: str) -> View:
    return View(text) if text in {view.value for view in View} else View.SYSTEM


def _step(value: object, otherwise: int) -> int:
    step = int(_number(value, otherwise))
    return step if 1 <= step <= RED_STEPS else otherwise


def _number(value: object, otherwise: float) -> float:
    try:
        number = float(str(value))
    except ValueError:
        return otherwise
    return number if isfinite(number) else otherwise
